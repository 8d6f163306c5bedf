/** Fraction surviving by age: fitted curve with its band over the steps of the curve that assumes no distribution. */
import {ruleY, type PlotOptions} from "@observablehq/plot";
import type {ReliabilityChart} from "./chart.ts";
import {curveColumns, curveMarks} from "./curves.ts";
import {blank, extentOf, formatNumber, formatPercent, frame, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function reliabilityOptions(chart: ReliabilityChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const ages = extentOf(chart.series.flatMap((s) => [...s.curve, ...s.steps].map((p) => p.age)));
  if (!ages || ages[1] <= 0) return blank(sheet, "no age above zero to draw");
  const range = [0, 1] as const;
  const items: LegendItem[] = chart.series.map((s, i) => ({
    label: s.name,
    sample: s.curve.length ? "line" : "steps",
    colour: seriesLook(palette, i).colour,
    dash: seriesLook(palette, i).dash,
  }));
  if (chart.series.some((s) => s.steps.length))
    items.push({label: "no distribution assumed", sample: "steps", colour: palette.muted});
  if (chart.target !== null)
    items.push({
      label: `asked for: ${formatPercent(chart.target)}`,
      sample: "line",
      colour: palette.alert,
      dash: "2 2",
    });
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(360, sheet.width * 0.58), {
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
    y: {domain: range, label: "still good", labelArrow: "none", tickFormat: formatPercent, grid: true},
    marks: [
      ...(chart.target === null ? [] : [ruleY([chart.target], {stroke: palette.alert, strokeDasharray: "2 2"})]),
      ...chart.series.flatMap((s, index) => [
        ...curveMarks(
          s.steps.map((p) => (s.curve.length ? {...p, lower: null, upper: null} : p)),
          {
            name: `no distribution assumed, ${s.name}`,
            index,
            range,
            steps: true,
            thin: true,
            unit: chart.unit,
            says: formatPercent,
          },
          sheet,
        ),
        ...curveMarks(s.curve, {name: `fitted, ${s.name}`, index, range, unit: chart.unit, says: formatPercent}, sheet),
      ]),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function reliabilityColumns(chart: ReliabilityChart): ChartColumn[] {
  return curveColumns(
    chart.series.flatMap((s) => [
      {name: s.name, what: "fitted", curve: s.curve},
      {name: s.name, what: "no distribution assumed", curve: s.steps},
    ]),
    {x: "age", unit: chart.unit, y: "reliability", yUnit: "fraction"},
  );
}
