/** Imports damaged files and says what went wrong, if anything did. */
import Papa from "papaparse";
import {parseMapping, writeMapping} from "../../shared/mapping.ts";
import {findingsCsv, importLogs, withAnswer, type LogFile} from "../../src/logs/index.ts";

export interface Tried {
  readonly rows: number;
  /** ms */
  readonly took: number;
  /** a sentence; null: all is well */
  readonly wrong: string | null;
}

/** Nobody waits longer for a file of a few kilobytes, or for one line of a million cells. */
const HANGS_MS = 20_000;

/** A cell at which a spreadsheet would begin to execute; signed numbers are none. */
function executes(cell: string): boolean {
  return /^\s*[=+\-@]/.test(cell) && !/^[+-]?\d+([.,]\d+)?(e[+-]?\d+)?$/i.test(cell);
}

export async function tried(files: readonly LogFile[]): Promise<Tried> {
  const from = performance.now();
  let rows = 0;
  try {
    const logs = await importLogs(files);
    rows = logs.counts.reduce((sum, {read}) => sum + read, 0);
    const lost = logs.counts.find((c) => c.read !== c.accepted + c.repaired + c.held + c.setAside);
    if (lost !== undefined) return ended(`${lost.file}: ${JSON.stringify(lost)} does not add up`);
    const used = logs.counts.reduce((sum, {accepted, repaired}) => sum + accepted + repaired, 0);
    if (used !== logs.runs.rows + logs.rebuilds.rows)
      return ended(`${used} rows are used, the tables have another number`);
    if (files.some(({name}) => !logs.counts.some(({file}) => file.startsWith(name))))
      return ended("a file is not counted");
    if (Papa.parse<string[]>(findingsCsv(logs.findings)).data.flat().some(executes))
      return ended("a cell of the saved findings would be executed by a spreadsheet");
    // every question can be answered, and the answers can be kept
    const mapping = logs.questions.reduce(
      (before, question) => withAnswer(question, question.proposal ?? question.choices[0]?.value ?? "", before),
      parseMapping("", "mapping.yaml").mapping,
    );
    if (writeMapping(parseMapping(writeMapping(mapping), "mapping.yaml").mapping) !== writeMapping(mapping))
      return ended("the answers are not read back as they were written");
  } catch (error) {
    return ended(error instanceof Error ? (error.stack ?? error.message) : String(error));
  }
  return ended(performance.now() - from > HANGS_MS ? `took ${Math.round(performance.now() - from)} ms` : null);

  function ended(wrong: string | null): Tried {
    return {rows, took: performance.now() - from, wrong};
  }
}
