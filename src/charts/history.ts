/** One tool on one time line: runs, visits to the bench, and the lives of its parts, a lane each. */
import {axisX, axisY, barX, dot, gridX, rect, ruleX, text, type PlotOptions} from "@observablehq/plot";
import type {HistoryChart} from "./chart.ts";
import {blank, columnsOf, frame, isDrawable, labelWidth, marginFor, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";

type Span = HistoryChart["spans"][number];
type Visit = HistoryChart["visits"][number];

const LANE = 26;
const RIGHT = 20;

export function historyOptions(chart: HistoryChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {from, to, lanes, focus} = chart;
  const spans = chart.spans
    .filter((s) => isDrawable(s.from) && isDrawable(s.to) && s.to >= from && s.from <= to)
    .map((s) => ({
      ...s,
      from: Math.max(s.from, from),
      to: Math.min(s.to, to),
      // what happens behind the edge is not shown as if it happened at it
      ...(s.to <= to ? {} : {end: "open" as const, note: ""}),
    }));
  if (!(to > from) || spans.length === 0) return blank(sheet, "nothing dated to draw");
  const visits = chart.visits.filter((v) => v.at >= from && v.at <= to);
  const left = marginFor(lanes, sheet);
  const scale = (sheet.width - left - RIGHT) / (to - from);
  // a run of hours is still seen as a bar
  const atLeast = (s: Span): Span => ({...s, to: Math.min(to, Math.max(s.to, s.from + 2 / scale))});
  const of = (what: Span["what"], end: Span["end"]) =>
    spans.filter((s) => s.what === what && s.end === end).map(atLeast);
  const has = (what: Span["what"], end: Span["end"]) => spans.some((s) => s.what === what && s.end === end);
  const items: LegendItem[] = [
    {label: "run", sample: "bar", colour: palette.series[0]!},
    ...(has("life", "well") || has("life", "open")
      ? [{label: "part in the tool", sample: "band", colour: palette.series[5]!} as const]
      : []),
    ...(has("run", "failed") || has("life", "failed")
      ? [{label: "✕ failed", sample: "hatched", colour: palette.alert} as const]
      : []),
    ...(visits.length > 0 ? [{label: "on the bench", sample: "diamond", colour: palette.ink} as const] : []),
    ...(focus === null ? [] : [{label: focus.label, sample: "band", colour: palette.series[1]!} as const]),
  ];
  const key = legend(items, sheet, {left: 4, row: 0});
  const bar = {
    x1: (s: Span) => new Date(s.from),
    x2: (s: Span) => new Date(s.to),
    y: "lane",
    title: (s: Span) => sheet.told(s.label, s),
  };
  const failed = [...of("run", "failed"), ...of("life", "failed")];
  return frame(sheet, key.margin + 44 + lanes.length * LANE, {
    marginTop: key.margin + 10,
    marginLeft: left,
    marginRight: RIGHT,
    marginBottom: 34,
    x: {type: "utc", domain: [new Date(from), new Date(to)], label: null},
    y: {type: "band", domain: lanes, label: null, padding: 0.28},
    marks: [
      gridX({stroke: palette.grid, strokeOpacity: 1}),
      ...(focus === null || !(focus.to >= from && focus.from <= to)
        ? []
        : [
            rect([focus], {
              x1: (f: typeof focus) => new Date(Math.max(from, f.from)),
              x2: (f: typeof focus) => new Date(Math.min(to, Math.max(f.to, f.from + 3 / scale))),
              fill: palette.series[1]!,
              fillOpacity: 0.22,
              title: "label",
              ariaDescription: "the run reviewed",
            }),
          ]),
      ruleX(visits, {
        x: (v: Visit) => new Date(v.at),
        stroke: palette.muted,
        strokeDasharray: "1 3",
        ariaDescription: "visits to the bench",
      }),
      axisX({label: "date (UTC)", labelAnchor: "center", labelArrow: "none", ticks: sheet.width / 90}),
      axisY({tickSize: 0, label: null}),
      barX([...of("life", "well"), ...of("life", "open")], {
        ...bar,
        fill: palette.series[5]!,
        fillOpacity: 0.2,
        stroke: palette.series[5]!,
        insetLeft: 1,
        ariaDescription: "lives of parts",
      }),
      barX([...of("run", "well"), ...of("run", "open")], {...bar, fill: palette.series[0]!, ariaDescription: "runs"}),
      barX(of("life", "failed"), {
        ...bar,
        fill: palette.series[5]!,
        fillOpacity: 0.2,
        stroke: palette.alert,
        strokeWidth: 1.75,
        insetLeft: 1,
        ariaDescription: "lives that ended in failure",
      }),
      barX(of("run", "failed"), {
        ...bar,
        fill: palette.alert,
        ariaDescription: "runs that ended in failure",
      }),
      text(
        spans.filter((s) => s.note !== "" && (s.to - s.from) * scale > labelWidth(s.note) + 14),
        {
          x: (s: Span) => new Date(s.to),
          y: "lane",
          text: "note",
          textAnchor: "end",
          dx: -5,
          fill: palette.ink,
          fontSize: 11,
          ariaDescription: "ages reached",
        },
      ),
      text(failed, {
        x: (s: Span) => new Date(s.to),
        y: "lane",
        text: () => "✕",
        fill: palette.alert,
        fontWeight: "bold",
        dx: 7,
        title: (s: Span) => sheet.told(s.label, s),
        ariaDescription: "failures",
      }),
      dot(visits, {
        x: (v: Visit) => new Date(v.at),
        frameAnchor: "top",
        dy: -6,
        symbol: "diamond",
        r: 4,
        stroke: palette.ink,
        fill: palette.surface,
        title: (v: Visit) => sheet.told(v.label, v),
        ariaDescription: "visits",
      }),
      key.mark,
    ],
  });
}

export function historyColumns(chart: HistoryChart): ChartColumn[] {
  const iso = (time: number) => (Number.isFinite(time) ? new Date(time).toISOString() : null);
  const rows = [
    ...chart.spans.map((s) => ({
      lane: s.lane,
      what: s.what as string,
      from: s.from,
      to: s.to,
      end: s.end as string,
      label: s.label,
      behind: s.behind,
    })),
    ...chart.visits.map((v) => ({
      lane: "",
      what: "visit",
      from: v.at,
      to: v.at,
      end: "",
      label: v.label,
      behind: v.behind,
    })),
  ];
  return columnsOf(rows, [
    ["lane", null, (r) => r.lane],
    ["what", null, (r) => r.what],
    ["from", "UTC", (r) => iso(r.from)],
    ["to", "UTC", (r) => iso(r.to)],
    ["ended", null, (r) => r.end],
    ["label", null, (r) => r.label],
  ]);
}
