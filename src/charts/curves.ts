/** Lines with bands and labels, shared by the chart files whose x axis is an age. */
import {areaY, dot, line, type Markish} from "@observablehq/plot";
import {scaleLinear} from "d3";
import type {CurvePoint} from "./chart.ts";
import {columnsOf, formatNumber, isDrawable, within, type ChartColumn, type Sheet} from "./drawing.ts";
import {seriesLook} from "./palette.ts";

export interface CurveStyle {
  readonly name: string;
  /** which series it is: says colour and dash */
  readonly index: number;
  /** vertical range drawn; bands are held inside */
  readonly range: readonly [number, number];
  readonly steps?: boolean;
  readonly thin?: boolean;
  /** how a value on it is said; default: as a number */
  readonly says?: (value: number) => string;
  /** unit of the ages, as said beside them */
  readonly unit?: string;
}

/** A curve and its band. Points without a finite age or estimate are left out. */
export function curveMarks(curve: readonly CurvePoint[], style: CurveStyle, sheet: Sheet): Markish[] {
  const {palette, readings} = sheet;
  const {colour, dash} = seriesLook(palette, style.index);
  const [low, high] = style.range;
  const points = curve.filter((p) => isDrawable(p.age) && isDrawable(p.estimate));
  const banded = points.filter((p) => p.lower !== null || p.upper !== null);
  const shape = style.steps ? ("step-after" as const) : ("linear" as const);
  return [
    areaY(banded, {
      x: "age",
      y1: (p: CurvePoint) => within(p.lower, style.range, low),
      y2: (p: CurvePoint) => within(p.upper, style.range, high),
      fill: colour,
      fillOpacity: 0.14,
      curve: shape,
      ariaDescription: `limits, ${style.name}`,
    }),
    line(points, {
      x: "age",
      y: (p: CurvePoint) => within(p.estimate, style.range, low),
      stroke: colour,
      strokeWidth: style.thin ? 1 : 2,
      strokeDasharray: style.thin ? "none" : dash,
      strokeOpacity: style.thin ? 0.8 : 1,
      curve: shape,
      ariaDescription: style.name,
    }),
    ...(readings ? [readingMarks(points, style, sheet)] : []),
  ];
}

/** Places along a curve that say their values; drawn unseen until one is pointed at. */
function readingMarks(
  points: readonly CurvePoint[],
  {name, range, unit = "", says = formatNumber}: CurveStyle,
  sheet: Sheet,
): Markish {
  const step = Math.max(1, Math.floor(points.length / READINGS));
  // a step that failures made leads to their rows, wherever it is
  const rested = points.some(({behind}) => behind !== undefined);
  return dot(
    points.filter(({behind}, at) => (rested ? behind !== undefined : at % step === 0)),
    {
      x: "age",
      y: (p: CurvePoint) => within(p.estimate, range, range[0]),
      r: 4,
      fill: "transparent",
      stroke: "transparent",
      title: (p: CurvePoint) => {
        const limits =
          isDrawable(p.lower) && isDrawable(p.upper) ? ` (limits ${says(p.lower)} to ${says(p.upper)})` : "";
        return sheet.told(
          `${name === "" ? "" : `${name}, `}${formatNumber(p.age)} ${unit}: ${says(p.estimate)}${limits}`,
          p,
        );
      },
      ariaDescription: `values, ${name}`,
    },
  );
}

/** Readings along one curve, at most about. */
const READINGS = 24;

/** Rows of a saved table for curves by age. */
export function curveColumns(
  series: readonly {readonly name: string; readonly what: string; readonly curve: readonly CurvePoint[]}[],
  {x, unit, y, yUnit}: {readonly x: string; readonly unit: string; readonly y: string; readonly yUnit: string},
): ChartColumn[] {
  const rows = series.flatMap((s) => s.curve.map((p) => ({...p, name: s.name, what: s.what})));
  return columnsOf(rows, [
    ["series", null, (r) => r.name],
    ["what", null, (r) => r.what],
    [x, unit, (r) => r.age],
    [y, yUnit, (r) => r.estimate],
    [`${y}_lower`, yUnit, (r) => r.lower],
    [`${y}_upper`, yUnit, (r) => r.upper],
  ]);
}

/** A linear domain from zero to a round number at or above `high`. */
export function fromZero(high: number): [number, number] {
  return high > 0 ? (scaleLinear([0, high], [0, 1]).nice(6).domain() as [number, number]) : [0, 1];
}
