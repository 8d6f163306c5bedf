/** Two values a row with their limits, e.g. a part as it is and a new one: what a change is worth, and for which rows. */
import {axisX, axisY, dot, gridX, link, ruleX, text, type PlotOptions} from "@observablehq/plot";
import type {PairRow, PairsChart} from "./chart.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatPercent,
  frame,
  isDrawable,
  labelWidth,
  marginFor,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

/** The lower row of a pair stands so far below the upper one, px. */
const APART = 4;

export function pairsOptions(chart: PairsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {rows} = chart;
  const extent = extentOf(
    rows.flatMap((row) => [row.first.value, row.first.lower, row.second?.value, row.second?.lower]),
  );
  if (!extent) return blank(sheet, "no rows to draw");
  const low = Math.max(0, Math.floor((Math.min(extent[0], chart.reference ?? 1) - 0.02) * 10) / 10);
  const [one, two] = [palette.series[0]!, palette.series[1]!];
  const key = legend(
    [
      {label: chart.names[0], sample: "dot", colour: one},
      {label: chart.names[1], sample: "diamond", colour: two},
      ...(chart.reference === null
        ? []
        : [
            {
              label: `asked for: ${formatPercent(chart.reference)}`,
              sample: "line" as const,
              colour: palette.alert,
              dash: "2 2",
            },
          ]),
    ],
    sheet,
    {left: 4, row: 0},
  );
  const notes = Math.min(Math.max(24, ...rows.map((row) => labelWidth(row.note) + 12)), sheet.width * 0.3);
  const whisker = (which: "first" | "second", colour: string, dy: number) =>
    link(
      rows.filter((row) => isDrawable(row[which]?.lower) && isDrawable(row[which]?.upper)),
      {
        x1: (row: PairRow) => row[which]!.lower!,
        x2: (row: PairRow) => row[which]!.upper!,
        y1: "name",
        y2: "name",
        dy,
        stroke: colour,
        strokeWidth: 2,
        ariaDescription: "limits",
      },
    );
  return frame(sheet, key.margin + 48 + rows.length * 28, {
    marginTop: key.margin,
    marginLeft: marginFor(
      rows.map((row) => row.name),
      sheet,
    ),
    marginRight: notes,
    marginBottom: 40,
    x: {domain: [low, 1], label: null},
    y: {type: "point", domain: rows.map((row) => row.name), label: null, padding: 0.6},
    marks: [
      gridX({stroke: palette.grid, strokeOpacity: 1, ticks: sheet.width / 110}),
      axisX({
        label: chart.label,
        labelAnchor: "center",
        labelArrow: "none",
        tickFormat: formatPercent,
        ticks: sheet.width / 110,
      }),
      axisY({tickSize: 0, label: null}),
      ...(chart.reference === null
        ? []
        : [ruleX([chart.reference], {stroke: palette.alert, strokeDasharray: "2 2", ariaDescription: "asked for"})]),
      whisker("first", one, -APART),
      whisker("second", two, APART),
      dot(rows, {
        x: (row: PairRow) => row.first.value,
        y: "name",
        dy: -APART,
        r: 4.5,
        fill: one,
        title: (row: PairRow) => sheet.told(`${row.name}, ${chart.names[0]}: ${formatPercent(row.first.value)}`, row),
        ariaDescription: chart.names[0],
      }),
      dot(
        rows.filter((row) => row.second !== null),
        {
          x: (row: PairRow) => row.second!.value,
          y: "name",
          dy: APART,
          symbol: "diamond",
          r: 4.5,
          stroke: two,
          strokeWidth: 1.5,
          fill: palette.surface,
          title: (row: PairRow) => `${row.name}, ${chart.names[1]}: ${formatPercent(row.second!.value)}`,
          ariaDescription: chart.names[1],
        },
      ),
      text(rows, {frameAnchor: "right", y: "name", text: "note", textAnchor: "start", dx: 8, fill: palette.muted}),
      key.mark,
    ],
  });
}

export function pairsColumns(chart: PairsChart): ChartColumn[] {
  const [one, two] = chart.names.map((name) => name.replaceAll(/\W+/g, "_"));
  return columnsOf(chart.rows, [
    ["row", null, (row) => row.name],
    [one!, "fraction", (row) => row.first.value],
    [`${one}_lower`, "fraction", (row) => row.first.lower],
    [`${one}_upper`, "fraction", (row) => row.first.upper],
    [two!, "fraction", (row) => row.second?.value ?? null],
    [`${two}_lower`, "fraction", (row) => row.second?.lower ?? null],
    [`${two}_upper`, "fraction", (row) => row.second?.upper ?? null],
    ["note", null, (row) => row.note],
  ]);
}
