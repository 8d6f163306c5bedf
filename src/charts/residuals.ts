/**
 * Cox-Snell residuals: the cumulative hazard the fit gives the failures against the one the lives show there. Where fit and
 * lives agree, the curve runs along the diagonal.
 */
import {areaY, dot, line, link, rect, ruleX, ruleY, type PlotOptions} from "@observablehq/plot";
import type {HazardStep, ResidualsChart} from "./chart.ts";
import {fromZero} from "./curves.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  within,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

export function residualsOptions(chart: ResidualsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const steps = chart.steps.filter((s) => isDrawable(s.to) && isDrawable(s.after) && s.from <= s.to);
  const reach = extentOf(steps.flatMap((s) => [s.to, s.after]));
  if (!reach || !(reach[1] > 0)) return blank(sheet, "no residuals to draw");
  const [, top] = fromZero(reach[1]);
  const {colour} = seriesLook(palette, 0);
  const spread = steps.filter((s) => s.to > s.from);
  const exact = steps.filter((s) => s.to === s.from);
  const banded = exact.filter((s) => s.lower !== null || s.upper !== null);
  const flats = steps.map((s, i) => ({from: i === 0 ? 0 : steps[i - 1]!.to, to: s.from, hazard: s.before}));
  const items: LegendItem[] = [
    {label: "fit and lives agree", sample: "line", colour: palette.ink, dash: "5 4"},
    {label: "the lives", sample: "line", colour},
  ];
  if (exact.length) items.push({label: "failures at a known age", sample: "ring", colour});
  if (spread.length) items.push({label: "rises somewhere inside", sample: "band", colour});
  if (banded.length) items.push({label: "limits", sample: "band", colour: palette.muted});
  const few = isDrawable(chart.until) && chart.until < top ? [chart.until] : [];
  const beyond = `to the right fewer than ${formatNumber(chart.fewest)} lives`;
  if (few.length) items.push({label: beyond, sample: "tick", colour: palette.muted});
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(440, sheet.width * 0.72), {
    marginTop: key.margin,
    marginLeft: 52,
    marginBottom: 40,
    x: {
      domain: [0, top],
      label: `cumulative hazard by the fit (${chart.name})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
      grid: true,
    },
    y: {
      domain: [0, top],
      label: "cumulative hazard the lives show",
      labelArrow: "none",
      tickFormat: formatNumber,
      grid: true,
    },
    marks: [
      areaY(banded, {
        x: "to",
        y1: (s: HazardStep) => within(s.lower, [0, top], 0),
        y2: (s: HazardStep) => within(s.upper, [0, top], top),
        fill: palette.muted,
        fillOpacity: 0.16,
        curve: "step-after",
        ariaDescription: "limits",
      }),
      rect(spread, {
        x1: "from",
        x2: "to",
        y1: "before",
        y2: "after",
        fill: colour,
        fillOpacity: 0.2,
        stroke: colour,
        strokeOpacity: 0.5,
        strokeWidth: 0.75,
        ariaDescription: "rises somewhere inside",
      }),
      link(flats, {
        x1: "from",
        x2: "to",
        y1: "hazard",
        y2: "hazard",
        stroke: colour,
        strokeWidth: 1.5,
        ariaDescription: "the lives",
      }),
      link(exact, {
        x1: "to",
        x2: "to",
        y1: "before",
        y2: "after",
        stroke: colour,
        strokeWidth: 1.5,
        ariaDescription: "steps at known ages",
      }),
      line(
        [
          [0, 0],
          [top, top],
        ],
        {stroke: palette.ink, strokeDasharray: "5 4", ariaDescription: "fit and lives agree"},
      ),
      dot(exact, {
        x: "to",
        y: "after",
        r: exact.length > 60 ? 2 : 3,
        stroke: colour,
        fill: palette.surface,
        title: (s: HazardStep) =>
          sheet.told(
            `${formatNumber(s.ageTo)} ${chart.unit}: fit ${formatNumber(s.to)}, lives ${formatNumber(s.after)}`,
            s,
          ),
        ariaDescription: "failures at a known age",
      }),
      ruleX(few, {stroke: palette.muted, strokeDasharray: "2 3", ariaDescription: beyond}),
      ruleY([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

export function residualsColumns(chart: ResidualsChart): ChartColumn[] {
  return columnsOf(chart.steps, [
    ["age_from", chart.unit, (s) => s.ageFrom],
    ["age_to", chart.unit, (s) => s.ageTo],
    ["fit_from", null, (s) => s.from],
    ["fit_to", null, (s) => s.to],
    ["lives_before", null, (s) => s.before],
    ["lives_after", null, (s) => s.after],
    ["lives_lower", null, (s) => s.lower],
    ["lives_upper", null, (s) => s.upper],
  ]);
}
