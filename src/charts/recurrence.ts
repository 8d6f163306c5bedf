/** Mean cumulative number of events per tool: straight is steady, bending down is improving. */
import {ruleY, type PlotOptions} from "@observablehq/plot";
import type {RecurrenceChart} from "./chart.ts";
import {curveColumns, curveMarks, fromZero} from "./curves.ts";
import {blank, extentOf, formatNumber, frame, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function recurrenceOptions(chart: RecurrenceChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.series.flatMap((s) => [...s.curve, ...s.growth]);
  const ages = extentOf(points.map((p) => p.age));
  const tops = extentOf(points.flatMap((p) => [p.estimate, p.upper]));
  if (!ages || !tops || ages[1] <= 0) return blank(sheet, "no events to count");
  const estimates = extentOf(points.map((p) => p.estimate));
  const range = fromZero(Math.min(tops[1], (estimates?.[1] ?? tops[1]) * 1.6));
  const items: LegendItem[] = chart.series.map((s, i) => ({
    label: s.name,
    sample: "line",
    colour: seriesLook(palette, i).colour,
    dash: seriesLook(palette, i).dash,
  }));
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(360, sheet.width * 0.55), {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    x: {
      domain: [0, ages[1]],
      label: `exposure of the tool (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
    },
    y: {domain: range, label: "events per tool so far", labelArrow: "none", grid: true, tickFormat: formatNumber},
    marks: [
      ...chart.series.flatMap((s, index) => [
        ...curveMarks(s.curve, {name: s.name, index, range, steps: true, unit: chart.unit}, sheet),
        ...curveMarks(s.growth, {name: `power law, ${s.name}`, index, range, thin: true, unit: chart.unit}, sheet),
      ]),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function recurrenceColumns(chart: RecurrenceChart): ChartColumn[] {
  return curveColumns(
    chart.series.flatMap((s) => [
      {name: s.name, what: "mean cumulative function", curve: s.curve},
      {name: s.name, what: "power law", curve: s.growth},
    ]),
    {x: "exposure", unit: chart.unit, y: "events", yUnit: "per tool"},
  );
}
