/**
 * XML one token at a time: enough for the parts of a workbook, forgiving of whatever damage they have. It never throws
 * and always moves on, so that a broken part ends early and cannot hang.
 */

export type XmlToken = "open" | "close" | "text" | "end";

export class XmlReader {
  /** of the token read last: the element's name without prefix */
  name = "";
  /** of an `open` token: what stands behind the name */
  attributes = "";
  /** of an `open` token: the element ends with it, and no `close` follows */
  empty = false;
  readonly #xml: string;
  #at = 0;
  #text = "";
  #plain = false;

  constructor(xml: string) {
    this.#xml = xml;
  }

  /** The text of a `text` token. */
  get text(): string {
    return this.#plain ? this.#text : decoded(this.#text);
  }

  next(): XmlToken {
    const xml = this.#xml;
    for (;;) {
      if (this.#at >= xml.length) return "end";
      const from = this.#at;
      const open = xml.indexOf("<", from);
      if (open !== from) {
        this.#at = open < 0 ? xml.length : open;
        this.#text = xml.slice(from, this.#at);
        this.#plain = false;
        return "text";
      }
      const sign = xml.charCodeAt(from + 1);
      if (sign === BANG) {
        if (xml.startsWith("<![CDATA[", from)) {
          const end = this.#past("]]>", from + 9);
          this.#text = xml.slice(from + 9, end);
          this.#plain = true;
          return "text";
        }
        this.#past(xml.startsWith("<!--", from) ? "-->" : ">", from + 2);
      } else if (sign === QUESTION) {
        this.#past("?>", from + 2);
      } else if (sign === SLASH) {
        this.name = bare(xml.slice(from + 2, this.#past(">", from + 2)).trim());
        return "close";
      } else {
        this.#open(from);
        return "open";
      }
    }
  }

  #open(from: number): void {
    const xml = this.#xml;
    let end = xml.indexOf(">", from);
    // a sign inside a quoted value does not end the element
    while (end >= 0 && quotesOpen(xml, from, end)) end = xml.indexOf(">", end + 1);
    if (end < 0) end = xml.length;
    this.#at = end + 1;
    this.empty = xml.charCodeAt(end - 1) === SLASH;
    const last = this.empty ? end - 1 : end;
    let cut = from + 1;
    while (cut < last && xml.charCodeAt(cut) > 32) ++cut;
    this.name = bare(xml.slice(from + 1, cut));
    this.attributes = xml.slice(cut, last);
  }

  /** Moves behind a mark and gives its place, or the end of the text without it. */
  #past(mark: string, from: number): number {
    const at = this.#xml.indexOf(mark, from);
    this.#at = at < 0 ? this.#xml.length : at + mark.length;
    return at < 0 ? this.#xml.length : at;
  }
}

const BANG = 33;
const SLASH = 47;
const QUESTION = 63;

/** Beyond so many characters an element is damaged, and its quotes say nothing. */
const LONGEST_TAG = 10_000;

function quotesOpen(xml: string, from: number, to: number): boolean {
  if (to - from > LONGEST_TAG) return false;
  let quote = 0;
  for (let at = from; at < to; ++at) {
    const code = xml.charCodeAt(at);
    if (quote === 0) quote = code === 34 || code === 39 ? code : 0;
    else if (code === quote) quote = 0;
  }
  return quote !== 0;
}

function bare(name: string): string {
  return name.slice(name.indexOf(":") + 1);
}

/** The value of an attribute, by its name with prefix; null where the element has none. */
export function attribute(attributes: string, name: string): string | null {
  const mark = `${name}="`;
  for (let at = attributes.indexOf(mark); at >= 0; at = attributes.indexOf(mark, at + 1)) {
    if (at > 0 && attributes.charCodeAt(at - 1) > 32) continue;
    const from = at + mark.length;
    const end = attributes.indexOf('"', from);
    return decoded(attributes.slice(from, end < 0 ? attributes.length : end));
  }
  if (!attributes.includes(name)) return null;
  const match = new RegExp(`(?:^|\\s)${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`).exec(attributes);
  return match === null ? null : decoded(match[1] ?? match[2] ?? "");
}

const NAMED: Readonly<Record<string, string>> = {amp: "&", lt: "<", gt: ">", quot: '"', apos: "'"};

function decoded(text: string): string {
  if (!text.includes("&")) return text;
  return text.replace(/&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|(amp|lt|gt|quot|apos));/gi, (whole, hex, decimal, named) => {
    if (typeof named === "string") return NAMED[named.toLowerCase()] ?? whole;
    const code = typeof hex === "string" ? Number.parseInt(hex, 16) : Number(decimal);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : "\ufffd";
  });
}
