/** Other tools lost in hole, where the reviewed run was: the sisters of a run that left nothing to look at. */
import {wordAt} from "../../../shared/columnar.ts";
import {rateLimits} from "../../statistics/index.ts";
import type {CellInputs, Presentation} from "../contract.ts";
import {exposureSum, runsInView} from "../inView.ts";
import {clockOf, sayCount, sayLevel, sayLimits, sayNumber} from "../say.ts";
import {dayOf} from "./dayOf.ts";
import type {Subject} from "./subject.ts";

export function lossesOf(inputs: CellInputs, {run, fleet}: Subject): Presentation {
  const {runs, conditions, settings} = inputs;
  const {columns} = runs;
  const {unit} = clockOf(settings);
  const seen = runsInView(inputs);
  const lost = Array.from(seen).filter((row) => wordAt(columns.outcome, row) === "lost in hole");
  const {exposure} = exposureSum(inputs, seen);
  const own = lost.filter((row) => fleet !== null && wordAt(columns.fleet, row) === fleet);
  const limits = exposure > 0 ? rateLimits({count: lost.length, exposure}, settings.level) : null;
  const rate =
    limits === null
      ? ""
      : `, ${sayNumber((lost.length / exposure) * 1000)} per 1,000 ${unit} (${sayLevel(settings)} ${sayLimits([limits[0] * 1000, limits[1] * 1000])})`;
  const rows = [...lost].sort((a, b) => columns.end[b]! - columns.end[a]!);
  const text = (name: string, label: string, of: (row: number) => string | null) => ({
    name,
    label,
    values: rows.map(of),
  });
  return {
    headline:
      `${sayCount(lost.length, "run was", "runs were")} lost in hole in ${sayNumber(Math.round(exposure))} ${unit} in view${rate}${fleet === null ? "" : `, ${sayNumber(own.length)} of them by ${fleet}`}; the one reviewed is counted.`.replace(
        /^no runs/,
        "No runs",
      ),
    figures: [],
    tables:
      rows.length === 0
        ? []
        : [
            {
              name: "losses",
              title: "Runs lost in hole",
              columns: [
                {name: "end", label: "day", format: "date", values: rows.map((row) => dayOf(columns.end[row]!))},
                text("run", "run", (row) => `${wordAt(columns.run, row) ?? "?"}${row === run ? " (reviewed)" : ""}`),
                text("tool", "tool", (row) => wordAt(columns.tool, row)),
                text("job", "job", (row) => wordAt(columns.job, row)),
                text("fleet", "fleet", (row) => wordAt(columns.fleet, row)),
                text("mud", "mud", (row) => wordAt(conditions.mud, row)),
                {
                  name: "hours",
                  label: "circulating",
                  unit: "h",
                  format: "hours",
                  values: rows.map((row) => (columns.circulating_h[row]! >= 0 ? columns.circulating_h[row]! : null)),
                },
              ],
            },
          ],
    cautions: [
      "A tool is lost with the string for many reasons that are none of its own; the log does not tell them apart.",
    ],
  };
}
