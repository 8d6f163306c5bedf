/** A ready-made life table: failed, suspended and interval lives with any columns to group them by. */
import type {Words} from "../../shared/columnar.ts";
import type {ColumnSpec} from "../../shared/columns.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {LIFE_COLUMNS} from "../../shared/lifeColumns.ts";
import {plainWord} from "../../shared/vocabulary/index.ts";
import {convertNumbers, type ColumnAt} from "./convertNumbers.ts";
import {Draft} from "./draft.ts";
import {HeaderIndex, type HeaderMatch} from "./headers.ts";
import type {LogFile, RawSheet} from "./rawSheet.ts";
import {readSheets} from "./readSheets.ts";
import {setAsideNonRows} from "./rules/rows.ts";
import type {RuleId} from "./rules/catalogue.ts";
import {findingOf} from "./sink.ts";
import {isMissing} from "./values/missing.ts";
import {readNumber} from "./values/readNumber.ts";

/**
 * Lives as the statistics want them: exact failures have `lower === upper`, suspensions `upper === Infinity`, a failure
 * found later lies in (`lower`, `upper`], a left-censored one has `lower === 0`.
 */
export interface ReadyLives {
  readonly rows: number;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly entry: Float64Array;
  /** how many parts a row stands for */
  readonly count: Float64Array;
  readonly mode: Words;
  /** 1-based line of each row in the file */
  readonly line: Int32Array;
  /** every other column, by its header as it stands */
  readonly columns: Readonly<Record<string, Words | Float64Array>>;
  readonly findings: Finding[];
  readonly counts: RowCount;
}

const INDEX = new HeaderIndex(LIFE_COLUMNS);

const STATUS_WORDS: Readonly<Record<string, "failed" | "suspended" | "interval">> = {
  failed: "failed",
  fail: "failed",
  failure: "failed",
  f: "failed",
  "1": "failed",
  yes: "failed",
  true: "failed",
  dead: "failed",
  broken: "failed",
  exact: "failed",
  suspended: "suspended",
  suspension: "suspended",
  s: "suspended",
  "0": "suspended",
  no: "suspended",
  false: "suspended",
  censored: "suspended",
  "right censored": "suspended",
  c: "suspended",
  running: "suspended",
  alive: "suspended",
  good: "suspended",
  removed: "suspended",
  interval: "interval",
  i: "interval",
  "interval censored": "interval",
  "left censored": "interval",
};

export async function readLifeTable(file: LogFile): Promise<ReadyLives> {
  const findings: Finding[] = [];
  const {sheets, notes} = await readSheets(file, [INDEX]);
  for (const note of notes) findings.push(findingOf(note));
  // a workbook may have other sheets besides; the one that holds ages is meant
  const sheet = sheets.find(holdsAges) ?? sheets[0];
  if (sheet === undefined) return emptyLives(file.name, 0, findings);
  for (const {file: other, rows} of sheets.filter((one) => one.file !== sheet.file)) {
    const message = `${other} is not used: the lives are taken from ${sheet.file} (${rows} rows stand aside)`;
    findings.push(findingOf({rule: "sheet-other", file: other, message}));
  }
  if (sheet.rows === 0)
    findings.push(
      findingOf({rule: "file-headers-only", file: file.name, message: `${file.name} has headers but no rows`}),
    );
  const draft = new Draft("lives", LIFE_COLUMNS, sheet, findings);
  const {columns, others} = mapColumns(draft, findings);
  const has = (name: string): boolean => draft.cellOf.has(name);
  if (!has("time") && !has("lower") && !has("upper")) {
    const headers = sheet.header.filter((header) => header !== "").join(", ");
    const message = `${file.name} has no column for time, nor for lower and upper; its headers are: ${headers || "none"}`;
    findings.push(findingOf({rule: "life-columns", file: file.name, line: sheet.headerLine, message}));
    return emptyLives(file.name, sheet.rows, findings);
  }
  setAsideNonRows(draft);
  convertNumbers(
    draft,
    columns.filter(({spec}) => spec.type === "number"),
    {},
  );
  return livesOf(draft, others, findings);
}

function holdsAges({header}: RawSheet): boolean {
  return header.some((text) => ["time", "lower", "upper"].includes(INDEX.match(text)?.column ?? ""));
}

/** Our columns of a sheet and the cells of the others. */
function mapColumns(draft: Draft, findings: Finding[]): {columns: ColumnAt[]; others: number[]} {
  const {sheet} = draft;
  const columns: ColumnAt[] = [];
  const others: number[] = [];
  const best = new Map<string, {cell: number; match: HeaderMatch}>();
  sheet.header.forEach((header, cell) => {
    const match = INDEX.match(header);
    const claimed = match === null ? undefined : best.get(match.column);
    if (match !== null && (claimed === undefined || match.distance < claimed.match.distance))
      best.set(match.column, {cell, match});
  });
  sheet.header.forEach((header, cell) => {
    const match = INDEX.match(header);
    const column = match === null ? undefined : best.get(match.column);
    if (match !== null && column?.cell === cell) {
      const spec: ColumnSpec = LIFE_COLUMNS[match.column as keyof typeof LIFE_COLUMNS];
      columns.push({name: match.column, spec, cell, match});
      draft.cellOf.set(match.column, cell);
    } else {
      others.push(cell);
      if (match === null || column === undefined) return;
      const used = sheet.header[column.cell] ?? "";
      const message = `"${used}" and "${header}" both claim the column ${match.column}`;
      findings.push(
        findingOf({
          rule: "header-twice",
          file: sheet.file,
          line: sheet.headerLine,
          column: header,
          found: header,
          taken: `"${used}"`,
          message,
        }),
      );
    }
  });
  return {columns, others};
}

/** One life, or why the row is none. */
type LifeRead = {readonly lower: number; readonly upper: number; readonly entry: number; readonly count: number} | null;

function livesOf(draft: Draft, others: readonly number[], findings: Finding[]): ReadyLives {
  const {sheet} = draft;
  const rows: number[] = [];
  const lives: Exclude<LifeRead, null>[] = [];
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    const life = readLife(draft, row);
    if (life === null || !draft.used(row)) continue;
    rows.push(row);
    lives.push(life);
  }
  const column = (name: "lower" | "upper" | "entry" | "count"): Float64Array =>
    Float64Array.from(lives, (life) => life[name]);
  const modeCell = draft.cellOf.get("mode");
  const {accepted, repaired, held, "set aside": setAside} = draft.counts();
  return {
    rows: rows.length,
    lower: column("lower"),
    upper: column("upper"),
    entry: column("entry"),
    count: column("count"),
    mode:
      modeCell === undefined
        ? {codes: new Int32Array(rows.length).fill(-1), words: []}
        : wordsAt(sheet, modeCell, rows),
    line: Int32Array.from(rows, (row) => sheet.line[row]!),
    columns: Object.fromEntries(others.map((cell) => [otherName(sheet, cell), otherColumn(sheet, cell, rows)])),
    findings,
    counts: {file: sheet.file, log: "lives", read: draft.rows, accepted, repaired, held, setAside},
  };
}

/**
 * The life a row tells of. With `time`, the status says whether it is an age of failure or of suspension; without a
 * status it is a failure. With `lower` and `upper`, they say it themselves, and the status must not deny it.
 */
function readLife(draft: Draft, row: number): LifeRead {
  const refuse = (rule: RuleId, column: string, message: string): null => {
    draft.tell(rule, row, {column, message});
    return null;
  };
  const status = statusOf(draft, row);
  if (status === "unknown")
    return refuse(
      "life-status",
      "status",
      `${draft.headerOf("status")} "${draft.raw("status", row) ?? ""}" is none of failed, suspended and interval`,
    );
  const bounds = boundsOf(draft, row, status);
  if (typeof bounds === "string") return refuse("life-bounds", draft.cellOf.has("time") ? "time" : "lower", bounds);
  const {lower, upper} = bounds;
  const entry = given(draft, "entry", row) ? draft.number("entry", row) : 0;
  const last = upper === Infinity ? lower : upper;
  if (Number.isNaN(entry) || entry < 0 || entry >= last)
    return refuse("life-entry", "entry", `a life cannot enter at ${draft.raw("entry", row) ?? ""} and end at ${last}`);
  if (entry > lower && upper !== Infinity && lower !== upper && lower > 0)
    return refuse("life-entry", "entry", `a life cannot enter at ${entry} and have been seen good at ${lower}`);
  const count = given(draft, "count", row) ? draft.number("count", row) : 1;
  if (!Number.isFinite(count) || count <= 0)
    return refuse("life-count", "count", `${draft.raw("count", row) ?? ""} is no number of parts`);
  return {lower, upper, entry, count};
}

function statusOf(draft: Draft, row: number): "failed" | "suspended" | "interval" | "unknown" | null {
  const raw = draft.raw("status", row);
  if (raw === null || isMissing(raw.trim(), "word")) return null;
  const word = plainWord(raw);
  return (Object.hasOwn(STATUS_WORDS, word) ? STATUS_WORDS[word] : undefined) ?? "unknown";
}

/** Bounds of the age at failure, or a sentence that says why there are none. */
function boundsOf(
  draft: Draft,
  row: number,
  status: "failed" | "suspended" | "interval" | null,
): {lower: number; upper: number} | string {
  const time = draft.number("time", row);
  const [hasLower, hasUpper] = [given(draft, "lower", row), given(draft, "upper", row)];
  if (given(draft, "time", row) && !(hasLower || hasUpper)) {
    if (!Number.isFinite(time) || time <= 0)
      return `an age must be finite and above 0, got ${draft.raw("time", row) ?? ""}`;
    if (status === "interval") return `an interval needs lower and upper, got the one age ${time}`;
    return {lower: time, upper: status === "suspended" ? Infinity : time};
  }
  if (!hasLower && !hasUpper) return "the row has no age";
  const lower = hasLower ? draft.number("lower", row) : 0;
  const upper = hasUpper ? draft.number("upper", row) : Infinity;
  const shown = `${draft.raw("lower", row) ?? "nothing"} to ${draft.raw("upper", row) ?? "nothing"}`;
  if (!Number.isFinite(lower) || Number.isNaN(upper) || lower < 0 || upper <= 0)
    return `ages must be finite, above 0 and in order, got ${shown}`;
  if (lower > upper) return `lower must not be above upper, got ${shown}`;
  if (lower === 0 && upper === Infinity) return `${shown} says nothing about an age`;
  if (status === "failed" && upper === Infinity) return `a failed life needs upper, got ${shown}`;
  // a suspension written with its one age in both columns
  if (status === "suspended")
    return upper === Infinity || upper === lower
      ? {lower, upper: Infinity}
      : `a suspended life has no upper, got ${shown}`;
  return {lower, upper};
}

/** True where a cell says something, readable or not. */
function given(draft: Draft, column: string, row: number): boolean {
  const raw = draft.raw(column, row);
  return raw !== null && !isMissing(raw.trim(), "number");
}

function otherName(sheet: RawSheet, cell: number): string {
  const header = sheet.header[cell] ?? "";
  const name = header === "" ? `column ${cell + 1}` : header;
  return sheet.header.indexOf(header) === cell || header === "" ? name : `${name} (column ${cell + 1})`;
}

/** A column we know nothing of: numbers where every cell is one, else words. */
function otherColumn(sheet: RawSheet, cell: number, rows: readonly number[]): Words | Float64Array {
  const {codes, words} = sheet.cells[cell]!;
  const reads = words.map((word) => readNumber(word.trim(), sheet.decimalHint));
  const numeric =
    reads.some(({kind}) => kind === "number") &&
    reads.every(
      (read) => read.kind === "missing" || (read.kind === "number" && read.unit === null && read.sign === null),
    );
  if (!numeric) return wordsAt(sheet, cell, rows);
  return Float64Array.from(rows, (row) => {
    const read = reads[codes[row] ?? -1];
    return read?.kind === "number" ? read.value : NaN;
  });
}

function wordsAt(sheet: RawSheet, cell: number, rows: readonly number[]): Words {
  const {codes, words} = sheet.cells[cell]!;
  const tidy = words.map((word) => word.trim().replace(/\s+/g, " "));
  const index = new Map<string, number>();
  const kept = tidy.map((word) => {
    if (isMissing(word, "word")) return -1;
    if (!index.has(word)) index.set(word, index.size);
    return index.get(word)!;
  });
  return {codes: Int32Array.from(rows, (row) => kept[codes[row] ?? -1] ?? -1), words: [...index.keys()]};
}

function emptyLives(file: string, read: number, findings: Finding[]): ReadyLives {
  const none = new Float64Array(0);
  return {
    rows: 0,
    lower: none,
    upper: none,
    entry: none,
    count: none,
    mode: {codes: new Int32Array(0), words: []},
    line: new Int32Array(0),
    columns: {},
    findings,
    counts: {file, log: "lives", read, accepted: 0, repaired: 0, held: 0, setAside: read},
  };
}
