/** Markdown of an analysis as HTML that can do nothing but be read: raw HTML is shown as text, links are checked. */
import {Marked} from "marked";
import {escapeHtml} from "./escapeHtml.ts";
import type {Explain} from "./glosses.ts";

/** @param explain makes HTML of plain words; headings and links are left as they are */
export function proseHtml(markdown: string, explain: Explain): string {
  // inside a heading or a link words are not explained: a button has no place there
  let plain = 0;
  const within = (make: () => string): string => {
    plain++;
    const made = make();
    plain--;
    return made;
  };
  const safe = new Marked({
    gfm: true,
    renderer: {
      html: ({text}) => escapeHtml(text),
      image: ({text}) => escapeHtml(text),
      heading({tokens, depth}) {
        return within(() => `<h${depth}>${this.parser.parseInline(tokens)}</h${depth}>\n`);
      },
      link({href, tokens}) {
        const words = within(() => this.parser.parseInline(tokens));
        return /^(https?:|#|\.{0,2}\/)/i.test(href) ? `<a href="${escapeHtml(href)}">${words}</a>` : words;
      },
      text(token) {
        if ("tokens" in token && token.tokens) return this.parser.parseInline(token.tokens);
        return plain > 0 || ("escaped" in token && token.escaped) ? escapeOnce(token) : explain(token.text);
      },
    },
  });
  return safe.parse(markdown, {async: false});
}

/** marked hands over some texts with their entities written already. */
const escapeOnce = (token: {readonly text: string; readonly escaped?: boolean}): string =>
  token.escaped === true ? token.text : escapeHtml(token.text);
