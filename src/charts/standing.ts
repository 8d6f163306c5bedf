/** Where one run stands among others, quantity by quantity: from the lowest of them on the left to the highest. */
import {axisX, axisY, dot, rect, ruleX, ruleY, text, type PlotOptions} from "@observablehq/plot";
import type {StandingChart} from "./chart.ts";
import {blank, columnsOf, frame, isDrawable, labelWidth, marginFor, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend} from "./legend.ts";

type Row = StandingChart["rows"][number];

export function standingOptions(chart: StandingChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {rows} = chart;
  if (rows.length === 0) return blank(sheet, "no condition of the run is known");
  const names = rows.map(({name}) => name);
  const notes = rows.map(({value, usual}) => ({
    value,
    usual,
    whole: usual === "" ? value : `${value} (usual ${usual})`,
  }));
  const right = Math.min(Math.max(60, ...notes.map(({whole}) => labelWidth(whole) + 14)), sheet.width * 0.46);
  const note = (row: Row, i: number) => (labelWidth(notes[i]!.whole) + 14 > right ? row.value : notes[i]!.whole);
  const known = rows.filter((row) => isDrawable(row.below));
  const usual = known.filter((row) => row.below! >= 0.05 && row.below! <= 0.95);
  const unusual = known.filter((row) => !usual.includes(row));
  const key = legend(
    [
      {label: "nine runs in ten", sample: "band", colour: palette.series[5]!},
      {label: "this run", sample: "dot", colour: palette.series[0]!},
      ...(unusual.length > 0 ? [{label: "outside them", sample: "diamond", colour: palette.alert} as const] : []),
    ],
    sheet,
    {left: 4, row: 0},
  );
  const place = {
    x: (row: Row) => row.below! * 100,
    y: "name",
    title: (row: Row) => sheet.told(`${row.name}: ${row.value}`, row),
  };
  return frame(sheet, key.margin + 46 + rows.length * 26, {
    marginTop: key.margin,
    marginLeft: marginFor(names, sheet),
    marginRight: right,
    marginBottom: 38,
    x: {domain: [0, 100], label: null},
    y: {type: "point", domain: names, label: null, padding: 0.6},
    marks: [
      rect([{from: 5, to: 95}], {
        x1: "from",
        x2: "to",
        fill: palette.series[5]!,
        fillOpacity: 0.14,
        ariaDescription: "nine runs in ten",
      }),
      ruleX([50], {stroke: palette.muted, strokeDasharray: "2 3", ariaDescription: "the middle run"}),
      ruleY(names, {stroke: palette.grid, ariaDescription: "rows"}),
      axisX([0, 25, 50, 75, 100], {
        label: `share of the ${chart.among} that lie lower (%)`,
        labelAnchor: "center",
        labelArrow: "none",
      }),
      axisY({tickSize: 0, label: null}),
      dot(usual, {...place, r: 5, fill: palette.series[0]!, ariaDescription: "this run"}),
      dot(unusual, {
        ...place,
        r: 6,
        symbol: "diamond",
        stroke: palette.alert,
        strokeWidth: 2,
        fill: palette.surface,
        ariaDescription: "this run, outside nine in ten",
      }),
      text(rows, {frameAnchor: "right", y: "name", text: note, textAnchor: "start", dx: 8, fill: palette.ink}),
      key.mark,
    ],
  });
}

export function standingColumns(chart: StandingChart): ChartColumn[] {
  return columnsOf(chart.rows, [
    ["quantity", null, (row) => row.name],
    ["this_run", null, (row) => row.value],
    ["share_below", null, (row) => row.below],
    ["usual_range", null, (row) => row.usual],
  ]);
}
