/** Measured dimension against age: each part's own line, the mean path, and the shop's limit. */
import {dot, line, ruleY, type PlotOptions} from "@observablehq/plot";
import {scaleLinear} from "d3";
import type {WearChart} from "./chart.ts";
import {curveMarks} from "./curves.ts";
import {blank, columnsOf, extentOf, formatNumber, frame, isDrawable, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";

export function wearOptions(chart: WearChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const points = chart.parts.flatMap((part) =>
    part.points
      .filter((p) => isDrawable(p.age) && isDrawable(p.size))
      .map((p) => ({...p, part: part.name, own: part.own === true})),
  );
  const ages = extentOf([...points.map((p) => p.age), ...chart.path.map((p) => p.age)]);
  const sizes = extentOf([...points.map((p) => p.size), ...chart.path.map((p) => p.estimate), chart.limit]);
  if (!ages || !sizes || ages[1] <= 0) return blank(sheet, "no measured dimension to draw");
  const room = (sizes[1] - sizes[0] || Math.abs(sizes[1]) || 1) * 0.08;
  const range = scaleLinear([sizes[0] - room, sizes[1] + room], [0, 1])
    .nice(6)
    .domain() as [number, number];
  const items: LegendItem[] = [{label: "one part", sample: "ring", colour: palette.muted}];
  const own = points.filter((p) => p.own);
  if (own.length > 0) items.push({label: own[0]!.part, sample: "line", colour: palette.series[1]!});
  if (chart.path.length) items.push({label: "mean path with limits", sample: "line", colour: palette.series[0]!});
  if (chart.limit !== null) items.push({label: "shop's limit", sample: "line", colour: palette.alert, dash: "4 2"});
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(360, sheet.width * 0.6), {
    marginTop: key.margin,
    marginLeft: 64,
    marginBottom: 40,
    x: {
      domain: [0, ages[1]],
      label: `age (${chart.unit})`,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: formatNumber,
      ticks: sheet.width / 80,
    },
    y: {
      domain: range,
      label: `${chart.measure} (${chart.sizeUnit})`,
      labelArrow: "none",
      grid: true,
      tickFormat: formatNumber,
    },
    marks: [
      line(points, {
        x: "age",
        y: "size",
        z: "part",
        stroke: palette.muted,
        strokeOpacity: 0.35,
        ariaDescription: "parts",
      }),
      dot(points, {
        x: "age",
        y: "size",
        r: 2.5,
        stroke: palette.muted,
        title: (p: (typeof points)[number]) =>
          sheet.told(`${p.part}: ${formatNumber(p.size)} ${chart.sizeUnit} at ${formatNumber(p.age)} ${chart.unit}`, p),
        ariaDescription: "readings",
      }),
      ...curveMarks(chart.path, {name: "mean path", index: 0, range}, sheet),
      line(own, {
        x: "age",
        y: "size",
        stroke: palette.series[1]!,
        strokeWidth: 2.5,
        ariaDescription: "the part itself",
      }),
      dot(own, {
        x: "age",
        y: "size",
        r: 5,
        symbol: "diamond",
        fill: palette.series[1]!,
        title: (p: (typeof points)[number]) =>
          sheet.told(`${p.part}: ${formatNumber(p.size)} ${chart.sizeUnit} at ${formatNumber(p.age)} ${chart.unit}`, p),
        ariaDescription: "readings of the part itself",
      }),
      ...(chart.limit === null
        ? []
        : [ruleY([chart.limit], {stroke: palette.alert, strokeDasharray: "4 2", ariaDescription: "shop's limit"})]),
      key.mark,
    ],
  });
}

export function wearColumns(chart: WearChart): ChartColumn[] {
  const rows = [
    ...chart.parts.flatMap((part) =>
      part.points.map((p) => ({
        name: part.name,
        what: "reading",
        age: p.age,
        size: p.size,
        lower: null as number | null,
        upper: null as number | null,
        behind: p.behind,
      })),
    ),
    ...chart.path.map((p) => ({
      name: "mean path",
      what: "fitted",
      age: p.age,
      size: p.estimate,
      lower: p.lower,
      upper: p.upper,
      behind: undefined,
    })),
  ];
  return columnsOf(rows, [
    ["part", null, (r) => r.name],
    ["what", null, (r) => r.what],
    ["age", chart.unit, (r) => r.age],
    ["size", chart.sizeUnit, (r) => r.size],
    ["size_lower", chart.sizeUnit, (r) => r.lower],
    ["size_upper", chart.sizeUnit, (r) => r.upper],
    ["limit", chart.sizeUnit, () => chart.limit],
  ]);
}
