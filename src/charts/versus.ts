/** A few series side by side in every row, each with its whisker, symbol and colour; rows that stand out carry a sign. */
import {axisX, axisY, dot, gridX, link, ruleX, ruleY, text, type Markish, type PlotOptions} from "@observablehq/plot";
import type {VersusChart, VersusValue} from "./chart.ts";
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
import {legend, type LegendItem} from "./legend.ts";
import {seriesLook} from "./palette.ts";

const LINE = 17;
const GAP = 14;
/** before the name of a row that stands out */
const SIGN = "▸ ";
/** symbols that the legend can draw too */
const LOOKS = [
  {symbol: "circle", sample: "dot"},
  {symbol: "diamond", sample: "diamond"},
  {symbol: "square", sample: "bar"},
] as const;

interface Placed extends VersusValue {
  readonly y: number;
  readonly row: string;
}

export function versusOptions(chart: VersusChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const rows = chart.rows;
  const height = chart.series.length * LINE + GAP;
  const placed = chart.series.map((_, s): Placed[] =>
    rows.flatMap((row, i) => {
      const value = row.values[s];
      return value ? [{...value, row: row.name, y: i * height + GAP / 2 + (s + 0.5) * LINE}] : [];
    }),
  );
  const all = placed.flat();
  const values = [...all.flatMap((v) => [v.value, v.lower]), chart.reference];
  const extent = extentOf([...values, ...all.map((v) => heldUpper(v))]);
  const domain = chart.log
    ? logDomain([...values, ...all.map((v) => heldUpper(v))], 1.2)
    : extent && fromZero(extent[1]);
  if (rows.length === 0 || !domain) return blank(sheet, "nothing to compare");
  const floor = chart.log ? 0 : -Infinity;
  const hold = (value: number | null, edge: number): number =>
    isDrawable(value) && value > floor ? Math.min(Math.max(value, domain[0]), domain[1]) : edge;
  const notes = Math.min(Math.max(24, ...all.map((v) => labelWidth(v.note) + 14)), sheet.width * 0.3);
  const places = chart.log ? logTicks(domain, sheet.width / 90) : undefined;
  const items: LegendItem[] = chart.series.map((label, s) => ({
    label,
    sample: LOOKS[s % LOOKS.length]!.sample,
    colour: seriesLook(palette, s).colour,
  }));
  const marked = rows.some((row) => row.marked);
  const key = legend(items, sheet, {left: 4, row: 0});
  const names = rows.map((row) => (row.marked ? SIGN : "") + row.name);
  const axis = {
    label: chart.unit === "" ? chart.label : `${chart.label} (${chart.unit})`,
    labelAnchor: "center",
    labelArrow: "none",
    labelOffset: 36,
  } as const;
  const grid = {stroke: palette.grid, strokeOpacity: 1};
  const marginLeft = marginFor(names, sheet);
  const series = placed.flatMap((list, s): Markish[] => {
    const {colour} = seriesLook(palette, s);
    const limited = list.filter((v) => isDrawable(v.lower) || isDrawable(v.upper));
    return [
      link(limited, {
        x1: (v: Placed) => hold(v.lower, domain[0]),
        x2: (v: Placed) => hold(v.upper, domain[1]),
        y1: "y",
        y2: "y",
        stroke: colour,
        strokeWidth: 2,
        ariaDescription: `limits, ${chart.series[s]!}`,
      }),
      dot(
        list.filter((v) => isDrawable(v.value) && v.value > floor),
        {
          x: "value",
          y: "y",
          r: 4.5,
          symbol: LOOKS[s % LOOKS.length]!.symbol,
          fill: s === 1 ? palette.surface : colour,
          stroke: colour,
          strokeWidth: 1.8,
          title: (v: Placed) =>
            sheet.told(`${v.row}, ${chart.series[s]!}: ${formatNumber(v.value ?? 0)} ${chart.unit}${limitsOf(v)}`, v),
          ariaDescription: chart.series[s]!,
        },
      ),
      text(list, {frameAnchor: "right", y: "y", text: "note", textAnchor: "start", dx: 8, fill: palette.muted}),
    ];
  });
  return frame(sheet, key.margin + (marked ? 66 : 44) + rows.length * height, {
    marginTop: key.margin,
    marginLeft,
    marginRight: notes,
    marginBottom: marked ? 62 : 40,
    x: {type: chart.log ? "log" : "linear", domain, label: null},
    y: {domain: [rows.length * height, 0], label: null},
    marks: [
      places ? gridX(places, grid) : gridX({...grid, ticks: sheet.width / 110}),
      places
        ? axisX(places, {...axis, ...labelled})
        : axisX({...axis, tickFormat: formatNumber, ticks: sheet.width / 110}),
      ruleY(
        rows.slice(1).map((_, i) => (i + 1) * height),
        {stroke: palette.grid, strokeOpacity: 0.6, ariaDescription: "between rows"},
      ),
      axisY(
        rows.map((_, i) => (i + 0.5) * height),
        {
          tickSize: 0,
          label: null,
          text: names,
          lineWidth: marginLeft / 12,
          textOverflow: "ellipsis-end",
        },
      ),
      ...(chart.reference === null
        ? []
        : [ruleX([chart.reference], {stroke: palette.ink, strokeDasharray: "3 3", ariaDescription: "reference"})]),
      ...series,
      ...(marked
        ? [
            text([`${SIGN}${chart.markedMeans}`], {
              frameAnchor: "bottom-right",
              dy: 55,
              textAnchor: "end",
              fill: palette.muted,
            }),
          ]
        : []),
      key.mark,
    ],
  });
}

/** A limit far beyond every value would squeeze all rows; the whisker then runs to the edge. */
const heldUpper = ({value, upper}: VersusValue): number | null =>
  isDrawable(upper) && isDrawable(value) && value > 0 ? Math.min(upper, value * 4) : null;

export function versusColumns(chart: VersusChart): ChartColumn[] {
  const unit = chart.unit === "" ? null : chart.unit;
  const rows = chart.rows.flatMap((row) =>
    chart.series.flatMap((series, s) => {
      const value = row.values[s];
      return value ? [{...value, row: row.name, series, marked: row.marked}] : [];
    }),
  );
  return columnsOf(rows, [
    ["row", null, (r) => r.row],
    ["series", null, (r) => r.series],
    [chart.label.replaceAll(" ", "_"), unit, (r) => r.value],
    ["lower", unit, (r) => r.lower],
    ["upper", unit, (r) => r.upper],
    ["note", null, (r) => r.note],
    ["stands_out", null, (r) => (r.marked ? "yes" : "no")],
  ]);
}
