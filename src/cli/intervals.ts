/** `intervals FOLDER`: the recommended renewal intervals. */
import {writeFile} from "node:fs/promises";
import {intervalsJson, renewalIntervals, type IntervalRow} from "../decisions/index.ts";
import {toCsv} from "../logs/index.ts";
import type {Effects} from "./effects.ts";
import {loadFolder} from "./loadFolder.ts";
import {digits, limitsText, textTable} from "./textTable.ts";

export interface IntervalsOptions {
  readonly json?: true;
  readonly csv?: string;
}

export async function intervals(path: string, {json, csv}: IntervalsOptions, effects: Effects): Promise<void> {
  const {logs} = await loadFolder(path, effects);
  const rows = renewalIntervals(logs);
  if (csv !== undefined) await writeFile(csv, toCsv(csvColumns(rows)));
  if (json) effects.print(JSON.stringify(intervalsJson(rows), null, 2));
  else if (csv === undefined) print(rows, logs.settings.currency, effects);
}

function print(rows: readonly IntervalRow[], currency: string, {print}: Effects): void {
  if (rows.length === 0) {
    print("No component has exposure in any mud and flow regime: there is nothing to recommend.");
    return;
  }
  print(
    textTable([
      {label: "component", values: rows.map(({component}) => component)},
      {label: "mud", values: rows.map(({mud}) => mud)},
      {label: "regime", values: rows.map(({regime}) => regime)},
      {label: "advice", values: rows.map(({advice}) => advice)},
      {label: "interval h", values: rows.map(({interval_h}) => interval_h)},
      {label: "limits h", values: rows.map(({limits_h}) => limitsText(limits_h, 3))},
      {label: "rule", values: rows.map(({boundBy}) => boundBy)},
      {label: "current h", values: rows.map(({current_h}) => digits(current_h, 3))},
      {label: `${currency}/1,000 h`, values: rows.map(({costPer1000h}) => digits(costPer1000h.recommended))},
      {label: "current", values: rows.map(({costPer1000h}) => digits(costPer1000h.current))},
      {label: "better", values: rows.map(({chanceBetterThanCurrent}) => digits(chanceBetterThanCurrent, 2))},
      {label: "lives", values: rows.map(({lives}) => lives)},
      {label: "failures", values: rows.map(({failures}) => failures)},
    ]),
  );
  print(
    "\nThese intervals come from this shop's own logs. The equipment maker's procedures, local rules and competent " +
      "people decide, and win over any interval shown here. --json gives the cautions of each row.",
  );
}

/** The JSON's keys, flattened, one column each. */
function csvColumns(rows: readonly IntervalRow[]): Parameters<typeof toCsv>[0] {
  const json = intervalsJson(rows);
  const column = (name: string, values: readonly (string | number | null)[]) => ({name, values});
  return [
    column(
      "component",
      json.map((row) => row.component),
    ),
    column(
      "mud",
      json.map((row) => row.mud),
    ),
    column(
      "regime",
      json.map((row) => row.regime),
    ),
    column(
      "advice",
      json.map((row) => row.advice),
    ),
    column(
      "interval_h",
      json.map((row) => row.interval_h),
    ),
    column(
      "limits_lower_h",
      json.map((row) => row.limits_h[0]),
    ),
    column(
      "limits_upper_h",
      json.map((row) => row.limits_h[1]),
    ),
    column(
      "bound_by",
      json.map((row) => row.boundBy),
    ),
    column(
      "current_h",
      json.map((row) => row.current_h),
    ),
    column(
      "cost_per_1000h_recommended",
      json.map((row) => row.costPer1000h.recommended),
    ),
    column(
      "cost_per_1000h_current",
      json.map((row) => row.costPer1000h.current),
    ),
    column(
      "cost_per_1000h_run_to_failure",
      json.map((row) => row.costPer1000h.runToFailure),
    ),
    column(
      "failures_per_1000h_recommended",
      json.map((row) => row.failuresPer1000h.recommended),
    ),
    column(
      "failures_per_1000h_current",
      json.map((row) => row.failuresPer1000h.current),
    ),
    column(
      "failures_per_1000h_run_to_failure",
      json.map((row) => row.failuresPer1000h.runToFailure),
    ),
    column(
      "chance_better_than_current",
      json.map((row) => row.chanceBetterThanCurrent),
    ),
    column(
      "lives",
      json.map((row) => row.lives),
    ),
    column(
      "failures",
      json.map((row) => row.failures),
    ),
    column(
      "shape",
      json.map((row) => row.shape),
    ),
    column(
      "scale_h",
      json.map((row) => row.scale),
    ),
    column(
      "cautions",
      json.map((row) => row.cautions.join("; ")),
    ),
  ];
}
