/** Failure rate by age: whether a part wears out, and from when. */
import {ruleY, type PlotOptions} from "@observablehq/plot";
import type {HazardChart} from "./chart.ts";
import {curveColumns, curveMarks, fromZero} from "./curves.ts";
import {blank, extentOf, formatNumber, frame, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function hazardOptions(chart: HazardChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const ages = extentOf(chart.series.flatMap((s) => s.curve.map((p) => p.age)));
  const rates = extentOf(chart.series.flatMap((s) => s.curve.map((p) => p.estimate)));
  if (!ages || !rates || ages[1] <= 0) return blank(sheet, "no failure rate to draw");
  // the band may run far above the curve where data are few; the curve says how tall the frame is
  const banded = chart.series.some((s) => s.curve.some((p) => p.upper !== null));
  const range = fromZero(rates[1] * (banded ? 1.8 : 1.1));
  const key = legend(
    chart.series.length > 1
      ? chart.series.map((s, i) => ({
          label: s.name,
          sample: "line",
          colour: seriesLook(palette, i).colour,
          dash: seriesLook(palette, i).dash,
        }))
      : [],
    sheet,
    {left: 4, row: 1},
  );
  return frame(sheet, Math.min(320, sheet.width * 0.5), {
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
    y: {
      domain: range,
      label: `failures per 1,000 ${chart.unit} at that age`,
      labelArrow: "none",
      grid: true,
      tickFormat: formatNumber,
    },
    marks: [
      ...chart.series.flatMap((s, index) =>
        curveMarks(s.curve, {name: `failure rate, ${s.name}`, index, range, unit: chart.unit}, sheet),
      ),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function hazardColumns(chart: HazardChart): ChartColumn[] {
  return curveColumns(
    chart.series.map((s) => ({name: s.name, what: "fitted", curve: s.curve})),
    {x: "age", unit: chart.unit, y: "failure_rate", yUnit: `per 1,000 ${chart.unit}`},
  );
}
