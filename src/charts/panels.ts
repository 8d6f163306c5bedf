/** The same axes again and again: one small panel a group, so that courses over time can be compared at a glance. */
import {axisX, axisY, dot, link, ruleX, ruleY, text, type PlotOptions} from "@observablehq/plot";
import type {PanelsChart} from "./chart.ts";
import {scaleUtc} from "d3";
import {fromZero} from "./curves.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  limitsOf,
  within,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";

const PANEL = 150;
const TITLE = 24;

export function panelsOptions(chart: PanelsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const panels = chart.panels.filter(({points}) => points.some(({value}) => isDrawable(value)));
  const points = panels.flatMap((panel) => panel.points);
  const times = extentOf([...points.flatMap(({from, to}) => [from, to]), chart.change]);
  const values = extentOf(points.map(({value}) => value));
  if (!times || !values || times[0] === times[1]) return blank(sheet, "nothing dated to draw");
  // limits of a thin period would squeeze every other one: the whisker then runs to the edge
  const tops = points.map(({value, upper}) => Math.min(upper ?? value, Math.max(values[1], value * 2)));
  const range = fromZero(Math.max(values[1], ...tops));
  const across = Math.max(1, Math.min(panels.length, Math.floor(sheet.width / 210)));
  const down = Math.ceil(panels.length / across);
  const place = panels.map((_, i) => ({fx: i % across, fy: Math.floor(i / across)}));
  const flat = panels.flatMap((panel, i) =>
    panel.points.map((point) => ({...point, ...place[i]!, name: panel.name, middle: (point.from + point.to) / 2})),
  );
  type Point = (typeof flat)[number];
  const overall = panels.flatMap(({overall: value}, i) => (isDrawable(value) ? [{value, ...place[i]!}] : []));
  const facet = {fx: "fx", fy: "fy"} as const;
  const time = (of: (point: Point) => number) => (point: Point) => new Date(of(point));
  return frame(sheet, 60 + down * (PANEL + TITLE), {
    marginTop: TITLE + 14,
    marginLeft: 52,
    marginBottom: 40,
    fx: {axis: null, domain: [...Array(across).keys()], padding: 0.08},
    fy: {axis: null, domain: [...Array(down).keys()], padding: 0.2},
    x: {type: "utc", domain: [new Date(times[0]), new Date(times[1])], label: null},
    y: {domain: range, label: null, grid: true},
    marks: [
      axisY({
        label: chart.unit === "" ? chart.label : `${chart.label} (${chart.unit})`,
        labelArrow: "none",
        labelOffset: 46,
        tickFormat: formatNumber,
        ticks: 4,
      }),
      axisX(insideTicks(times), {label: "date (UTC)", labelAnchor: "center", labelArrow: "none", tickFormat: monthOf}),
      ruleY([0], {stroke: palette.ink, strokeOpacity: 0.5}),
      ruleY(overall, {
        ...facet,
        y: "value",
        stroke: palette.muted,
        strokeDasharray: "4 3",
        ariaDescription: "over all periods",
      }),
      ...(chart.change === null
        ? []
        : [
            ruleX([new Date(chart.change)], {
              stroke: palette.alert,
              strokeWidth: 1.5,
              strokeDasharray: "6 3",
              ariaDescription: "day of the change",
            }),
          ]),
      link(flat, {
        ...facet,
        x1: time((p) => p.middle),
        x2: time((p) => p.middle),
        y1: (p: Point) => within(p.lower, range, 0),
        y2: (p: Point) => within(p.upper, range, range[1]),
        stroke: palette.series[0]!,
        strokeWidth: 1.5,
        ariaDescription: "limits",
      }),
      link(flat, {
        ...facet,
        x1: time((p) => p.from),
        x2: time((p) => p.to),
        y1: "value",
        y2: "value",
        stroke: palette.series[0]!,
        strokeWidth: 1.5,
        ariaDescription: "periods",
      }),
      dot(flat, {
        ...facet,
        x: time((p) => p.middle),
        y: "value",
        r: 3.5,
        fill: palette.series[0]!,
        title: (p: Point) =>
          sheet.told(
            `${p.name}, ${monthOf(new Date(p.from))} to ${monthOf(new Date(p.to))}: ${formatNumber(p.value)} ${chart.unit}${limitsOf(p)}`,
            p,
          ),
        ariaDescription: chart.label,
      }),
      text(
        panels.map(({name}, i) => ({name, ...place[i]!})),
        {
          ...facet,
          frameAnchor: "top-left",
          text: "name",
          dy: -TITLE + 8,
          fill: palette.ink,
          fontWeight: 600,
          lineWidth: (sheet.width - 60) / across / 13,
          textOverflow: "ellipsis-end",
        },
      ),
    ],
  });
}

/** Ticks that keep clear of the edges, where the labels of neighbouring panels would run into each other. */
function insideTicks([from, to]: readonly [number, number]): Date[] {
  const all = scaleUtc([from, to], [0, 1]).ticks(6);
  const inside = all.filter(
    (tick) => tick.getTime() > from + (to - from) * 0.12 && tick.getTime() < to - (to - from) * 0.12,
  );
  const most = 3;
  return inside.length > most ? inside.filter((_, i) => i % Math.ceil(inside.length / most) === 0) : inside;
}

const monthOf = (date: Date): string =>
  `${["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"][date.getUTCMonth()]!} ${String(date.getUTCFullYear()).slice(2)}`;

export function panelsColumns(chart: PanelsChart): ChartColumn[] {
  const unit = chart.unit === "" ? null : chart.unit;
  const day = (time: number) => new Date(time).toISOString().slice(0, 10);
  const rows = chart.panels.flatMap((panel) => panel.points.map((point) => ({...point, panel: panel.name})));
  return columnsOf(rows, [
    ["panel", null, (r) => r.panel],
    ["from", "UTC", (r) => day(r.from)],
    ["to", "UTC", (r) => day(r.to)],
    [chart.label.replaceAll(" ", "_"), unit, (r) => r.value],
    ["lower", unit, (r) => r.lower],
    ["upper", unit, (r) => r.upper],
    ["failures", null, (r) => r.count],
  ]);
}
