/** The runs of one tool in order, and the visits to the bench between them. */
import {wordAt} from "../../../shared/columnar.ts";
import {endedBefore} from "../../lives/index.ts";
import type {CellInputs} from "../contract.ts";

const DAY = 86_400_000;

/** The rebuild rows of a tool between two runs; several days of them are one visit. */
export interface Visit {
  /** first and last day, ms since 1970 UTC */
  readonly from: number;
  readonly to: number;
  /** rows of the rebuild table */
  readonly rows: readonly number[];
  /** how many runs of the tool came before it */
  readonly after: number;
}

export interface ToolLog {
  readonly tool: string | null;
  /** rows of the run table, by their end */
  readonly runs: readonly number[];
  /** place of the reviewed run among them */
  readonly at: number;
  readonly visits: readonly Visit[];
  /** the last visit before the run; null where none is logged */
  readonly before: Visit | null;
  /** the visit right after the run; null where the tool was not opened before its next run */
  readonly torn: Visit | null;
  /** the first visit after the run, whatever ran between; null where none is logged */
  readonly next: Visit | null;
}

export function toolLog({runs, rebuilds}: Pick<CellInputs, "runs" | "rebuilds">, run: number): ToolLog {
  const tool = wordAt(runs.columns.tool, run);
  const {end} = runs.columns;
  const own: number[] = [];
  const code = runs.columns.tool.codes[run]!;
  for (let row = 0; row < runs.rows; row++) {
    if (row === run || (code >= 0 && runs.columns.tool.codes[row] === code && Number.isFinite(end[row]!)))
      own.push(row);
  }
  own.sort((a, b) => end[a]! - end[b]! || a - b);
  const at = own.indexOf(run);
  const visits = tool === null ? [] : visitsOf({runs, rebuilds}, tool, own);
  return {
    tool,
    runs: own,
    at,
    visits,
    before: visits.findLast(({after}) => after <= at) ?? null,
    torn: visits.find(({after}) => after === at + 1) ?? null,
    next: visits.find(({after}) => after > at) ?? null,
  };
}

function visitsOf(
  {runs, rebuilds}: Pick<CellInputs, "runs" | "rebuilds">,
  tool: string,
  own: readonly number[],
): Visit[] {
  const {date} = rebuilds.columns;
  const code = rebuilds.columns.tool.words.indexOf(tool);
  const rows: number[] = [];
  if (code < 0) return [];
  for (let row = 0; row < rebuilds.rows; row++)
    if (rebuilds.columns.tool.codes[row] === code && Number.isFinite(date[row]!)) rows.push(row);
  rows.sort((a, b) => date[a]! - date[b]! || a - b);
  const visits: Visit[] = [];
  let after = 0;
  for (const row of rows) {
    while (after < own.length && endedBefore(runs, own[after]!, date[row]!)) after++;
    const last = visits.at(-1);
    if (last !== undefined && last.after === after)
      visits[visits.length - 1] = {...last, to: date[row]!, rows: [...last.rows, row]};
    else visits.push({from: date[row]!, to: date[row]!, rows: [row], after});
  }
  return visits;
}

/** Days a visit took or lay apart, for words. */
export const daysBetween = (from: number, to: number): number => Math.round((to - from) / DAY);
