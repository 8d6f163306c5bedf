/**
 * What a shop has answered about its files, kept beside them as `mapping.yaml`: next month's export then loads without
 * questions. Nothing in the file can stop the work; what is not understood becomes a finding and is left out.
 */
import {isMap, isScalar, LineCounter, stringify, type Node, type YAMLMap} from "yaml";
import {CHECKED_RUN_COLUMNS, REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "./columns.ts";
import type {Finding} from "./findings.ts";
import {unitOf} from "./units.ts";
import {COMPONENTS, MODES, MUDS, SYNONYM_KINDS, type SynonymKind, type Synonyms} from "./vocabulary/index.ts";
import {readYaml} from "./readYaml.ts";

/** Answers about one file (or one sheet: `book.xlsx [Runs]`); they win over all evidence in it. */
export interface FileMapping {
  /** `none`: the file is no log and stands aside */
  readonly log?: "runs" | "rebuilds" | "none";
  /** header as it stands → our column, or null to leave it out */
  readonly columns?: Readonly<Record<string, string | null>>;
  /** our column → unit */
  readonly units?: Readonly<Record<string, string>>;
  readonly dateOrder?: "day first" | "month first";
  readonly decimalMark?: "." | ",";
  /** the year from which dates that are day numbers are counted */
  readonly dayNumbers?: 1900 | 1904;
  /** column of hours or pulses → the tools whose rows hold running totals: `all tools`, `no tool`, or serials by commas */
  readonly totals?: Readonly<Record<string, string>>;
  /** what meters of running totals stand at where they begin, or begin again after a reset */
  readonly meterStart?: "from 0" | "not known";
  /** fleet of every row, where the file has no fleet column */
  readonly fleet?: string;
}

export interface Mapping {
  /** by name of the file; an export of another month, or a name with `*`, counts too (see `mappingOf`) */
  readonly files: Readonly<Record<string, FileMapping>>;
  /** the shop's own words, added to ours */
  readonly synonyms: Partial<Synonyms>;
  /** serial of a tool or part as it is written → the one it means; one that means itself is another than it looks like */
  readonly serials: Readonly<Record<string, string>>;
}

export const NO_MAPPING: Mapping = {files: {}, synonyms: {}, serials: {}};

const COLUMNS: Readonly<Record<string, ColumnSpec>> = {...RUN_COLUMNS, ...CHECKED_RUN_COLUMNS, ...REBUILD_COLUMNS};

/**
 * The answers for a file: under its own name, else under a pattern (`runs*.csv`), else under a name that differs only in
 * figures and months (`runs 2024-05.csv` for `runs 2024-06.csv`), the one answered last; undefined where there are none.
 */
export function mappingOf(files: Readonly<Record<string, FileMapping>>, name: string): FileMapping | undefined {
  if (Object.hasOwn(files, name)) return files[name];
  const keys = Object.keys(files);
  const pattern = keys.find((key) => key.includes("*") && fits(name.toLowerCase(), key.toLowerCase()));
  const alike = pattern ?? keys.findLast((key) => undated(key) === undated(name));
  return alike === undefined ? undefined : files[alike];
}

/** Whether a name fits a pattern of texts and stars; each text is looked for from left to right, so it cannot hang. */
function fits(name: string, pattern: string): boolean {
  const texts = pattern.split("*");
  const [first = "", last = ""] = [texts[0], texts.at(-1)];
  if (!name.startsWith(first) || !name.endsWith(last) || name.length < first.length + last.length) return false;
  let at = first.length;
  for (const text of texts.slice(1, -1)) {
    const found = name.indexOf(text, at);
    if (found < 0 || found + text.length > name.length - last.length) return false;
    at = found + text.length;
  }
  return true;
}

const MONTHS = /(?<!\p{L})(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\p{L}*(?!\p{L})/giu;

function undated(name: string): string {
  return name
    .toLowerCase()
    .replace(MONTHS, "#")
    .replace(/\d+/g, "#")
    .replace(/#(?:[-_. ]*#)+/g, "#");
}

/** @param fileName named in the findings */
export function parseMapping(yamlText: string, fileName: string): {mapping: Mapping; findings: Finding[]} {
  const lines = new LineCounter();
  const document = readYaml(yamlText, {lineCounter: lines, uniqueKeys: false});
  const findings: Finding[] = [];
  const tell: Tell = (node, key, message, remedy, offset = node?.range?.[0]) => {
    const line = offset === undefined ? null : lines.linePos(offset).line;
    const found = isScalar(node) ? String(node.value) : null;
    findings.push({
      kind: "asked",
      rule: "mapping",
      file: fileName,
      line,
      column: key,
      found,
      taken: null,
      message,
      remedy,
    });
  };
  const error = document.errors[0];
  const root = document.contents;
  if (error !== undefined || (root !== null && !isMap(root) && !(isScalar(root) && root.value === null))) {
    const why = error === undefined ? "it holds no keys" : (error.message.split("\n")[0] ?? "");
    const at = error?.pos[0] ?? root?.range?.[0];
    tell(null, null, `the mapping is not read: ${why}`, "mend the line; until then nothing in it is used", at);
    return {mapping: NO_MAPPING, findings};
  }
  const files: Record<string, FileMapping> = {};
  const synonyms: Partial<Record<SynonymKind, Record<string, string>>> = {};
  const serials: Record<string, string> = {};
  for (const [key, node] of isMap(root) ? pairs(root, tell) : []) {
    if (key === "files") {
      for (const [name, value] of section(node, "files", tell)) {
        const entries = section(value, name, tell);
        if (entries.length > 0) define(files, name, fileMapping(entries, tell));
      }
    } else if (key === "synonyms") {
      for (const [kind, value] of section(node, "synonyms", tell)) {
        const known = SYNONYM_KINDS.find((one) => one === kind);
        if (known === undefined) {
          tell(value, kind, `"${kind}" is no kind of word`, `write one of ${SYNONYM_KINDS.join(", ")}`);
          continue;
        }
        synonyms[known] = words(known, section(value, kind, tell), tell);
      }
    } else if (key === "serials") {
      for (const [serial, value] of section(node, "serials", tell)) {
        const means = isScalar(value) && value.value !== null ? String(value.source ?? value.value).trim() : "";
        if (means !== "") define(serials, serial, means);
        else tell(value, serial, `the serial ${serial} cannot mean nothing`, "write the serial that is meant");
      }
    } else tell(node, key, `"${key}" is no key of the mapping`, "write files, synonyms or serials");
  }
  return {mapping: {files, synonyms, serials}, findings};
}

/** @param offset where it stands in the text, when that is not where the node does */
type Tell = (node: Node | null, key: string | null, message: string, remedy: string, offset?: number) => void;
type Entry = readonly [key: string, node: Node | null];

function fileMapping(entries: readonly Entry[], tell: Tell): FileMapping {
  const answers: {-readonly [K in keyof FileMapping]: FileMapping[K]} = {};
  for (const [key, node] of entries) {
    const text = isScalar(node) && node.value !== null ? String(node.value) : null;
    const refuse = (accepted: string): void =>
      tell(node, key, `${key} cannot be ${text ?? "empty"}`, `write ${accepted}`);
    if (key === "log") {
      if (text === "runs" || text === "rebuilds" || text === "none") answers.log = text;
      else refuse("runs, rebuilds or none");
    } else if (key === "dateOrder") {
      if (text === "day first" || text === "month first") answers.dateOrder = text;
      else refuse("day first or month first");
    } else if (key === "decimalMark") {
      if (text === "." || text === ",") answers.decimalMark = text;
      else refuse('"." or ","');
    } else if (key === "dayNumbers") {
      if (text === "1900" || text === "1904") answers.dayNumbers = text === "1900" ? 1900 : 1904;
      else refuse("1900 or 1904");
    } else if (key === "meterStart") {
      if (text === "from 0" || text === "not known") answers.meterStart = text;
      else refuse("from 0 or not known");
    } else if (key === "fleet") {
      if (text !== null && text.trim() !== "") answers.fleet = text.trim();
      else refuse("the name of the fleet");
    } else if (key === "columns") answers.columns = columns(section(node, key, tell), tell);
    else if (key === "units") answers.units = units(section(node, key, tell), tell);
    else if (key === "totals") answers.totals = totals(section(node, key, tell), tell);
    else
      tell(
        node,
        key,
        `"${key}" is no answer about a file`,
        "write log, columns, units, dateOrder, decimalMark, dayNumbers, totals, meterStart or fleet",
      );
  }
  return answers;
}

function columns(entries: readonly Entry[], tell: Tell): Record<string, string | null> {
  const columns: Record<string, string | null> = {};
  for (const [header, node] of entries) {
    const value = isScalar(node) ? node.value : null;
    if (value === null || value === "") define(columns, header, null);
    else if (Object.hasOwn(COLUMNS, String(value))) define(columns, header, String(value));
    else
      tell(
        node,
        header,
        `"${String(value)}" is no column`,
        "write a column of the data dictionary, or nothing to leave it out",
      );
  }
  return columns;
}

function units(entries: readonly Entry[], tell: Tell): Record<string, string> {
  const units: Record<string, string> = {};
  for (const [column, node] of entries) {
    const value = isScalar(node) ? String(node.value) : "";
    const quantity = Object.hasOwn(COLUMNS, column) ? COLUMNS[column]?.quantity : undefined;
    if (quantity !== undefined && unitOf(quantity, value) !== null) define(units, column, value);
    else tell(node, column, `"${value}" is no unit of ${column}`, "write a unit of the data dictionary");
  }
  return units;
}

/** Columns of a run log in which a running total may stand. */
export const METERED = ["circulating_h", "below_rotary_h", "drilling_h", "pulses"] as const;

function totals(entries: readonly Entry[], tell: Tell): Record<string, string> {
  const totals: Record<string, string> = {};
  for (const [column, node] of entries) {
    const value = isScalar(node) && node.value !== null ? String(node.value).trim() : "";
    if (METERED.some((one) => one === column) && value !== "") define(totals, column, value);
    else
      tell(
        node,
        column,
        value === "" ? `the totals of ${column} cannot be empty` : `${column} holds no running totals`,
        `write all tools, no tool or serials behind one of ${METERED.join(", ")}`,
      );
  }
  return totals;
}

function words(kind: SynonymKind, entries: readonly Entry[], tell: Tell): Record<string, string> {
  const words: Record<string, string> = {};
  for (const [word, node] of entries) {
    const value = isScalar(node) ? String(node.value).trim() : "";
    if (isMeaning(kind, value)) define(words, word, value);
    else tell(node, word, `"${value}" is no ${kind} of the vocabulary`, "write a code or word of the data dictionary");
  }
  return words;
}

/** Whether a text is what a word of the kind can mean; a mode may be several codes or endings in order of preference. */
export function isMeaning(kind: SynonymKind, value: string): boolean {
  if (kind === "mud") return Object.hasOwn(MUDS, value) || value === "UNK";
  if (kind === "component") return Object.hasOwn(COMPONENTS, value);
  if (kind === "flag") return value === "yes" || value === "no";
  if (kind !== "mode") return (COLUMNS[kind]?.oneOf ?? []).includes(value);
  const codes = Object.keys(MODES);
  return (
    value !== "" &&
    value
      .split(" ")
      .every((one) => Object.hasOwn(MODES, one) || codes.some((code) => one.startsWith("-") && code.endsWith(one)))
  );
}

function section(node: Node | null, key: string, tell: Tell): Entry[] {
  if (isMap(node)) return pairs(node, tell);
  if (node !== null && !(isScalar(node) && node.value === null))
    tell(node, key, `${key} holds no keys`, "write one `key: value` a line below it");
  return [];
}

function pairs(map: YAMLMap, tell: Tell): Entry[] {
  const entries: Entry[] = [];
  for (const {key, value} of map.items) {
    const node = isScalar(value) || isMap(value) ? value : null;
    // a key such as 00123 is kept as it is written
    if (isScalar(key) && (node !== null || value === null))
      entries.push([typeof key.value === "number" ? (key.source ?? String(key.value)) : String(key.value), node]);
    else tell(isScalar(key) ? key : null, null, "a key without a plain value", "write `key: value`");
  }
  return entries;
}

/** Sets a key whatever it is called: `__proto__` is a name like another. */
function define<T>(record: Record<string, T>, key: string, value: T): void {
  Object.defineProperty(record, key, {value, enumerable: true, configurable: true, writable: true});
}

const HEAD = `# Answers about the files beside this one, so that the next export loads without questions.
# files: by name, or by a pattern such as runs*.csv; a name that differs only in figures and months counts too.
# synonyms: the shop's own words and what they mean, as in the data dictionary.
# serials: a serial as it is written somewhere, and the one that is meant; the same twice: it is no slip of the pen.
`;

/** The text of a mapping, that `parseMapping` reads back. */
export function writeMapping({files, synonyms, serials}: Mapping): string {
  return HEAD + stringify({files, synonyms, serials}, {lineWidth: 0});
}
