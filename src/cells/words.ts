/** What the words in an analysis mean: components, muds, regimes and modes by code, label or shop word. */
import {
  COMPONENTS,
  componentMeaning,
  MODES,
  MUDS,
  mudMeaning,
  nearest,
  plainWord,
  REGIMES,
} from "../../shared/vocabulary/index.ts";

/** A word understood, or the sentence that says why it is not. */
export type Word = {readonly code: string} | {readonly message: string};

export function componentWord(text: string): Word {
  const plain = plainWord(text);
  const named = Object.entries(COMPONENTS).find(
    ([, {label, plural}]) => plainWord(label) === plain || plainWord(plural) === plain,
  );
  return named ? {code: named[0]} : word(text, componentMeaning(text), "component", labelsOf(COMPONENTS));
}

export function mudWord(text: string): Word {
  const plain = plainWord(text);
  const named = Object.entries(MUDS).find(([, {label}]) => plainWord(label) === plain);
  return named ? {code: named[0]} : word(text, mudMeaning(text), "mud", labelsOf(MUDS));
}

/** `high`, `high flow` and a range the shop logs itself are all taken; the latter as it stands. */
export function regimeWord(text: string): Word {
  const plain = plainWord(text).replace(/ flow$/, "");
  const code = Object.keys(REGIMES).find((known) => known === plain);
  return plain === "" ? {message: "a regime is missing; give low, medium or high"} : {code: code ?? text.trim()};
}

/** A mode by its code, e.g. SEAL-ABR. */
export function modeWord(text: string): Word {
  const code = text.trim().toUpperCase();
  if (MODES[code] !== undefined) return {code};
  const near = nearest(code, Object.keys(MODES));
  const same = Object.keys(MODES).filter((known) => known.startsWith(`${code.slice(0, 4)}-`));
  const list = same.length > 0 ? same : ["codes like SEAL-ABR"];
  return {
    message: `no mode is called ${quoted(text)}${near ? `; did you mean ${near}?` : ""} Accepted: ${list.join(", ")}`,
  };
}

export const quoted = (value: unknown): string => (typeof value === "string" ? `“${value}”` : JSON.stringify(value));

function labelsOf(vocabulary: Readonly<Record<string, {readonly label: string}>>): string[] {
  return Object.values(vocabulary).map(({label}) => label);
}

function word(
  text: string,
  meaning: {readonly kind: string; readonly code: string | null},
  what: string,
  labels: readonly string[],
): Word {
  if ((meaning.kind === "code" || meaning.kind === "synonym") && meaning.code !== null) return {code: meaning.code};
  const hint = meaning.kind === "near" && meaning.code !== null ? `; did you mean ${meaning.code}?` : "";
  const why =
    meaning.kind === "ambiguous" ? `${quoted(text)} may mean several ${what}s` : `no ${what} is called ${quoted(text)}`;
  return {message: `${why}${hint === "" ? "." : hint} Accepted: ${labels.join(", ")}`};
}
