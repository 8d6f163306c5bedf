/** What a page offers to decide on: the rows of the interval sheet, for the form that writes the register. */
import type {DecisionScope} from "../../shared/register.ts";
import {componentLabel} from "../../shared/vocabulary/index.ts";
import {inForce, type IntervalRow} from "../decisions/index.ts";
import type {CellInputs, IntervalDecisionOffer} from "./contract.ts";
import {clockOf, sayCondition, sayNumber, sayWhere} from "./say.ts";

/**
 * Rows without advice are not offered; a page filtered to one fleet decides for that fleet alone.
 *
 * @param priced the fleet that the rows were priced for; null: all in view
 */
export function decisionOffer(
  rows: readonly IntervalRow[],
  inputs: CellInputs,
  priced: string | null = null,
): IntervalDecisionOffer {
  const {where, register, settings, runs} = inputs;
  const {unit} = clockOf(settings);
  const fleet = priced ?? (where.fleet?.length === 1 ? where.fleet[0]! : null);
  const items = rows
    .filter(({advice}) => advice !== "not enough data")
    .map((row) => {
      const scope: DecisionScope = {component: row.component, mud: row.mud, regime: row.regime, fleet};
      const decided = inForce(register, scope);
      const {recommended, current} = row.failuresPer1000h;
      return {
        scope,
        label: `${componentLabel(row.component)}, ${sayCondition(row.mud, row.regime)}`,
        recommended_h: row.interval_h,
        before_h: decided === null ? row.current_h : decided.interval_h,
        advice: row.interval_h === null ? "run to failure" : `renew at ${sayNumber(row.interval_h)} ${unit}`,
        inForce:
          decided === null
            ? null
            : `${decided.interval_h === null ? "run to failure" : `${sayNumber(decided.interval_h)} ${unit}`}, ${decided.decision} on ${decided.date} by ${decided.initials} (revision ${decided.revision})`,
        failures:
          recommended === null || current === null ? null : {before: round(current), foretold: round(recommended)},
      };
    })
    .sort((a, b) => a.label.localeCompare(b.label, "en"));
  return {
    type: "interval decision",
    unit,
    items,
    fleet,
    dataTo: lastDay(runs.columns.end, where.to),
    filters: sayWhere({...where, component: [], mud: [], regime: []}),
    trouble: register.trouble,
  };
}

const round = (rate: number): number => Number(rate.toPrecision(3));

/** Last day with a run, within the page's dates; null without a run. */
function lastDay(ends: Float64Array, to: string | undefined): string | null {
  const until = to === undefined ? Infinity : Date.parse(to) + 86_400_000 - 1;
  let last = -Infinity;
  for (const end of ends) if (end <= until && end > last) last = end;
  return Number.isFinite(last) ? new Date(last).toISOString().slice(0, 10) : null;
}
