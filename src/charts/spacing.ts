/** Stretches between failures in their order on a log axis, with the limits that a steady rate would keep. */
import {axisY, dot, gridY, line, ruleY, text, type PlotOptions} from "@observablehq/plot";
import type {SpacingChart} from "./chart.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  labelled,
  logDomain,
  logTicks,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

type Point = SpacingChart["points"][number];

export function spacingOptions(chart: SpacingChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.points.filter(({at, length}) => isDrawable(at) && isDrawable(length));
  const extent = extentOf(points.map(({at}) => at));
  const domain = logDomain([...points.map(({length}) => length), chart.lower, chart.upper], 1.4);
  if (!extent || !domain) return blank(sheet, "no stretches between failures");
  const shown = (point: Point): number => Math.max(point.length, domain[0]);
  const outside = points.filter((point) => point.outside !== null);
  const title = (point: Point): string =>
    sheet.told(
      `${formatNumber(point.length)} ${chart.unit} to ${chart.events === 1 ? "the failure" : `${chart.events} failures`} on ${new Date(point.day).toISOString().slice(0, 10)}${point.outside === null ? "" : `, ${point.outside === "short" ? "shorter" : "longer"} than chance`}`,
      point,
    );
  const key = legend(
    [
      {label: "within the limits", sample: "ring", colour: palette.series[0]!},
      ...(outside.length ? ([{label: "outside", sample: "dot", colour: palette.alert}] as const) : []),
    ],
    sheet,
    {left: 4, row: 1},
  );
  const lines = [
    {y: chart.upper, label: "longer than chance", dash: "6 3"},
    {y: chart.centre, label: "median", dash: "2 3"},
    {y: chart.lower, label: "shorter than chance", dash: "6 3"},
  ].filter(({y}) => y >= domain[0] && y <= domain[1]);
  const places = logTicks(domain, 7);
  return frame(sheet, Math.min(340, sheet.width * 0.55), {
    marginTop: key.margin,
    marginLeft: 58,
    marginRight: 128,
    marginBottom: 40,
    x: {
      domain: [0, extent[1] * 1.02],
      label: `exposure of all so far (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 90,
    },
    y: {type: "log", domain, label: null},
    marks: [
      gridY(places, {stroke: palette.grid, strokeOpacity: 1}),
      axisY(places, {
        label: chart.events === 1 ? `${chart.unit} between failures` : `${chart.unit} to ${chart.events} failures`,
        labelArrow: "none",
        ...labelled,
      }),
      ...lines.map(({y, dash, label}) =>
        ruleY([y], {stroke: palette.muted, strokeDasharray: dash, ariaDescription: label}),
      ),
      text(lines, {frameAnchor: "right", y: "y", text: "label", textAnchor: "start", dx: 6, fill: palette.muted}),
      line(points, {x: "at", y: shown, stroke: palette.series[0]!, strokeOpacity: 0.35, ariaDescription: "order"}),
      dot(
        points.filter((point) => point.outside === null),
        {
          x: "at",
          y: shown,
          r: 3.5,
          stroke: palette.series[0]!,
          fill: palette.surface,
          title,
          ariaDescription: "stretches",
        },
      ),
      dot(outside, {x: "at", y: shown, r: 5, fill: palette.alert, title, ariaDescription: "stretches outside"}),
      ...(["short", "long"] as const).map((side) =>
        text(
          outside.filter((point) => point.outside === side),
          {
            x: "at",
            y: shown,
            text: (point: Point) => new Date(point.day).toISOString().slice(0, 7),
            dy: side === "long" ? -12 : 12,
            fill: palette.ink,
            stroke: palette.surface,
            strokeWidth: 3,
          },
        ),
      ),
      key.mark,
    ],
  });
}

export function spacingColumns(chart: SpacingChart): ChartColumn[] {
  const {unit} = chart;
  return columnsOf(chart.points, [
    ["exposure_so_far", unit, (p) => p.at],
    ["day", "UTC", (p) => new Date(p.day).toISOString().slice(0, 10)],
    ["length", unit, (p) => p.length],
    ["lower_limit", unit, () => chart.lower],
    ["median", unit, () => chart.centre],
    ["upper_limit", unit, () => chart.upper],
    ["outside", null, (p) => p.outside ?? "no"],
  ]);
}
