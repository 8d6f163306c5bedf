/** Logs and what stands beside them, opened as the page and the batch runner open them, and looked at by a cell. */
import Papa from "papaparse";
import {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {parseMapping, writeMapping} from "../../shared/mapping.ts";
import {CELL_KINDS} from "../../src/cells/index.ts";
import {findingsCsv, withAnswer, type LogFile, type Question} from "../../src/logs/index.ts";
import {evaluateCell} from "../../src/notebook/index.ts";
import {cellInputs} from "../../src/workspace/cellInputs.ts";
import {amendLogs, openLogs, type OpenLogs} from "../../src/workspace/openLogs.ts";
import {holesIn, saysSo} from "./holes.ts";
import type {Trial} from "./tried.ts";

const silent = (): void => undefined;

export const triedWorkspace: Trial = async (files) => {
  const outcome = await openLogs(files, false, silent);
  const {counts, findings, questions = []} = outcome.opened ? outcome.logs : outcome;
  const rows = counts.reduce((sum, {read}) => sum + read, 0);
  const wrong =
    notCounted(files, counts) ??
    notNamed(files, findings) ??
    executed(findings) ??
    unanswerable(questions) ??
    (outcome.opened ? tableWithHoles(outcome.logs, counts) : null) ??
    (outcome.opened ? lookedAt(outcome.logs, files) : null);
  return {rows, wrong};
};

/** Every row is in one of four states, whatever is not used says why, and no file is passed over. */
function notCounted(files: readonly LogFile[], counts: readonly RowCount[]): string | null {
  const lost = counts.find((c) => c.read !== c.accepted + c.repaired + c.held + c.setAside);
  if (lost !== undefined) return `${lost.file}: ${JSON.stringify(lost)} does not add up`;
  const uncounted = files.find(({name}) => isLog(name) && !counts.some(({file}) => file.startsWith(name)));
  return uncounted === undefined ? null : `${uncounted.name} is not counted`;
}

const isLog = (name: string): boolean => /\.(csv|xlsx|parquet)$/i.test(name) && !name.includes("/");

/** Findings say of which file they are, and of which line where it is one. */
function notNamed(files: readonly LogFile[], findings: readonly Finding[]): string | null {
  for (const {file, line, message, remedy} of findings) {
    const of = files.find(({name}) => file === name || file.startsWith(`${name} [`));
    if (of === undefined) return `a finding is of "${file}", which was not given: ${message}`;
    if (line !== null && !(Number.isInteger(line) && line >= 1)) return `a finding is of line ${line}: ${message}`;
    const isText = /\.(csv|ya?ml)$/.test(file);
    if (line !== null && isText && line > linesIn(of.bytes)) return `${file} has no line ${line}: ${message}`;
    if (message === "" || remedy === "") return `a finding of ${file} says nothing`;
  }
  return null;
}

/** At most: a line ends with CR, LF or both. */
const linesIn = (bytes: Uint8Array): number =>
  1 + bytes.reduce((sum, byte) => sum + (byte === 10 || byte === 13 ? 1 : 0), 0);

/** A cell at which a spreadsheet would begin to execute; signed numbers are none. */
const executes = (cell: string): boolean => /^\s*[=+\-@]/.test(cell) && !/^[+-]?\d+([.,]\d+)?(e[+-]?\d+)?$/i.test(cell);

function executed(findings: readonly Finding[]): string | null {
  const cells = Papa.parse<string[]>(findingsCsv(findings)).data.flat();
  return cells.some(executes) ? "a cell of the saved findings would be executed by a spreadsheet" : null;
}

/** Every question can be answered, and the answers can be kept. */
function unanswerable(questions: readonly Question[]): string | null {
  const mapping = questions.reduce(
    (before, question) => withAnswer(question, question.proposal ?? question.choices[0]?.value ?? "", before),
    parseMapping("", "mapping.yaml").mapping,
  );
  const written = writeMapping(mapping);
  return writeMapping(parseMapping(written, "mapping.yaml").mapping) === written
    ? null
    : "the answers are not read back as they were written";
}

/** A row in use has what its log requires, and no number is infinite. (Missing is NaN in a column: `columnar.ts`.) */
function tableWithHoles({runs, rebuilds, lives}: OpenLogs, counts: readonly RowCount[]): string | null {
  const used = counts.reduce((sum, {accepted, repaired}) => sum + accepted + repaired, 0);
  if (used !== runs.rows + rebuilds.rows) return `${used} rows are used, the tables have ${runs.rows + rebuilds.rows}`;
  for (const [table, specs] of [
    [runs, RUN_COLUMNS],
    [rebuilds, REBUILD_COLUMNS],
  ] as const)
    for (const [name, spec] of Object.entries(specs)) {
      const column: unknown = table.columns[name as keyof typeof table.columns];
      if (!(column instanceof Float64Array)) continue;
      if (column.length !== table.rows) return `${name} has ${column.length} of ${table.rows} rows`;
      if (column.some((value) => Math.abs(value) === Infinity)) return `${name} holds an infinite number`;
      if ("required" in spec && column.some(Number.isNaN)) return `${name} misses what a row in use requires`;
    }
  for (const [name, ages] of Object.entries({entry: lives.entry, lower: lives.lower, end: lives.ageAtEnd}))
    if (!ages.every((age) => Number.isFinite(age) && age >= 0)) return `a life has no ${name}, or one below 0`;
  if (!lives.exposure.hours.every((hours) => Number.isFinite(hours) && hours >= 0))
    return "a stretch of a life has no hours";
  return null;
}

/** A cell of each kind in turn says its sentence, also when the texts beside the logs are taken away. */
function lookedAt(logs: OpenLogs, files: readonly LogFile[]): string | null {
  const turn = files.reduce((sum, {bytes}) => sum + bytes.length, 0);
  const {kind, example} = CELL_KINDS[turn % CELL_KINDS.length]!;
  const bare = amendLogs(logs, Object.fromEntries(Object.keys(logs.texts).map((name) => [name, null])), silent);
  const effects = {progress: silent, signal: new AbortController().signal};
  for (const each of [logs, bare]) {
    const result = evaluateCell({kind, body: example, bodyLine: 2}, cellInputs(each, {}), effects);
    if ("problem" in result) return `${kind}: ${result.problem.message}`;
    const hole = holesIn(result.presentation, files.some(saysSo));
    if (hole !== null) return `${kind}: ${hole}`;
  }
  return null;
}
