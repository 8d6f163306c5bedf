/** The rebuild before each run: whose shop and hands the tool came from, and how many hours it has run since. */
import {exposureOf} from "../lives/index.ts";
import type {CellEffects, CellInputs} from "./contract.ts";

export interface ServicedBefore {
  /** a row of the rebuild table of the last rebuild before each run, by run; -1 where none is logged */
  readonly row: Int32Array;
  /** exposure of the tool since that rebuild when the run begins; NaN where a run between names none */
  readonly before: Float64Array;
}

/** The last rebuild before every run, made once for these logs. */
export function servicedBefore(inputs: CellInputs, effects: CellEffects): ServicedBefore {
  const make = () => find(inputs);
  return effects.memo ? effects.memo(`serviced before ${inputs.settings.exposure}`, make) : make();
}

function find({runs, rebuilds, settings}: CellInputs): ServicedBefore {
  const row = new Int32Array(runs.rows).fill(-1);
  const before = new Float64Array(runs.rows).fill(NaN);
  const exposures = exposureOf(runs, settings.exposure);
  const rebuildsOf = rowsByTool(rebuilds.columns.tool.codes, rebuilds.columns.date);
  const runsOf = rowsByTool(runs.columns.tool.codes, runs.columns.end);
  const codes = new Map(rebuilds.columns.tool.words.map((word, code) => [word, code]));
  for (const [tool, rows] of runsOf) {
    const word = runs.columns.tool.words[tool] ?? "";
    const visits = rebuildsOf.get(codes.get(word) ?? -1) ?? [];
    let next = 0;
    let last = -1;
    let since = NaN;
    for (const run of rows) {
      while (next < visits.length && rebuilds.columns.date[visits[next]!]! <= beganOn(runs.columns, run)) {
        last = visits[next++]!;
        since = 0;
      }
      row[run] = last;
      before[run] = since;
      since += exposures[run]! >= 0 ? exposures[run]! : NaN;
    }
  }
  return {row, before};
}

/** A rebuild is dated by its day; one of the day on which a run began came before it. A run without a start: its end. */
function beganOn({start, end}: CellInputs["runs"]["columns"], run: number): number {
  return Number.isFinite(start[run]!) ? start[run]! : end[run]!;
}

function rowsByTool(codes: Int32Array, times: Float64Array): Map<number, number[]> {
  const rows = new Map<number, number[]>();
  codes.forEach((code, row) => {
    if (code < 0 || !Number.isFinite(times[row]!)) return;
    const list = rows.get(code);
    if (list) list.push(row);
    else rows.set(code, [row]);
  });
  for (const list of rows.values()) list.sort((a, b) => times[a]! - times[b]! || a - b);
  return rows;
}
