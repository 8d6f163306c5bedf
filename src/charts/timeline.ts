/** Spans and moments on lanes: the runs and rebuilds of a tool on one strip. */
import {axisX, axisY, barX, dot, gridX, text, type PlotOptions} from "@observablehq/plot";
import type {TimelineChart} from "./chart.ts";
import {blank, columnsOf, extentOf, frame, isDrawable, marginFor, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend} from "./legend.ts";

export function timelineOptions(chart: TimelineChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  type Span = TimelineChart["spans"][number];
  const spans = chart.spans.filter((s) => isDrawable(s.from) && isDrawable(s.to) && s.to > s.from);
  const moments = chart.moments.filter((m) => isDrawable(m.at));
  const times = extentOf([...spans.flatMap((s) => [s.from, s.to]), ...moments.map((m) => m.at)]);
  if (!times) return blank(sheet, "nothing dated to draw");
  const lanes = [...new Set([...spans.map((s) => s.lane), ...moments.map((m) => m.lane)])];
  const day = 864e5;
  const domain = [new Date(times[0] - day), new Date(times[1] + day)];
  const failed = spans.filter((s) => s.style === "failed");
  const key = legend(
    [
      ...(failed.length ? ([{label: "ended in failure", sample: "hatched", colour: palette.alert}] as const) : []),
      ...(moments.length ? ([{label: "rebuild", sample: "diamond", colour: palette.ink}] as const) : []),
    ],
    sheet,
    {left: 4, row: 0},
  );
  const bars = {x1: (s: Span) => new Date(s.from), x2: (s: Span) => new Date(s.to), y: "lane", title: "label"};
  return frame(sheet, key.margin + 40 + lanes.length * 30, {
    marginTop: key.margin,
    marginLeft: marginFor(lanes, sheet),
    marginBottom: 34,
    x: {type: "utc", domain, label: null},
    y: {type: "band", domain: lanes, label: null, padding: 0.35},
    marks: [
      gridX({stroke: palette.grid, strokeOpacity: 1}),
      axisX({label: "date (UTC)", labelAnchor: "center", labelArrow: "none"}),
      axisY({tickSize: 0, label: null}),
      barX(
        spans.filter((s) => s.style === "quiet"),
        {...bars, fill: palette.series[5]!, fillOpacity: 0.5, ariaDescription: "other spans"},
      ),
      barX(
        spans.filter((s) => s.style === "plain"),
        {...bars, fill: palette.series[0]!, ariaDescription: "spans"},
      ),
      barX(failed, {
        ...bars,
        fill: palette.surface,
        stroke: palette.alert,
        strokeWidth: 2,
        ariaDescription: "spans that ended in failure",
      }),
      text(failed, {
        x: (s: Span) => new Date(s.to),
        y: "lane",
        text: () => "✕",
        fill: palette.alert,
        dx: 7,
        ariaDescription: "failures",
      }),
      dot(moments, {
        x: (m: TimelineChart["moments"][number]) => new Date(m.at),
        y: "lane",
        symbol: "diamond",
        r: 5,
        stroke: palette.ink,
        fill: palette.surface,
        title: "label",
        ariaDescription: "moments",
      }),
      key.mark,
    ],
  });
}

export function timelineColumns(chart: TimelineChart): ChartColumn[] {
  const iso = (time: number) => (Number.isFinite(time) ? new Date(time).toISOString() : null);
  const rows = [
    ...chart.spans.map((s) => ({lane: s.lane, what: s.style, from: s.from, to: s.to, label: s.label})),
    ...chart.moments.map((m) => ({lane: m.lane, what: "moment", from: m.at, to: m.at, label: m.label})),
  ];
  return columnsOf(rows, [
    ["lane", null, (r) => r.lane],
    ["what", null, (r) => r.what],
    ["from", "UTC", (r) => iso(r.from)],
    ["to", "UTC", (r) => iso(r.to)],
    ["label", null, (r) => r.label],
  ]);
}
