/** Which pairs of shape and scale the lives still allow: closed rings of equal likelihood around the best pair. */
import {axisX, axisY, dot, gridX, gridY, line, ruleY, type PlotOptions} from "@observablehq/plot";
import type {ContourChart} from "./chart.ts";
import {
  blank,
  columnsOf,
  formatPercent,
  frame,
  labelled,
  logDomain,
  logTicks,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function contourOptions(chart: ContourChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const pairs = chart.series.flatMap((s) => [s.best, ...s.rings.flatMap((ring) => ring.points)]);
  const scales = logDomain(
    pairs.map((p) => p.scale),
    1.08,
  );
  const shapes = logDomain([...pairs.map((p) => p.shape), 1], 1.08);
  if (!scales || !shapes || pairs.length === 0) return blank(sheet, "no likelihood region to draw");
  const key = legend(
    chart.series.map((s, i) => {
      const levels = s.rings.map((ring) => formatPercent(ring.level)).join(", ");
      return {
        label: levels === "" ? s.name : `${s.name} (${levels})`,
        sample: "line",
        colour: seriesLook(palette, i).colour,
        dash: seriesLook(palette, i).dash,
      };
    }),
    sheet,
    {left: 4, row: 1},
  );
  return frame(sheet, Math.min(400, sheet.width * 0.7), {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    x: {type: "log", domain: scales, label: null},
    y: {type: "log", domain: shapes, label: null},
    marks: [
      gridX(logTicks(scales, 12), {stroke: palette.grid, strokeOpacity: 1}),
      gridY(logTicks(shapes, 8), {stroke: palette.grid, strokeOpacity: 1}),
      axisX(logTicks(scales, sheet.width / 80), {
        label: `scale (${chart.unit})`,
        labelAnchor: "center",
        labelArrow: "none",
        ...labelled,
      }),
      axisY(logTicks(shapes, 8), {label: "shape (above 1: wears out)", labelArrow: "none", ...labelled}),
      ruleY([1], {stroke: palette.ink, strokeDasharray: "3 3", ariaDescription: "shape 1: no wear-out"}),
      ...chart.series.flatMap((s, i) => {
        const {colour, dash, symbol} = seriesLook(palette, i);
        return [
          ...s.rings.map((ring) =>
            line([...ring.points, ...ring.points.slice(0, 1)], {
              x: "scale",
              y: "shape",
              stroke: colour,
              strokeWidth: 1.5,
              strokeDasharray: dash,
              curve: "linear",
              ariaDescription: `${formatPercent(ring.level)} region, ${s.name}`,
            }),
          ),
          dot([s.best], {
            x: "scale",
            y: "shape",
            fill: colour,
            stroke: colour,
            symbol,
            r: 4.5,
            ariaDescription: `best pair, ${s.name}`,
          }),
        ];
      }),
      key.mark,
    ],
  });
}

export function contourColumns(chart: ContourChart): ChartColumn[] {
  const rows = chart.series.flatMap((s) => [
    {name: s.name, level: null as number | null, ...s.best},
    ...s.rings.flatMap((ring) => ring.points.map((p) => ({name: s.name, level: ring.level as number | null, ...p}))),
  ]);
  return columnsOf(rows, [
    ["series", null, (r) => r.name],
    ["level", "fraction", (r) => r.level],
    ["shape", null, (r) => r.shape],
    ["scale", chart.unit, (r) => r.scale],
  ]);
}
