/**
 * YAML that people wrote, or that came with a file of theirs. Whatever the text is, what is given back can be walked and
 * turned into plain values without an end in sight being missed: texts nested so deep that reading them would end the
 * program (20 kB of `[` do), texts beyond all measure, and names for other places (`*name`) that lead nowhere, in circles or
 * to more than a machine can hold each become an error of the document.
 */
import {
  isAlias,
  parseDocument,
  visit,
  YAMLParseError,
  type Document,
  type DocumentOptions,
  type LineCounter,
  type ParseOptions,
  type SchemaOptions,
} from "yaml";

export type YamlOptions = ParseOptions & DocumentOptions & SchemaOptions;

const MOST_DEPTH = 60;
/** Letters of a text: some 20,000 decisions of a register. */
const MOST_LENGTH = 4_000_000;

/** As `parseDocument` of the yaml package gives it; what it throws stands among its errors here. */
export function readYaml(text: string, options: YamlOptions = {}): ReturnType<typeof parseDocument> {
  const asked = {prettyErrors: false, logLevel: "silent", ...options} as const;
  const tooMuch =
    text.length > MOST_LENGTH ? {at: 0, why: `longer than ${MOST_LENGTH / 1e6} million letters`} : deep(text);
  if (tooMuch !== null) {
    const empty = parseDocument("", asked);
    countLines(text, options.lineCounter);
    return withError(empty, tooMuch.at, `it is ${tooMuch.why}`);
  }
  const document = parseDocument(text, asked);
  if (document.errors.length > 0) return document;
  const astray = aliasAstray(document);
  return astray === null ? document : withError(document, astray.at, astray.why);
}

type Parsed = ReturnType<typeof parseDocument>;

function withError(document: Parsed, at: number, message: string): Parsed {
  document.errors.push(new YAMLParseError([at, at + 1], "IMPOSSIBLE", message));
  return document;
}

function countLines(text: string, lines: LineCounter | undefined): void {
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) lines?.addNewLine(at + 1);
}

/** Where a text is nested deeper than anybody writes; brackets are counted in whatever they stand. */
function deep(text: string): {readonly at: number; readonly why: string} | null {
  const why = `nested deeper than ${MOST_DEPTH} levels`;
  let brackets = 0;
  const indents: number[] = [];
  for (let at = 0; at < text.length;) {
    const next = text.indexOf("\n", at);
    const end = next < 0 ? text.length : next;
    const line = text.slice(at, end);
    const indent = /^ */.exec(line)![0].length;
    if (line.trim() !== "") {
      while (indents.length > 0 && indents.at(-1)! >= indent) indents.pop();
      indents.push(indent);
    }
    // `- - - a` and `? ? a` nest in one line
    const marks = line.match(/[-?:](?=[ \t\r]|$)/g)?.length ?? 0;
    if (indents.length + marks > MOST_DEPTH && marks > MOST_DEPTH / 2 && !/^ *#/.test(line)) return {at, why};
    if (indents.length > MOST_DEPTH) return {at, why};
    for (const sign of line) {
      if (sign === "[" || sign === "{") brackets += 1;
      else if (sign === "]" || sign === "}") brackets = Math.max(0, brackets - 1);
      if (brackets > MOST_DEPTH) return {at, why};
    }
    at = end + 1;
  }
  return null;
}

/** The first alias that names nothing or what it stands in, or that makes the whole too large. */
function aliasAstray(document: Document): {readonly at: number; readonly why: string} | null {
  let astray: {readonly at: number; readonly why: string} | null = null;
  let aliasAt = 0;
  visit(document, {
    Alias(_, alias, path) {
      aliasAt = alias.range?.[0] ?? 0;
      const meant = alias.resolve(document);
      const within = meant !== undefined && path.some((node) => node === meant);
      if (meant !== undefined && !within && !isAlias(meant)) return undefined;
      astray = {
        at: aliasAt,
        why: `*${alias.source} ${within ? "stands in what it means" : "means nothing that stands before it"}`,
      };
      return visit.BREAK;
    },
  });
  if (astray !== null || aliasAt === 0) return astray;
  try {
    document.toJS({maxAliasCount: 100});
    return null;
  } catch (error) {
    return {at: aliasAt, why: error instanceof Error ? error.message : String(error)};
  }
}
