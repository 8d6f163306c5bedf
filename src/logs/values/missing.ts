/** The words by which people say that there is nothing to say, and what a spreadsheet writes for a broken formula. */

const MISSING = new Set([
  ..."- -- --- – — . .. n/a na n.a. n.a #n/a nil null nan ? ?? ??? tba tbc tbd n/r nr n/d nd blank (blank)".split(" "),
  ...["unknown", "none", "missing", "not recorded", "not logged", "no data", "not available", "not measured"],
]);

/** Words that mean missing in a number but may mean something in a text. */
const MISSING_NUMBERS_ONLY = new Set(["unknown", "none", "nil", ".", "..", "nr", "nd", "missing"]);

export function isMissing(text: string, where: "number" | "date" | "word"): boolean {
  const plain = text.toLowerCase();
  if (plain === "") return true;
  if (where === "word" && MISSING_NUMBERS_ONLY.has(plain)) return plain === "nil";
  return MISSING.has(plain);
}

/** `#REF!`, `#DIV/0!` and their like. */
export function isFormulaError(text: string): boolean {
  return /^#(ref|div\/0|value|name|num|null|spill|calc)[!?]?$/i.test(text);
}
