/** Probability plot: fraction failed by age on the paper of a family, where that family is a straight line. */
import {areaY, dot, gridX, gridY, axisX, axisY, line, link, ruleX, type PlotOptions} from "@observablehq/plot";
import {normalQuantile} from "../statistics/normal.ts";
import type {Paper, ProbabilityChart, ProbabilitySeries} from "./chart.ts";
import {
  blank,
  columnsOf,
  formatNumber,
  formatPercent,
  frame,
  isDrawable,
  labelled,
  logDomain,
  logTicks,
  within,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

/** Height on the paper of a fraction failed in (0, 1). */
export function paperHeight(paper: Paper, failed: number): number {
  switch (paper) {
    case "weibull":
      return Math.log(-Math.log1p(-failed));
    case "lognormal":
      return normalQuantile(failed);
    case "loglogistic":
      return Math.log(failed) - Math.log1p(-failed);
  }
}

const LABELLED = [1e-4, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.99, 0.999, 0.9999];

export function probabilityOptions(chart: ProbabilityChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.series.flatMap((s) => s.points.filter((p) => p.failed > 0 && p.failed < 1 && p.age > 0));
  const ages = ageDomain(chart);
  if (!ages) return blank(sheet, "no age above zero to draw");
  const [low, high] = fractionDomain(chart, ages);
  const height = (failed: number) => paperHeight(chart.paper, Math.min(Math.max(failed, low), high));
  const domain: [number, number] = [height(low), height(high)];
  const several = chart.series.length > 1;
  const items: LegendItem[] = several
    ? chart.series.map((s, i) => ({
        label: s.name,
        sample: "line",
        colour: seriesLook(palette, i).colour,
        dash: seriesLook(palette, i).dash,
      }))
    : [];
  if (points.length) items.push({label: "failures", sample: "ring", colour: palette.ink});
  const suspended = chart.series.flatMap((s) => s.suspensions);
  const younger = suspended.filter((age) => age < ages[0]).length;
  const left = younger > 0 ? `, ${formatNumber(younger)} younger not drawn` : "";
  if (suspended.length) items.push({label: `suspensions${left}`, sample: "tick", colour: palette.muted});
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(440, sheet.width * 0.72), {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    x: {type: "log", domain: ages, label: null},
    y: {domain, label: null},
    marks: [
      gridX(logTicks(ages, 20), {stroke: palette.grid, strokeOpacity: 1}),
      gridY(ticks(low, high).map(height), {stroke: palette.grid, strokeOpacity: 1}),
      axisX(logTicks(ages, sheet.width / 70), {
        label: `age (${chart.unit}), log scale`,
        labelAnchor: "center",
        labelArrow: "none",
        ...labelled,
      }),
      axisY(ticks(low, high).map(height), {
        label: "failed by that age",
        labelArrow: "none",
        tickFormat: (v: number) => formatPercent(ticks(low, high).find((f) => height(f) === v) ?? 0),
      }),
      key.mark,
      ...chart.series.flatMap((series, i) => seriesMarks(series, i, {chart, sheet, height, domain, ages, low, high})),
    ],
  });
}

interface Place {
  readonly chart: ProbabilityChart;
  readonly sheet: Sheet;
  height(failed: number): number;
  readonly domain: readonly [number, number];
  readonly ages: readonly [number, number];
  readonly low: number;
  readonly high: number;
}

function seriesMarks(series: ProbabilitySeries, i: number, {chart, sheet, height, domain, ages, low, high}: Place) {
  const {colour, dash, symbol} = seriesLook(sheet.palette, i);
  const inFrame = series.line.filter((p) => p.age >= ages[0] && p.age <= ages[1]);
  const banded = inFrame.filter((p) => p.lower !== null || p.upper !== null);
  const drawn = inFrame.filter((p) => p.estimate >= low && p.estimate <= high);
  const points = series.points.filter((p) => p.failed > 0 && p.failed < 1 && p.age > 0);
  const spread = points.filter((p) => p.from !== undefined && p.to !== undefined && p.to > p.from);
  const step = (domain[1] - domain[0]) * 0.03;
  return [
    areaY(banded, {
      x: "age",
      y1: (p: (typeof banded)[number]) => height(within(p.lower, [low, high], low)),
      y2: (p: (typeof banded)[number]) => height(within(p.upper, [low, high], high)),
      fill: colour,
      fillOpacity: 0.14,
      ariaDescription: "limits",
    }),
    line(drawn, {
      x: "age",
      y: (p: (typeof drawn)[number]) => height(p.estimate),
      stroke: colour,
      strokeWidth: 2,
      strokeDasharray: dash,
      ariaDescription: `fitted line, ${series.name}`,
    }),
    link(spread, {
      x1: (p: (typeof spread)[number]) => Math.max(p.from ?? p.age, ages[0]),
      x2: "to",
      y1: (p: (typeof spread)[number]) => height(p.failed),
      y2: (p: (typeof spread)[number]) => height(p.failed),
      stroke: colour,
      strokeOpacity: 0.45,
      ariaDescription: "ages between which a failure lies",
    }),
    dot(points, {
      x: "age",
      y: (p: (typeof points)[number]) => height(p.failed),
      symbol,
      r: 3.5,
      stroke: colour,
      strokeWidth: 1.5,
      fill: sheet.palette.surface,
      title: (p: (typeof points)[number]) =>
        sheet.told(`${ageOf(p)} ${chart.unit}: ${formatPercent(p.failed)} failed`, p),
      ariaDescription: `failures, ${series.name}`,
    }),
    ruleX(
      series.suspensions.filter((age) => age >= ages[0]),
      {
        x: (age: number) => age,
        y1: domain[0] + i * step * 1.2,
        y2: domain[0] + i * step * 1.2 + step,
        stroke: colour,
        strokeOpacity: 0.7,
        ariaDescription: `suspensions, ${series.name}`,
      },
    ),
  ];
}

/** The age of a failure, or the range in which it lies. */
const ageOf = ({age, from, to}: ProbabilitySeries["points"][number]): string =>
  from !== undefined && to !== undefined && to > from
    ? `${formatNumber(from)} to ${formatNumber(to)}`
    : formatNumber(age);

/**
 * Ages the paper holds. Suspensions much younger than any failure say next to nothing and would take half the width on a
 * log axis, so it begins at a third of the earliest failure.
 */
function ageDomain({series}: ProbabilityChart): [number, number] | null {
  const failures = series.flatMap((s) => s.points.map((p) => p.age)).filter((age) => age > 0);
  const all = logDomain([...failures, ...series.flatMap((s) => [...s.suspensions, ...s.points.map((p) => p.to)])]);
  if (!all || failures.length === 0) return all;
  return [Math.max(all[0], Math.min(...failures) / 3), all[1]];
}

/** Fractions the paper must hold: the points with room, the line's range where it lies among them. */
function fractionDomain(chart: ProbabilityChart, ages: readonly [number, number]): [number, number] {
  const fractions = chart.series.flatMap((s) => [
    ...s.points.map((p) => p.failed),
    ...s.line.filter((p) => p.age >= ages[0] && p.age <= ages[1]).map((p) => p.estimate),
  ]);
  const inside = fractions.filter((f) => isDrawable(f) && f > 0 && f < 1);
  const low = Math.min(0.1, ...inside);
  const high = Math.max(0.5, ...inside);
  return [Math.max(low / 1.6, 1e-5), Math.min(1 - (1 - high) / 1.6, 1 - 1e-5)];
}

function ticks(low: number, high: number): number[] {
  return LABELLED.filter((f) => f >= low && f <= high);
}

export function probabilityColumns(chart: ProbabilityChart): ChartColumn[] {
  const rows = chart.series.flatMap((s) => [
    ...s.points.map((p) => ({
      series: s.name,
      what: "failure",
      age: p.age,
      failed: p.failed as number | null,
      lower: p.from ?? null,
      upper: p.to ?? null,
      low: null as number | null,
      high: null as number | null,
      behind: p.behind,
    })),
    ...s.suspensions.map((age) => ({
      series: s.name,
      what: "suspension",
      age,
      failed: null,
      lower: null,
      upper: null,
      low: null,
      high: null,
      behind: undefined,
    })),
    ...s.line.map((p) => ({
      series: s.name,
      what: "fitted",
      age: p.age,
      failed: p.estimate,
      lower: null,
      upper: null,
      low: p.lower,
      high: p.upper,
      behind: undefined,
    })),
  ]);
  return columnsOf(rows, [
    ["series", null, (r) => r.series],
    ["what", null, (r) => r.what],
    ["age", chart.unit, (r) => r.age],
    ["age_from", chart.unit, (r) => r.lower],
    ["age_to", chart.unit, (r) => r.upper],
    ["failed", "fraction", (r) => r.failed],
    ["failed_lower", "fraction", (r) => r.low],
    ["failed_upper", "fraction", (r) => r.high],
  ]);
}
