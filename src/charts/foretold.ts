/** What was foretold against what came: a dot and whisker a band, on the diagonal where the two agree. */
import {dot, link, ruleX, text, type PlotOptions} from "@observablehq/plot";
import type {ForetoldChart} from "./chart.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  formatPercent,
  frame,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";

type Point = ForetoldChart["points"][number];

export function foretoldOptions({points, label}: ForetoldChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const extent = extentOf(points.flatMap((p) => [p.foretold, p.seen, p.lower]));
  if (!extent) return blank(sheet, "nothing foretold yet");
  const low = Math.max(0, Math.floor(extent[0] * 10) / 10);
  const colour = palette.series[0]!;
  const axis = {domain: [low, 1], labelArrow: "none", tickFormat: formatPercent} as const;
  return frame(sheet, Math.min(sheet.width * 0.75, 440), {
    marginTop: 24,
    marginLeft: 56,
    marginRight: 40,
    marginBottom: 42,
    x: {...axis, label: label.foretold, labelAnchor: "center", ticks: sheet.width / 90},
    y: {...axis, label: label.seen, grid: true},
    marks: [
      link([[low, 1]], {
        x1: (d: readonly number[]) => d[0]!,
        y1: (d: readonly number[]) => d[0]!,
        x2: (d: readonly number[]) => d[1]!,
        y2: (d: readonly number[]) => d[1]!,
        stroke: palette.ink,
        strokeDasharray: "3 3",
        ariaDescription: "as foretold",
      }),
      ruleX(points, {
        x: "foretold",
        y1: "lower",
        y2: "upper",
        stroke: colour,
        strokeWidth: 2,
        ariaDescription: "limits",
      }),
      dot(points, {
        x: "foretold",
        y: "seen",
        r: 5,
        fill: colour,
        title: (p: Point) =>
          sheet.told(
            `foretold ${formatPercent(p.foretold)}, seen ${formatPercent(p.seen)} of ${formatNumber(p.count)}`,
            p,
          ),
        ariaDescription: label.seen,
      }),
      text(points, {
        x: "foretold",
        y: "lower",
        dy: 12,
        text: (p: Point) => `n ${formatNumber(p.count)}`,
        fill: palette.muted,
        fontSize: 11,
      }),
    ],
  });
}

export function foretoldColumns({points}: ForetoldChart): ChartColumn[] {
  return columnsOf(points, [
    ["foretold", "fraction", (p) => p.foretold],
    ["seen", "fraction", (p) => p.seen],
    ["seen_lower", "fraction", (p) => p.lower],
    ["seen_upper", "fraction", (p) => p.upper],
    ["count", null, (p) => p.count],
  ]);
}
