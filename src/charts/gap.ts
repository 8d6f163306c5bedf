/** How one figure becomes another: parts that add are filled, parts that take away are hollow, each with its amount. */
import {axisX, axisY, barX, gridX, link, ruleX, text, type PlotOptions} from "@observablehq/plot";
import {scaleLinear} from "d3";
import type {Behind} from "./behind.ts";
import type {GapChart} from "./chart.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  labelWidth,
  marginFor,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

interface Step {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly note: string;
  readonly kind: "whole" | "adds" | "takes";
  readonly behind: Behind | undefined;
}

export function gapOptions(chart: GapChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const steps = stepsOf(chart);
  const extent = extentOf(steps.flatMap((step) => [0, step.from, step.to, step.lower, step.upper]));
  if (!extent || chart.parts.length === 0) return blank(sheet, "no gap to take apart");
  const domain = scaleLinear([Math.min(0, extent[0]), extent[1]], [0, 1])
    .nice(6)
    .domain() as [number, number];
  const names = steps.map((step) => step.name);
  const notes = Math.min(Math.max(60, ...steps.map((step) => labelWidth(step.note) + 14)), sheet.width * 0.3);
  const limited = steps.filter((step) => isDrawable(step.lower) && isDrawable(step.upper));
  const of = (kind: Step["kind"]) => steps.filter((step) => step.kind === kind);
  const title = (step: Step) =>
    sheet.told(
      step.kind === "whole"
        ? `${step.name}: ${formatNumber(step.to)} ${chart.unit}`
        : `${step.name} ${step.kind === "adds" ? "adds" : "takes away"} ${formatNumber(Math.abs(step.to - step.from))} ${chart.unit}`,
      step,
    );
  const bar = {x1: "from", x2: "to", y: "name", title} as const;
  const key = legend(
    [
      {label: "adds to the gap", sample: "bar", colour: palette.series[1]!},
      ...(of("takes").length
        ? ([{label: "takes away from it", sample: "hollow", colour: palette.series[0]!}] as const)
        : []),
    ],
    sheet,
    {left: 4, row: 0},
  );
  return frame(sheet, key.margin + 44 + steps.length * 30, {
    marginTop: key.margin,
    marginLeft: marginFor(names, sheet),
    marginRight: notes,
    marginBottom: 40,
    x: {domain, label: null},
    y: {type: "band", domain: names, label: null, padding: 0.35},
    marks: [
      gridX({stroke: palette.grid, strokeOpacity: 1, ticks: sheet.width / 110}),
      axisX({
        label: chart.unit === "" ? chart.label : `${chart.label} (${chart.unit})`,
        labelAnchor: "center",
        labelArrow: "none",
        tickFormat: formatNumber,
        ticks: sheet.width / 110,
      }),
      axisY({tickSize: 0, label: null, lineWidth: marginFor(names, sheet) / 12}),
      barX(of("whole"), {...bar, fill: palette.series[5]!, ariaDescription: "the two figures"}),
      barX(of("adds"), {...bar, fill: palette.series[1]!, ariaDescription: "parts that add"}),
      barX(of("takes"), {
        ...bar,
        fill: palette.surface,
        stroke: palette.series[0]!,
        strokeWidth: 1.5,
        ariaDescription: "parts that take away",
      }),
      link(limited, {
        x1: "lower",
        x2: "upper",
        y1: "name",
        y2: "name",
        stroke: palette.ink,
        strokeWidth: 1.5,
        ariaDescription: "limits of a part",
      }),
      // where a part ends the next begins
      link(steps.slice(0, -1), {
        x1: "to",
        x2: "to",
        y1: "name",
        y2: (_: Step, i: number) => steps[i + 1]!.name,
        stroke: palette.muted,
        strokeWidth: 1,
        strokeDasharray: "2 3",
        ariaDescription: "from part to part",
      }),
      ruleX([0], {stroke: palette.ink}),
      text(steps, {frameAnchor: "right", y: "name", text: "note", textAnchor: "start", dx: 8, fill: palette.ink}),
      key.mark,
    ],
  });
}

function stepsOf({from, to, parts}: GapChart): Step[] {
  let at = from.value;
  const whole = ({name, value, note, behind}: GapChart["from"]): Step => ({
    name,
    from: 0,
    to: value,
    lower: null,
    upper: null,
    note,
    kind: "whole",
    behind,
  });
  return [
    whole(from),
    ...parts.map((part): Step => {
      const start = at;
      at += part.value;
      return {
        name: part.name,
        from: start,
        to: at,
        lower: part.lower === null ? null : start + part.lower,
        upper: part.upper === null ? null : start + part.upper,
        note: part.note,
        kind: part.value >= 0 ? "adds" : "takes",
        behind: part.behind,
      };
    }),
    whole(to),
  ];
}

export function gapColumns(chart: GapChart): ChartColumn[] {
  const unit = chart.unit === "" ? null : chart.unit;
  const rows = [
    {...chart.from, what: "figure", lower: null, upper: null},
    ...chart.parts.map((part) => ({...part, what: "part"})),
    {...chart.to, what: "figure", lower: null, upper: null},
  ];
  return columnsOf(rows, [
    ["name", null, (r) => r.name],
    ["what", null, (r) => r.what],
    [chart.label.replaceAll(" ", "_"), unit, (r) => r.value],
    ["lower", unit, (r) => r.lower],
    ["upper", unit, (r) => r.upper],
    ["note", null, (r) => r.note],
  ]);
}
