/** Rates against exposure: who lies outside what chance alone would give for that many hours. */
import {areaY, dot, line, ruleY, text, type PlotOptions} from "@observablehq/plot";
import type {FunnelChart} from "./chart.ts";
import {fromZero} from "./curves.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  formatPercent,
  frame,
  isDrawable,
  within,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

export function funnelOptions(chart: FunnelChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.points.filter((p) => isDrawable(p.exposure) && isDrawable(p.rate));
  const exposures = extentOf([...points.map((p) => p.exposure), ...chart.curve.map((c) => c.exposure)]);
  const rates = extentOf([...points.map((p) => p.rate), chart.overall]);
  if (points.length === 0 || !exposures || !rates || exposures[1] <= 0) return blank(sheet, "no rates to compare");
  const range = fromZero(rates[1] * 1.5);
  const key = legend(
    [
      {label: `${formatPercent(chart.level)} of chance`, sample: "band", colour: palette.series[5]!},
      {label: "inside", sample: "ring", colour: palette.series[0]!},
      {label: "outside", sample: "dot", colour: palette.alert},
    ],
    sheet,
    {left: 4, row: 1},
  );
  type Edge = FunnelChart["curve"][number];
  type Point = FunnelChart["points"][number];
  const title = (p: Point) =>
    sheet.told(
      `${p.name}: ${formatNumber(p.rate)} per 1,000 ${chart.unit} over ${formatNumber(p.exposure)} ${chart.unit}${p.outside ? ", apart from the rest" : ""}`,
      p,
    );
  return frame(sheet, Math.min(380, sheet.width * 0.6), {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    marginRight: 40,
    x: {
      domain: [0, exposures[1] * 1.05],
      label: `exposure (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
    },
    y: {
      domain: range,
      label: `failures per 1,000 ${chart.unit}`,
      labelArrow: "none",
      grid: true,
      tickFormat: formatNumber,
    },
    marks: [
      areaY(chart.curve, {
        x: "exposure",
        y1: (c: Edge) => within(c.lower, range, 0),
        y2: (c: Edge) => within(c.upper, range, range[1]),
        fill: palette.series[5]!,
        fillOpacity: 0.16,
        ariaDescription: "limits of chance",
      }),
      line(chart.curve, {
        x: "exposure",
        y: (c: Edge) => within(c.upper, range, range[1]),
        stroke: palette.series[5]!,
        ariaDescription: "upper limit of chance",
      }),
      line(chart.curve, {
        x: "exposure",
        y: (c: Edge) => within(c.lower, range, 0),
        stroke: palette.series[5]!,
        ariaDescription: "lower limit of chance",
      }),
      ruleY([chart.overall], {stroke: palette.ink, strokeDasharray: "3 3", ariaDescription: "rate of all together"}),
      dot(
        points.filter((p) => !p.outside),
        {
          x: "exposure",
          y: "rate",
          r: 5,
          stroke: palette.series[0]!,
          strokeWidth: 1.5,
          title,
          ariaDescription: "inside",
        },
      ),
      dot(
        points.filter((p) => p.outside),
        {x: "exposure", y: "rate", r: 5, fill: palette.alert, title, ariaDescription: "outside"},
      ),
      text(points.length > 40 ? points.filter((p) => p.outside) : points, {
        x: "exposure",
        y: "rate",
        text: (p: Point) => p.name,
        dy: -11,
        fill: palette.ink,
        stroke: palette.surface,
        strokeWidth: 3,
      }),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function funnelColumns(chart: FunnelChart): ChartColumn[] {
  const rate = `per 1,000 ${chart.unit}`;
  const rows = [
    ...chart.points.map((p) => ({
      name: p.name,
      what: p.outside ? "outside" : "inside",
      exposure: p.exposure,
      rate: p.rate as number | null,
      lower: null as number | null,
      upper: null as number | null,
      behind: p.behind,
    })),
    ...chart.curve.map((c) => ({
      name: "chance",
      what: "limits",
      exposure: c.exposure,
      rate: chart.overall as number | null,
      lower: c.lower,
      upper: c.upper,
      behind: undefined,
    })),
  ];
  return columnsOf(rows, [
    ["name", null, (r) => r.name],
    ["what", null, (r) => r.what],
    ["exposure", chart.unit, (r) => r.exposure],
    ["rate", rate, (r) => r.rate],
    ["rate_lower", rate, (r) => r.lower],
    ["rate_upper", rate, (r) => r.upper],
  ]);
}
