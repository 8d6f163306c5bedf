/**
 * Values of one column in two groups that lie apart as two units do: some rows were written in L/min, some in gal/min,
 * and each alone would pass. Tools of two sizes give two groups too, so a group is doubted only where the same tools
 * stand in both.
 */
import type {Unit} from "../../../shared/units.ts";
import type {Draft} from "../draft.ts";

/** The gap between the groups, as a ratio; flows of one tool vary less. */
const LEAST_GAP = 1.6;
const FEWEST_ROWS = 3;
const LEAST_SHARE = 0.02;
/** Of the rows in the smaller group, so many must be of tools that stand in the larger one too. */
const SAME_TOOLS = 0.8;
/** How far the middle of a converted group may lie from the middle of the other, as a ratio. */
const MEETS = 1.25;

export interface OtherGroup {
  readonly rows: readonly number[];
  /** what the smaller group would be in */
  readonly unit: Unit;
}

/**
 * @param raw a number for each row as it is written, NaN where there is none or where the cell names its unit
 * @param unit what the column is read in
 * @param others units it might be in instead
 * @returns the smaller group and its likely unit; null where the values do not part in two
 */
export function otherGroup(draft: Draft, raw: Float64Array, unit: Unit, others: readonly Unit[]): OtherGroup | null {
  const rows = [...raw.keys()].filter((row) => raw[row]! > 0).sort((a, b) => raw[a]! - raw[b]!);
  let cut = 0;
  let gap = LEAST_GAP;
  for (let i = 1; i < rows.length; ++i) {
    const ratio = raw[rows[i]!]! / raw[rows[i - 1]!]!;
    if (ratio > gap) [cut, gap] = [i, ratio];
  }
  if (cut === 0) return null;
  const [low, high] = [rows.slice(0, cut), rows.slice(cut)];
  const [small, large] = low.length <= high.length ? [low, high] : [high, low];
  if (small.length < Math.max(FEWEST_ROWS, rows.length * LEAST_SHARE)) return null;
  const middle = (group: readonly number[]): number => raw[group[group.length >> 1]!]!;
  const target = middle(large) * unit.factor + unit.offset;
  const meant = others.find((other) => {
    const ratio = (middle(small) * other.factor + other.offset) / target;
    return ratio < MEETS && ratio > 1 / MEETS;
  });
  if (meant === undefined) return null;
  const tools = new Set(large.map((row) => draft.raw("tool", row)));
  const shared = small.filter((row) => tools.has(draft.raw("tool", row))).length;
  return shared < small.length * SAME_TOOLS ? null : {rows: small, unit: meant};
}
