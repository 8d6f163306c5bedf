/** Which log a sheet is, and which of its headers is which column. */
import type {Finding} from "../../shared/findings.ts";
import type {ColumnAt} from "./convertNumbers.ts";
import {HeaderIndex, REBUILD_SPECS, RUN_SPECS, type HeaderMatch, type Specs} from "./headers.ts";
import type {FileAnswers} from "./options.ts";
import type {RawSheet} from "./rawSheet.ts";
import type {RuleId} from "./rules/catalogue.ts";
import {findingOf} from "./sink.ts";

export type LogName = "runs" | "rebuilds";

export const SPECS: Readonly<Record<LogName, Specs>> = {runs: RUN_SPECS, rebuilds: REBUILD_SPECS};
export const INDEXES: Readonly<Record<LogName, HeaderIndex>> = {
  runs: new HeaderIndex(RUN_SPECS),
  rebuilds: new HeaderIndex(REBUILD_SPECS),
};

const LOGS: readonly LogName[] = ["runs", "rebuilds"];

/** The log a file says it is by its name: the first of the words in it. */
export function logOfName(file: string): LogName | null {
  const name = file.toLowerCase();
  if (/rebuild|teardown|redress|strip|service|workshop/.test(name)) return "rebuilds";
  return /run|job|bha/.test(name) ? "runs" : null;
}

/**
 * The log a sheet is: as answered; by its file name, unless its headers leave out what that log requires and hold
 * what the other one does; else by its headers. Null: neither.
 */
export function logOfSheet(sheet: RawSheet, answers: FileAnswers): {log: LogName | null; contradicts: boolean} {
  if (answers.log === "none") return {log: null, contradicts: false};
  if (answers.log !== undefined) return {log: answers.log, contradicts: false};
  const known = new Map(LOGS.map((log) => [log, knownColumns(sheet, log)]));
  const named = namedLog(sheet, known);
  const lacking = (log: LogName): number =>
    requiredOf(log).filter((column) => known.get(log)?.has(column) !== true).length;
  const complete = LOGS.filter((log) => lacking(log) === 0);
  if (named !== null) {
    const other = LOGS.find((log) => log !== named)!;
    const better = lacking(named) > 0 && complete.includes(other);
    return {log: better ? other : named, contradicts: better};
  }
  if (complete.length === 1) return {log: complete[0]!, contradicts: false};
  const best = LOGS.filter((log) => known.get(log)!.size >= FEWEST_KNOWN && lacking(log) <= 1).sort(
    (a, b) => lacking(a) - lacking(b) || known.get(b)!.size - known.get(a)!.size,
  );
  return {log: best[0] ?? null, contradicts: false};
}

/**
 * The log that a name says: that of the sheet before that of its workbook. A workbook has sheets of other kinds beside
 * its logs, so there the headers must not speak against it.
 */
function namedLog(sheet: RawSheet, known: ReadonlyMap<LogName, ReadonlySet<string>>): LogName | null {
  if (sheet.sheet === null) return logOfName(sheet.file);
  const named = logOfName(sheet.sheet) ?? logOfName(sheet.book ?? sheet.file);
  return named !== null && (known.get(named)?.size ?? 0) >= FEWEST_KNOWN ? named : null;
}

const FEWEST_KNOWN = 3;

/** True where a sheet names some columns of a log, though too few to take it for one: worth a question. */
export function resemblesLog(sheet: RawSheet): boolean {
  return LOGS.some((log) => knownColumns(sheet, log).size >= FEWEST_KNOWN);
}

/** The log that a sheet which fits neither is most like, where it names two of its columns or more; null: none. */
export function likelyLog(sheet: RawSheet): LogName | null {
  const [runs, rebuilds] = LOGS.map((log) => knownColumns(sheet, log).size) as [number, number];
  if (Math.max(runs, rebuilds) < 2 || runs === rebuilds) return null;
  return runs > rebuilds ? "runs" : "rebuilds";
}

function knownColumns(sheet: RawSheet, log: LogName): Set<string> {
  const columns = new Set<string>();
  for (const header of sheet.header) {
    const match = INDEXES[log].match(header);
    if (match !== null) columns.add(match.column);
  }
  return columns;
}

/** Required columns of a log; a rebuild row also needs `found` or `mode`, which is asked of each row. */
function requiredOf(log: LogName): string[] {
  return Object.entries(SPECS[log])
    .filter(([, spec]) => spec.required === true)
    .map(([name]) => name);
}

/** So many unknown headers are named one by one. */
const NAMED = 40;

/** The columns of a sheet, and the findings of headers that are unknown, claim one column twice, or are missing. */
export function mapHeaders(
  sheet: RawSheet,
  log: LogName,
  answers: FileAnswers,
  findings: Finding[],
): {columns: ColumnAt[]; complete: boolean} {
  const specs = SPECS[log];
  const note = (rule: RuleId, header: string | null, message: string, taken: string | null = null): void => {
    findings.push(
      findingOf({rule, file: sheet.file, line: sheet.headerLine, column: header, found: header, taken, message}),
    );
  };
  const unknown: string[] = [];
  const claims = new Map<string, {cell: number; match: HeaderMatch}[]>();
  sheet.header.forEach((header, cell) => {
    const answered = answers.columns?.[header];
    if (answered === null) return;
    const match = answered === undefined ? INDEXES[log].match(header) : answeredMatch(header, answered, log);
    if (match !== null && Object.hasOwn(specs, match.column))
      claims.set(match.column, [...(claims.get(match.column) ?? []), {cell, match}]);
    else if (header !== "") {
      unknown.push(header);
      if (unknown.length <= NAMED)
        note(
          "header-unknown",
          header,
          `"${header}" names no column of the ${log === "runs" ? "run" : "rebuild"} log and is not used`,
        );
    } else if ((sheet.cells[cell]?.words.length ?? 0) > 0)
      note("header-unknown", null, `column ${cell + 1} has no header and is not used`);
  });
  if (unknown.length > NAMED)
    note("header-unknown", null, `${unknown.length - NAMED} more headers name no column and are not used`);
  const columns: ColumnAt[] = [];
  for (const [name, claimed] of claims) {
    const [best, ...others] = [...claimed].sort((a, b) => a.match.distance - b.match.distance || a.cell - b.cell);
    columns.push({name, spec: specs[name]!, cell: best!.cell, match: best!.match});
    for (const {cell} of others) {
      const [used, header] = [sheet.header[best!.cell]!, sheet.header[cell]!];
      note("header-twice", header, `"${used}" and "${header}" both claim the column ${name}`, `"${used}"`);
    }
  }
  columns.sort((a, b) => a.cell - b.cell);
  const missing = requiredOf(log).filter((name) => !claims.has(name));
  if (log === "rebuilds" && !claims.has("found") && !claims.has("mode")) missing.push("found or mode");
  const found = sheet.header.filter((header) => header !== "").join(", ");
  for (const name of missing)
    note("header-missing", null, `${sheet.file} has no column for ${name}; its headers are: ${found || "none"}`);
  return {columns, complete: missing.length === 0};
}

/** A header that a person has named; its unit is still read from it. */
function answeredMatch(header: string, column: string, log: LogName): HeaderMatch {
  const match = INDEXES[log].match(header);
  return match?.column === column ? match : {column, distance: 2, unit: null, unknownUnit: null};
}
