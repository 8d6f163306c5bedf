/** One dot and whisker a row, on a linear axis from zero or a log axis: rates of fleets, effects of conditions. */
import {axisX, axisY, dot, gridX, link, ruleX, text, type PlotOptions} from "@observablehq/plot";
import type {DotRow, DotsChart} from "./chart.ts";
import {fromZero} from "./curves.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  labelled,
  labelWidth,
  limitsOf,
  logDomain,
  logTicks,
  marginFor,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";

export function dotsOptions(chart: DotsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {rows} = chart;
  const values = [...rows.flatMap((row) => [row.value, row.lower, row.upper]), chart.reference];
  const extent = extentOf(values);
  const domain = chart.log ? logDomain(values, 1.2) : extent && fromZero(extent[1]);
  if (rows.length === 0 || !domain) return blank(sheet, "no rows to draw");
  const colour = palette.series[0]!;
  const limited = rows.filter((row) => isDrawable(row.lower) || isDrawable(row.upper));
  const notes = Math.min(Math.max(24, ...rows.map((row) => labelWidth(row.note) + 12)), sheet.width * 0.3);
  const low = (row: DotRow) =>
    isDrawable(row.lower) && row.lower > (chart.log ? 0 : -Infinity) ? row.lower : domain[0];
  const places = chart.log ? logTicks(domain, sheet.width / 75) : undefined;
  const x = {stroke: palette.grid, strokeOpacity: 1};
  const axis = {
    label: chart.unit === "" ? chart.label : `${chart.label} (${chart.unit})`,
    labelAnchor: "center",
    labelArrow: "none",
  } as const;
  return frame(sheet, 56 + rows.length * 26, {
    marginTop: 10,
    marginLeft: marginFor(
      rows.map((row) => row.name),
      sheet,
    ),
    marginRight: notes,
    marginBottom: 40,
    x: {type: chart.log ? "log" : "linear", domain, label: null},
    y: {type: "point", domain: rows.map((row) => row.name), label: null, padding: 0.6},
    marks: [
      places ? gridX(places, x) : gridX({...x, ticks: sheet.width / 110}),
      places
        ? axisX(places, {...axis, ...labelled})
        : axisX({...axis, tickFormat: formatNumber, ticks: sheet.width / 110}),
      axisY({tickSize: 0, label: null}),
      ...(chart.reference === null
        ? []
        : [ruleX([chart.reference], {stroke: palette.ink, strokeDasharray: "3 3", ariaDescription: "reference"})]),
      link(limited, {
        x1: low,
        x2: (row: DotRow) => (isDrawable(row.upper) ? row.upper : domain[1]),
        y1: "name",
        y2: "name",
        stroke: colour,
        strokeWidth: 2,
        ariaDescription: "limits",
      }),
      dot(
        rows.filter((row) => isDrawable(row.value) && (!chart.log || row.value > 0)),
        {
          x: "value",
          y: "name",
          r: 5,
          fill: colour,
          title: (row: DotRow) =>
            sheet.told(
              `${row.name}: ${formatNumber(row.value ?? 0)} ${chart.unit}${limitsOf(row)}${row.note === "" ? "" : `\n${row.note}`}`,
              row,
            ),
          ariaDescription: chart.label,
        },
      ),
      text(rows, {frameAnchor: "right", y: "name", text: "note", textAnchor: "start", dx: 8, fill: palette.muted}),
    ],
  });
}

export function dotsColumns(chart: DotsChart): ChartColumn[] {
  const unit = chart.unit === "" ? null : chart.unit;
  return columnsOf(chart.rows, [
    ["row", null, (row) => row.name],
    ["group", null, (row) => row.group],
    [chart.label.replaceAll(" ", "_"), unit, (row) => row.value],
    ["lower", unit, (row) => row.lower],
    ["upper", unit, (row) => row.upper],
    ["note", null, (row) => row.note],
  ]);
}
