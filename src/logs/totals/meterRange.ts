/**
 * The reading of a meter is beyond what a run can have, and no mistake for it. A column in which many values are, or that
 * someone has called a running total, is read without the range of a run; the range is asked of what comes of it.
 */
import type {ColumnSpec} from "../../../shared/columns.ts";
import {METERED, type FileMapping} from "../../../shared/mapping.ts";
import type {Draft} from "../draft.ts";
import type {NumberRead} from "../values/readNumber.ts";

/** Share of the cells beyond what is usual for a run, from which on they may be readings. */
const MANY = 0.2;
/** Hours or pulses that no meter shows. */
const MOST_SHOWN = 1e9;

/** The column as it is read: without the range of a run where its values may be readings of a meter. */
export function readAsMeter(
  draft: Draft,
  name: string,
  spec: ColumnSpec,
  reads: readonly NumberRead[],
  counts: Int32Array,
  answers: FileMapping,
): ColumnSpec {
  if (draft.log !== "runs" || !METERED.some((one) => one === name)) return spec;
  const said = answers.totals?.[name];
  if (said === "no tool" || (said === undefined && !manyBeyond(spec, reads, counts))) return spec;
  draft.unranged.add(name);
  const {plausible: _, ...rest} = spec;
  return {...rest, possible: [0, MOST_SHOWN]};
}

function manyBeyond({plausible, possible}: ColumnSpec, reads: readonly NumberRead[], counts: Int32Array): boolean {
  const most = plausible?.[1] ?? possible?.[1] ?? Infinity;
  let [beyond, all] = [0, 0];
  reads.forEach((read, code) => {
    if (read.kind !== "number") return;
    all += counts[code]!;
    if (read.value > most) beyond += counts[code]!;
  });
  return beyond > all * MANY;
}

/** The range of a run, asked of the rows that are used, once it is settled what the column holds. */
export function checkRange(draft: Draft, name: string): void {
  const values = draft.numbers.get(name);
  const spec = draft.specs[name];
  if (values === undefined || spec === undefined) return;
  const [least, most] = spec.possible ?? [-Infinity, Infinity];
  const [low, high] = spec.plausible ?? [-Infinity, Infinity];
  const header = draft.headerOf(name);
  for (let row = 0; row < draft.rows; ++row) {
    const value = values[row]!;
    if (!draft.used(row) || Number.isNaN(value) || (value >= low && value <= high)) continue;
    if (value > most || value < least) {
      const message = `${header} ${value} cannot be: it must lie in ${least} to ${most}`;
      const becomes = draft.required(name) ? ("held" as const) : ("repaired" as const);
      draft.tell("number-impossible", row, {column: name, message, taken: "missing", row: becomes});
      values[row] = NaN;
    } else {
      const message = `${header} ${value} is outside the usual ${low} to ${high}`;
      draft.tell("number-unusual", row, {column: name, message, taken: String(value)});
    }
  }
}
