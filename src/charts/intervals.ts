/** Recommended renewal intervals with their limits, beside today's policy: one row per component, mud and regime. */
import {axisX, axisY, dot, gridX, link, text, type PlotOptions} from "@observablehq/plot";
import type {IntervalsChart, RangeRow} from "./chart.ts";
import {
  blank,
  columnsOf,
  formatNumber,
  frame,
  isDrawable,
  limitsOf,
  labelled,
  logDomain,
  logTicks,
  marginFor,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

export function intervalsOptions(chart: IntervalsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {rows} = chart;
  if (rows.length === 0) return blank(sheet, "no rows to draw");
  const domain = logDomain(
    rows.flatMap((row) => [row.value, row.lower, row.upper, row.current]),
    1.3,
  ) ?? [10, 1000];
  const colour = palette.series[0]!;
  const key = legend(
    [
      {label: "recommended, with limits", sample: "dot", colour},
      {label: "today", sample: "diamond", colour: palette.series[1]!},
    ],
    sheet,
    {left: 4, row: 0},
  );
  const limited = rows.filter((row) => isDrawable(row.value) && (isDrawable(row.lower) || isDrawable(row.upper)));
  const marginLeft = marginFor(
    rows.map((row) => row.name),
    sheet,
  );
  return frame(sheet, key.margin + 48 + rows.length * 22, {
    marginTop: key.margin,
    marginLeft,
    marginRight: 24,
    marginBottom: 40,
    x: {type: "log", domain, label: null},
    y: {type: "point", domain: rows.map((row) => row.name), label: null, padding: 0.6},
    marks: [
      gridX(logTicks(domain, 12), {stroke: palette.grid, strokeOpacity: 1}),
      axisX(logTicks(domain, sheet.width / 90), {
        label: `age at renewal (${chart.unit}), log scale`,
        labelAnchor: "center",
        labelArrow: "none",
        ...labelled,
      }),
      axisY({tickSize: 0, label: null}),
      link(limited, {
        x1: (row: RangeRow) => (isDrawable(row.lower) && row.lower > 0 ? row.lower : domain[0]),
        x2: (row: RangeRow) => (isDrawable(row.upper) ? row.upper : domain[1]),
        y1: "name",
        y2: "name",
        stroke: colour,
        strokeWidth: 4,
        strokeOpacity: 0.4,
        ariaDescription: "limits",
      }),
      dot(
        rows.filter((row) => isDrawable(row.current) && row.current > 0),
        {
          x: "current",
          y: "name",
          symbol: "diamond",
          r: 5,
          stroke: palette.series[1]!,
          strokeWidth: 1.5,
          title: (row: RangeRow) => sheet.told(`${row.name}: today ${formatNumber(row.current ?? 0)} ${chart.unit}`),
          ariaDescription: "today",
        },
      ),
      dot(
        rows.filter((row) => isDrawable(row.value) && row.value > 0),
        {
          x: "value",
          y: "name",
          r: 4.5,
          fill: colour,
          title: (row: RangeRow) =>
            sheet.told(`${row.name}: ${formatNumber(row.value ?? 0)} ${chart.unit}${limitsOf(row)}`, row),
          ariaDescription: "recommended",
        },
      ),
      text(
        rows.filter((row) => !isDrawable(row.value)),
        {
          x: Math.sqrt(domain[0] * domain[1]),
          y: "name",
          text: "note",
          fill: palette.muted,
          fontStyle: "italic",
          stroke: palette.surface,
          strokeWidth: 3,
        },
      ),
      key.mark,
    ],
  });
}

export function intervalsColumns(chart: IntervalsChart): ChartColumn[] {
  return columnsOf(chart.rows, [
    ["row", null, (row) => row.name],
    ["group", null, (row) => row.group],
    ["interval", chart.unit, (row) => row.value],
    ["interval_lower", chart.unit, (row) => row.lower],
    ["interval_upper", chart.unit, (row) => row.upper],
    ["today", chart.unit, (row) => row.current],
    ["note", null, (row) => row.note],
  ]);
}
