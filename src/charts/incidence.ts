/** How many have failed by each mode, the other modes competing: step curves that add up to all failures. */
import {ruleY, type PlotOptions} from "@observablehq/plot";
import type {IncidenceChart} from "./chart.ts";
import {curveColumns, curveMarks, fromZero} from "./curves.ts";
import {blank, extentOf, formatNumber, formatPercent, frame, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function incidenceOptions(chart: IncidenceChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const ages = extentOf(chart.series.flatMap((s) => s.curve.map((p) => p.age)));
  const tops = extentOf(chart.series.flatMap((s) => s.curve.map((p) => p.estimate)));
  if (!ages || !tops || ages[1] <= 0) return blank(sheet, "no failures to follow");
  const [, top] = fromZero(Math.min(1, tops[1] * 1.25));
  const range = [0, Math.min(1, top)] as const;
  const key = legend(
    chart.series.map((s, i) => ({
      label: s.serviceInduced ? `${s.name} (caused at service)` : s.name,
      sample: "line",
      colour: seriesLook(palette, i).colour,
      dash: seriesLook(palette, i).dash,
    })),
    sheet,
    {left: 4, row: 1},
  );
  return frame(sheet, Math.min(360, sheet.width * 0.55) + key.margin, {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    x: {
      domain: [0, ages[1]],
      label: `age (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
    },
    y: {domain: range, label: "failed by that mode", labelArrow: "none", tickFormat: formatPercent, grid: true},
    marks: [
      ...chart.series.flatMap((s, index) =>
        curveMarks(s.curve, {name: s.name, index, range, steps: true, unit: chart.unit, says: formatPercent}, sheet),
      ),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function incidenceColumns(chart: IncidenceChart): ChartColumn[] {
  return curveColumns(
    chart.series.map((s) => ({
      name: s.name,
      what: s.serviceInduced ? "caused at service" : "in service",
      curve: s.curve,
    })),
    {x: "age", unit: chart.unit, y: "incidence", yUnit: "fraction"},
  );
}
