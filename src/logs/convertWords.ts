/** Text columns of a sheet: serials made regular, shop words to codes, what is ambiguous asked about. */
import type {Words} from "../../shared/columnar.ts";
import {
  componentMeaning,
  COMPONENTS,
  listMeaning,
  modeLabel,
  modeMeaning,
  MODES,
  mudMeaning,
  MUDS,
  plainWord,
  type Meaning,
  type Synonyms,
} from "../../shared/vocabulary/index.ts";
import {countsOf, noteMissing, type ColumnAt} from "./convertNumbers.ts";
import type {Draft, TextColumn} from "./draft.ts";
import {isFormulaError, isMissing} from "./values/missing.ts";

const SERIALS: ReadonlySet<string> = new Set(["tool", "part_serial"]);
const LISTS = new Map([
  ["outcome", "outcome"],
  ["found", "found"],
  ["action", "action"],
] as const);

/** How many translations a finding spells out. */
const SPELT_OUT = 12;

/** @param meant serials of tools and parts that stand for others */
export function convertWords(
  draft: Draft,
  columns: readonly ColumnAt[],
  synonyms: Synonyms,
  meant: Readonly<Record<string, string>> = {},
): void {
  const means = new Map(Object.entries(meant).map((pair) => pair.map(regularSerial) as [string, string]));
  // the component comes first: other words mean what they mean on it
  const inOrder = [...columns].sort((a, b) => Number(b.name === "component") - Number(a.name === "component"));
  for (const column of inOrder) {
    const {name, spec} = column;
    if (spec.type === "flag") flagColumn(draft, column, synonyms);
    else if (SERIALS.has(name)) serialColumn(draft, column, means);
    else if (name === "mud") codedColumn(draft, column, (word) => mudMeaning(word, synonyms), tellMud);
    else if (name === "component")
      codedColumn(draft, column, (word) => componentMeaning(word, synonyms), tellComponent);
    else if (name === "mode") continue;
    else {
      const list = LISTS.get(name as "outcome" | "found" | "action");
      const tell: Teller =
        list === "found"
          ? (...told) => (isModeWord(draft, told[2], told[3], synonyms) ? null : tellList(...told))
          : tellList;
      if (list !== undefined)
        codedColumn(draft, column, (word) => listMeaning(word, list, spec.oneOf ?? [], synonyms), tell);
      else plainColumn(draft, column);
    }
  }
  fillPositions(draft, columns, synonyms);
  // a mode is read on the part it was seen on, so it comes after the component
  const mode = columns.find(({name}) => name === "mode");
  if (mode !== undefined) modeColumn(draft, mode, synonyms);
  if (columns.some(({name}) => name === "found")) takeFoundModes(draft, synonyms);
}

/** True where a word for what a part was found to be is a mode of that part: shops write the defect there. */
function isModeWord(draft: Draft, row: number, word: string, synonyms: Synonyms): boolean {
  return foundMode(draft, row, word, synonyms) !== null;
}

function foundMode(draft: Draft, row: number, word: string, synonyms: Synonyms): string | null {
  const component = draft.text("component", row);
  if (component === null) return null;
  const {kind, code} = modeMeaning(word, component, synonyms);
  return kind === "near" || code === null || MODES[code]?.component !== component ? null : code;
}

/** Modes that stand in the column of what was found go to the mode, where none is given there. */
function takeFoundModes(draft: Draft, synonyms: Synonyms): void {
  const found = draft.texts.get("found");
  let modes = draft.texts.get("mode");
  for (let row = 0; row < draft.rows; ++row) {
    const raw = draft.raw("found", row)?.trim() ?? "";
    if (raw === "" || (found?.codes[row] ?? -1) >= 0 || isMissing(raw, "word") || (modes?.codes[row] ?? -1) >= 0)
      continue;
    const code = foundMode(draft, row, raw, synonyms);
    if (code === null) continue;
    if (modes === undefined) {
      modes = {codes: new Int32Array(draft.rows).fill(-1), words: []};
      draft.texts.set("mode", modes);
    }
    const at = modes.words.indexOf(code);
    modes.codes[row] = at >= 0 ? at : modes.words.push(code) - 1;
  }
}

/** A dictionary that is filled while the cells are read. */
class Dictionary {
  readonly words: string[] = [];
  readonly #index = new Map<string, number>();

  code(word: string | null): number {
    if (word === null) return -1;
    let code = this.#index.get(word);
    if (code === undefined) {
      code = this.words.length;
      this.words.push(word);
      this.#index.set(word, code);
    }
    return code;
  }
}

/**
 * The column whose cells mean these words, null for missing ones.
 *
 * @param raw as they stand in the sheet, with the codes of the rows: all different
 */
function meaningColumn({codes, words: raw}: Words, meant: readonly (string | null)[]): TextColumn {
  // most columns hold what they mean, and need no looking up
  if (meant.every((word, code) => word === raw[code])) return {codes: codes.slice(), words: raw.slice()};
  const dictionary = new Dictionary();
  const codeOf = meant.map((word) => dictionary.code(word));
  return {codes: codes.map((code) => (code < 0 ? -1 : codeOf[code]!)), words: dictionary.words};
}

/** Spaces that are none: no-break, narrow, zero-width. */
const ODD_SPACE = /[\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]/;

/** Cells with odd or outer spaces, which are taken out. */
function tellSpaces(draft: Draft, name: string, cell: number): void {
  const {words} = draft.sheet.cells[cell]!;
  const odd = (code: number): boolean => ODD_SPACE.test(words[code]!) || words[code]!.trim() !== words[code];
  draft.tellEach("cell-spaces", name, odd, `${draft.headerOf(name)} has spaces that do not belong there`, (code) =>
    regular(words[code]!),
  );
}

/** Outer spaces gone, inner runs of any space one space. */
function regular(text: string): string {
  return text.replace(/[\s\u200b]+/g, " ").trim();
}

/** Texts kept as they are, inner runs of spaces (and non-breaking ones) made one space. */
function plainColumn(draft: Draft, {name, cell}: ColumnAt): void {
  const words = draft.trimmed(cell);
  noteMissing(draft, name, words, "word");
  const meant = words.words.map((word) => (isMissing(word, "word") ? null : regular(word)));
  if (name !== "comment") tellSpaces(draft, name, cell);
  const formulas = (code: number): boolean => FORMULA.test(words.words[code]!);
  draft.tellEach(
    "cell-formula-text",
    name,
    formulas,
    `${draft.headerOf(name)} begins like a formula`,
    () => "text, never evaluated",
  );
  draft.texts.set(name, meaningColumn(draft.sheet.cells[cell]!, meant));
}

/** A text that a spreadsheet would execute. */
const FORMULA = /^(=|[+@-]\s*[a-z]+\s*\()/i;

const SCIENTIFIC = /^\d+([.,]\d+)?E\+\d+$/i;

/** Upper case without spaces; a whole number that a spreadsheet gave decimals (`1042.0`) without them. */
function regularSerial(word: string): string {
  return word
    .toUpperCase()
    .replace(/[\s\u200b]+/g, "")
    .replace(/^(\d+)[.,]0+$/, "$1");
}

/** Serials made regular; nothing else is merged. */
function serialColumn(draft: Draft, {name, cell}: ColumnAt, means: ReadonlyMap<string, string>): void {
  const words = draft.trimmed(cell);
  noteMissing(draft, name, words, "word");
  const serials = words.words.map((word) =>
    isMissing(word, "word") || SCIENTIFIC.test(word) ? null : regularSerial(word),
  );
  const mapped = serials.map((serial) => (serial === null ? null : (means.get(serial) ?? serial)));
  const header = draft.headerOf(name);
  const others = [...new Set(serials.filter((serial, code) => serial !== mapped[code]))];
  if (others.length > 0) {
    const taken = others.map((serial) => `${serial ?? ""} → ${means.get(serial ?? "") ?? ""}`);
    const message = `${others.length === 1 ? "a serial" : `${others.length} serials`} of ${header} stand${others.length === 1 ? "s" : ""} for another, as the mapping says`;
    draft.note("serial-mapped", {column: name, taken: taken.slice(0, SPELT_OUT).join(" · "), message});
  }
  const raw = draft.sheet.cells[cell]!.words;
  const respelt = (code: number): boolean => serials[code] !== null && serials[code] !== raw[code];
  draft.tellEach(
    "serial-spacing",
    name,
    respelt,
    `${header} is a serial in another spelling`,
    (code) => serials[code] ?? null,
  );
  words.words.forEach((word, code) => {
    if (!SCIENTIFIC.test(word)) return;
    const message = `${header} ${word} has lost its digits`;
    for (let row = 0; row < draft.rows; ++row) {
      if (words.codes[row] !== code) continue;
      const required = draft.required(name);
      draft.tell("serial-scientific", row, {
        column: name,
        message,
        taken: required ? null : "missing",
        row: required ? "held" : "repaired",
      });
    }
  });
  draft.texts.set(name, meaningColumn(draft.sheet.cells[cell]!, mapped));
}

/** Tells about one row whose word is not a plain one; gives the code the row takes, null for missing. */
type Teller = (draft: Draft, name: string, row: number, word: string, meaning: Meaning) => string | null;

function codedColumn(draft: Draft, {name, cell}: ColumnAt, meaningOf: (word: string) => Meaning, tell: Teller): void {
  const words = draft.trimmed(cell);
  const counts = countsOf(words);
  noteMissing(draft, name, words, "word");
  const meanings = words.words.map((word) =>
    isMissing(word, "word") ? null : isFormulaError(word) ? ERROR : meaningOf(word),
  );
  tellSpaces(draft, name, cell);
  noteTranslations(draft, name, words, counts, meanings);
  const dictionary = new Dictionary();
  const codes = new Int32Array(draft.rows).fill(-1);
  for (let row = 0; row < draft.rows; ++row) {
    const at = words.codes[row]!;
    const meaning = at < 0 ? null : meanings[at]!;
    if (meaning === null) continue;
    if (meaning === ERROR) {
      draft.tell("cell-formula-error", row, {
        column: name,
        message: `${draft.headerOf(name)} is a broken formula`,
        taken: "missing",
      });
    } else if (meaning.kind === "code" || meaning.kind === "synonym") codes[row] = dictionary.code(meaning.code);
    else if (meaning.kind === "misspelt") {
      const message = `${draft.headerOf(name)} "${words.words[at]!}" is misspelt`;
      draft.tell("word-misspelt", row, {column: name, taken: meaning.code, message});
      codes[row] = dictionary.code(meaning.code);
    } else codes[row] = dictionary.code(tell(draft, name, row, words.words[at]!, meaning));
  }
  draft.texts.set(name, {codes, words: dictionary.words});
}

const ERROR: Meaning = {kind: "unknown", code: null};

function noteTranslations(
  draft: Draft,
  name: string,
  {words}: Words,
  counts: Int32Array,
  meanings: readonly (Meaning | null)[],
): void {
  const pairs: string[] = [];
  let rows = 0;
  meanings.forEach((meaning, code) => {
    if (meaning?.kind !== "synonym" || plainWord(words[code]!) === plainWord(meaning.code ?? "")) return;
    pairs.push(`${words[code]!} → ${meaning.code ?? ""}`);
    rows += counts[code]!;
  });
  if (pairs.length === 0) return;
  const more = pairs.length > SPELT_OUT ? ` and ${pairs.length - SPELT_OUT} more` : "";
  const message = `${rows} row${rows > 1 ? "s" : ""} of ${draft.headerOf(name)} hold shop words for our codes`;
  draft.note("word-translated", {column: name, taken: pairs.slice(0, SPELT_OUT).join(" · ") + more, message});
}

function hint(meaning: Meaning, label: (code: string) => string): string {
  return meaning.kind === "near" && meaning.code !== null ? `; did you mean ${label(meaning.code)}?` : "";
}

function tellMud(draft: Draft, name: string, row: number, word: string, meaning: Meaning): string {
  if (meaning.kind === "ambiguous") {
    const message = `${draft.headerOf(name)} "${word}" may be several families of mud`;
    draft.tell("mud-ambiguous", row, {column: name, taken: "UNK", message});
  } else {
    const message = `${draft.headerOf(name)} "${word}" is no mud we know${hint(meaning, (code) => `${code} (${MUDS[code]?.label ?? code})`)}`;
    draft.tell("mud-unknown", row, {column: name, taken: "UNK", message});
  }
  return "UNK";
}

function tellComponent(draft: Draft, name: string, row: number, word: string, meaning: Meaning): null {
  const label = (code: string): string => `${code} (${COMPONENTS[code]?.label ?? code})`;
  draft.tell("component-unknown", row, {
    column: name,
    message: `${draft.headerOf(name)} "${word}" is no component we know${hint(meaning, label)}`,
  });
  return null;
}

function tellList(draft: Draft, name: string, row: number, word: string, meaning: Meaning): null {
  const list = draft.specs[name]?.oneOf ?? [];
  const message = `${draft.headerOf(name)} "${word}" is none of ${list.join(", ")}${hint(meaning, (code) => code)}`;
  const lost = draft.required(name) ? ("held" as const) : ("repaired" as const);
  draft.tell("word-unknown", row, {
    column: name,
    taken: lost === "held" ? null : "missing",
    message,
    row: lost,
    remedy: `write one of ${list.join(", ")}`,
  });
  return null;
}

function flagColumn(draft: Draft, {name, cell}: ColumnAt, synonyms: Synonyms): void {
  const words = draft.trimmed(cell);
  const meanings = words.words.map((word) =>
    isMissing(word, "word") ? null : listMeaning(word, "flag", ["yes", "no"], synonyms),
  );
  const flags = new Int8Array(draft.rows).fill(-1);
  for (let row = 0; row < draft.rows; ++row) {
    const at = words.codes[row]!;
    const meaning = at < 0 ? null : meanings[at]!;
    if (meaning === null) continue;
    if (meaning.kind === "code" || meaning.kind === "synonym") flags[row] = meaning.code === "yes" ? 1 : 0;
    else {
      const message = `${draft.headerOf(name)} "${words.words[at]!}" is neither yes nor no`;
      draft.tell("word-unknown", row, {column: name, taken: "missing", message, remedy: "write yes or no"});
    }
  }
  draft.flags.set(name, flags);
}

/** Positions that stand behind the component (`Lip seal #2`), where the position itself is not given. */
function fillPositions(draft: Draft, columns: readonly ColumnAt[], synonyms: Synonyms): void {
  const component = columns.find(({name}) => name === "component");
  if (component === undefined) return;
  const words = draft.trimmed(component.cell);
  const behind = words.words.map((word) => componentMeaning(word, synonyms).position);
  if (behind.every((position) => position === null)) return;
  const given = draft.texts.get("position") ?? {codes: new Int32Array(draft.rows).fill(-1), words: []};
  draft.texts.set("position", given);
  let rows = 0;
  let example = "";
  for (let row = 0; row < draft.rows; ++row) {
    const position = behind[words.codes[row] ?? -1] ?? null;
    if (position === null || given.codes[row]! >= 0) continue;
    const code = given.words.indexOf(position);
    given.codes[row] = code >= 0 ? code : given.words.push(position) - 1;
    example ||= words.words[words.codes[row]!]!;
    ++rows;
  }
  if (rows === 0) return;
  const message = `${rows} row${rows > 1 ? "s" : ""} of ${draft.headerOf("component")} carry the position`;
  draft.note("word-position", {column: "component", found: example, taken: "a position", message});
}

/** What a mode word on a component becomes. */
interface ModeRead {
  readonly code: string;
  readonly tell: ((row: number) => void) | null;
  readonly synonym: boolean;
}

function modeColumn(draft: Draft, {name, cell}: ColumnAt, synonyms: Synonyms): void {
  const words = draft.trimmed(cell);
  noteMissing(draft, name, words, "word");
  tellSpaces(draft, name, cell);
  const components = draft.texts.get("component");
  const dictionary = new Dictionary();
  const codes = new Int32Array(draft.rows).fill(-1);
  const reads = new Map<string, ModeRead | null>();
  const translated = new Map<string, number>();
  for (let row = 0; row < draft.rows; ++row) {
    const at = words.codes[row]!;
    const component = at < 0 ? null : draft.text("component", row);
    if (component === null) continue;
    const key = `${at} ${components?.codes[row] ?? -1}`;
    let read = reads.get(key);
    if (read === undefined) {
      read = readMode(draft, name, words.words[at]!, component, synonyms);
      reads.set(key, read);
    }
    if (read === null) continue;
    codes[row] = dictionary.code(read.code);
    if (read.tell !== null) read.tell(row);
    if (read.synonym) {
      const pair = `${words.words[at]!} → ${read.code}`;
      translated.set(pair, (translated.get(pair) ?? 0) + 1);
    }
  }
  draft.texts.set(name, {codes, words: dictionary.words} satisfies TextColumn);
  if (translated.size === 0) return;
  const rows = [...translated.values()].reduce((sum, count) => sum + count, 0);
  const more = translated.size > SPELT_OUT ? ` and ${translated.size - SPELT_OUT} more` : "";
  const taken = [...translated.keys()].slice(0, SPELT_OUT).join(" · ") + more;
  draft.note("word-translated", {
    column: name,
    taken,
    message: `${rows} row${rows > 1 ? "s" : ""} of ${draft.headerOf(name)} hold shop words for our codes`,
  });
}

function readMode(draft: Draft, name: string, word: string, component: string, synonyms: Synonyms): ModeRead | null {
  if (isMissing(word, "word") || plainWord(word) === "none") return null;
  const header = draft.headerOf(name);
  if (isFormulaError(word)) {
    const tell = (row: number): void =>
      draft.tell("cell-formula-error", row, {column: name, message: `${header} is a broken formula`, taken: "missing"});
    return {code: `${component}-UNK`, tell, synonym: false};
  }
  const whole = modeMeaning(word, component, synonyms);
  if ((whole.kind === "code" || whole.kind === "synonym") && whole.code !== null) {
    if (MODES[whole.code]?.component === component)
      return {code: whole.code, tell: null, synonym: whole.kind === "synonym"};
    const code = `${component}-UNK`;
    const message = `${header} ${whole.code} belongs to another part than ${component}`;
    return {
      code,
      tell: (row) => draft.tell("mode-of-other-part", row, {column: name, taken: code, message}),
      synonym: false,
    };
  }
  if (whole.kind === "misspelt" && whole.code !== null) {
    const code = whole.code;
    return {
      code,
      tell: (row) =>
        draft.tell("word-misspelt", row, {column: name, taken: code, message: `${header} "${word}" is misspelt`}),
      synonym: false,
    };
  }
  const several = severalModes(word, component, synonyms);
  if (several !== null) {
    const {code, marked} = several;
    const message = `${header} "${word}" names several modes, ${marked ? "one of them marked" : "none of them marked as the first cause"}`;
    return {code, tell: (row) => draft.tell("mode-several", row, {column: name, taken: code, message}), synonym: false};
  }
  const code = `${component}-UNK`;
  const message = `${header} "${word}" is no mode of ${component} we know${hint(whole, (near) => `${near} (${modeLabel(near)})`)}`;
  return {code, tell: (row) => draft.tell("mode-unknown", row, {column: name, taken: code, message}), synonym: false};
}

/** The marked mode of a cell that names several, else the first; null where the cell names fewer than two. */
function severalModes(word: string, component: string, synonyms: Synonyms): {code: string; marked: boolean} | null {
  const known: {code: string; marked: boolean}[] = [];
  for (const part of word.split(/\s*(?:[/;+&,|]|\band\b)\s*/i)) {
    const marked = part.includes("*");
    const {kind, code} = modeMeaning(part.replaceAll("*", ""), component, synonyms);
    if (code !== null && kind !== "near" && MODES[code]?.component === component) known.push({code, marked});
  }
  if (known.length < 2) return null;
  return known.find(({marked}) => marked) ?? known[0]!;
}
