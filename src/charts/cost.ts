/** Money per 1,000 hours against the renewal interval: how flat the best is, and where today stands. */
import {dot, ruleX, ruleY, text, type PlotOptions} from "@observablehq/plot";
import type {CostChart} from "./chart.ts";
import {curveColumns, curveMarks, fromZero} from "./curves.ts";
import {blank, columnsOf, extentOf, formatNumber, frame, isDrawable, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function costOptions(chart: CostChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.series.flatMap((s) => s.curve);
  const ages = extentOf([...points.map((p) => p.age), ...chart.marks.map((m) => m.interval)]);
  const costs = extentOf([...points.map((p) => p.estimate), ...chart.marks.map((m) => m.cost), chart.runToFailure]);
  if (!ages || !costs || ages[1] <= 0 || points.length === 0) return blank(sheet, "no cost curve to draw");
  // very short intervals cost without bound; the frame follows what one would choose among
  const cheapest = Math.min(...points.map((p) => p.estimate).filter(isDrawable));
  const dearest = Math.max(chart.runToFailure ?? 0, ...chart.marks.map((m) => m.cost ?? 0), cheapest * 2);
  const range = fromZero(Math.min(costs[1], dearest * 1.25));
  const drawn = chart.series.map((s) => ({...s, curve: s.curve.filter((p) => p.estimate <= range[1])}));
  const items: LegendItem[] = chart.series.map((s, i) => ({
    label: s.name,
    sample: "line",
    colour: seriesLook(palette, i).colour,
    dash: seriesLook(palette, i).dash,
  }));
  if (chart.runToFailure !== null)
    items.push({label: chart.level ?? "run to failure", sample: "line", colour: palette.muted, dash: "2 2"});
  const key = legend(items, sheet, {left: 4, row: 1});
  const marks = chart.marks.filter((m) => isDrawable(m.interval) && m.interval > 0);
  return frame(sheet, Math.min(340, sheet.width * 0.55), {
    marginTop: key.margin + 14,
    marginLeft: 64,
    marginBottom: 40,
    x: {
      domain: [0, ages[1]],
      label: `${chart.across ?? "age at renewal"} (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
    },
    y: {
      domain: range,
      label: `${chart.currency} per 1,000 ${chart.unit}`,
      labelArrow: "none",
      grid: true,
      tickFormat: formatNumber,
    },
    marks: [
      ...(chart.runToFailure !== null && chart.runToFailure <= range[1]
        ? [
            ruleY([chart.runToFailure], {
              stroke: palette.muted,
              strokeDasharray: "2 2",
              ariaDescription: chart.level ?? "run to failure",
            }),
          ]
        : []),
      ...drawn.flatMap((s, index) => curveMarks(s.curve, {name: s.name, index, range, unit: chart.unit}, sheet)),
      ruleX(marks, {
        x: "interval",
        y1: 0,
        y2: range[1],
        stroke: palette.ink,
        strokeDasharray: "4 3",
        ariaDescription: "named intervals",
      }),
      text(marks, {x: "interval", y: range[1], text: "name", dy: -6, lineAnchor: "bottom", fill: palette.ink}),
      dot(
        marks.filter((m) => isDrawable(m.cost) && m.cost <= range[1]),
        {x: "interval", y: "cost", r: 4.5, fill: palette.ink, ariaDescription: "cost at named intervals"},
      ),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function costColumns(chart: CostChart): ChartColumn[] {
  const yUnit = `${chart.currency} per 1,000 ${chart.unit}`;
  const curve = curveColumns(
    chart.series.map((s) => ({name: s.name, what: "curve", curve: s.curve})),
    {x: "interval", unit: chart.unit, y: "cost", yUnit},
  );
  const marks = columnsOf(
    [
      ...chart.marks,
      ...(chart.runToFailure === null
        ? []
        : [{name: chart.level ?? "run to failure", interval: null, cost: chart.runToFailure}]),
    ],
    [
      ["series", null, (m) => m.name],
      ["what", null, () => "mark"],
      ["interval", chart.unit, (m) => m.interval],
      ["cost", yUnit, (m) => m.cost],
      ["cost_lower", yUnit, () => null],
      ["cost_upper", yUnit, () => null],
    ],
  );
  return curve.map((column, i) => ({...column, values: [...column.values, ...marks[i]!.values]}));
}
