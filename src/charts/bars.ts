/** Ranked bars; what the shop caused is hatched and said in words. */
import {
  axisX,
  axisY,
  barX,
  gridX,
  ruleX,
  link,
  text,
  type Markish,
  type PlotOptions,
  type RenderFunction,
} from "@observablehq/plot";
import type {Bar, BarsChart} from "./chart.ts";
import {fromZero} from "./curves.ts";
import {
  blank,
  columnsOf,
  extentOf,
  formatNumber,
  frame,
  isDrawable,
  limitsOf,
  labelWidth,
  marginFor,
  type ChartColumn,
  type Sheet,
} from "./drawing.ts";
import {legend} from "./legend.ts";

const SVG = "http://www.w3.org/2000/svg";
const GAP = 7;
/** Right margin, where no label asks for more. */
const ROOM_RIGHT = 72;
const LABEL_GAP = 5;

export function barsOptions(chart: BarsChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const bars = chart.bars.filter((bar) => isDrawable(bar.value));
  const extent = extentOf(bars.flatMap((bar) => [bar.value, bar.upper]));
  if (!extent) return blank(sheet, "no failures to rank");
  const domain = fromZero(extent[1]);
  const caused = bars.filter((bar) => bar.serviceInduced);
  const limited = bars.filter((bar) => bar.lower !== null || bar.upper !== null);
  const marginLeft = marginFor(
    bars.map((bar) => bar.name),
    sheet,
  );
  const end = (bar: Bar) => Math.max(bar.value, bar.upper ?? bar.value);
  const marginRight = Math.max(
    ROOM_RIGHT,
    ...bars.map((bar) => roomFor(labelOf(bar), end(bar) / domain[1], sheet.width - marginLeft)),
  );
  const plotWidth = sheet.width - marginLeft - marginRight;
  // counts have no halves
  const whole = bars.every(({value}) => Number.isInteger(value)) ? Math.max(1, Math.floor(domain[1])) : Infinity;
  const ticks = Math.min(whole, Math.max(2, plotWidth / (labelWidth(formatNumber(domain[1])) + 40)));
  const key = legend(
    caused.length
      ? [
          {label: "worn, broken or blocked in service", sample: "bar", colour: palette.series[0]!},
          {label: "caused at service by the shop", sample: "hatched", colour: palette.series[1]!},
        ]
      : [],
    sheet,
    {left: 4, row: 0},
  );
  const whiskers: Markish[] = [
    link(limited, {
      x1: (bar: Bar) => bar.lower ?? 0,
      x2: (bar: Bar) => bar.upper ?? domain[1],
      y1: "name",
      y2: "name",
      stroke: palette.ink,
      strokeWidth: 1.5,
      ariaDescription: "limits",
    }),
  ];
  const title = (bar: Bar) =>
    sheet.told(
      `${bar.name}: ${formatNumber(bar.value)} ${chart.unit === "" ? chart.label : chart.unit}${limitsOf(bar)}${bar.serviceInduced ? ", caused at service" : ""}`,
      bar,
    );
  return frame(sheet, key.margin + 44 + bars.length * 24, {
    marginTop: key.margin,
    marginLeft,
    marginRight,
    marginBottom: 40,
    x: {domain, label: null},
    y: {type: "band", domain: bars.map((bar) => bar.name), label: null, padding: 0.3},
    marks: [
      gridX({stroke: palette.grid, strokeOpacity: 1, ticks}),
      axisX({
        label: axisLabel(chart),
        labelAnchor: "center",
        labelArrow: "none",
        tickFormat: formatNumber,
        ticks,
      }),
      axisY({tickSize: 0, label: null, lineWidth: marginLeft / 12, textOverflow: "ellipsis-end"}),
      barX(
        bars.filter((bar) => !bar.serviceInduced),
        {x1: 0, x2: "value", y: "name", fill: palette.series[0]!, title, ariaDescription: "failures in service"},
      ),
      barX(caused, {
        x1: 0,
        x2: "value",
        y: "name",
        fill: palette.surface,
        stroke: palette.series[1]!,
        strokeWidth: 1.5,
        title,
        ariaDescription: "failures caused at service",
      }),
      hatch(caused, palette.series[1]!),
      ...whiskers,
      text(bars, {
        x: end,
        y: "name",
        text: labelOf,
        textAnchor: "start",
        dx: LABEL_GAP,
        fill: palette.ink,
      }),
      ruleX([0], {stroke: palette.ink}),
      key.mark,
    ],
  });
}

const labelOf = ({value, runningShare}: Bar): string =>
  formatNumber(value) + (runningShare === null ? "" : `  (${Math.round(runningShare * 100)} %)`);

/**
 * Right margin that keeps a label behind its bar within the picture.
 *
 * @param share where the bar ends, of the axis; the axis takes what of `width` the margin leaves
 */
function roomFor(label: string, share: number, width: number): number {
  if (!(share > 0)) return 0;
  return (labelWidth(label) + LABEL_GAP - (1 - share) * width) / share;
}

const axisLabel = ({label, unit}: BarsChart) => (unit === "" ? label : `${label} (${unit})`);

/** Slanted lines over the bars, drawn as plain paths: a pattern would need an id that is unique on the page. */
function hatch(bars: readonly Bar[], colour: string): RenderFunction {
  return (_index, scales, _values, _dimensions, context) => {
    const group = context.document.createElementNS(SVG, "g");
    group.setAttribute("class", "hatching");
    const {x, y} = scales;
    if (!x || !y) return group;
    const height = scales.scales.y?.bandwidth ?? 0;
    for (const bar of bars) {
      const left = Number(x(0));
      const right = Number(x(bar.value));
      const top = Number(y(bar.name));
      const path = context.document.createElementNS(SVG, "path");
      path.setAttribute("d", slants(left, right, top, height));
      path.setAttribute("stroke", colour);
      path.setAttribute("stroke-width", "1.2");
      group.append(path);
    }
    return group;
  };
}

/** Lines at 45° inside the rectangle, cut at its sides. */
function slants(left: number, right: number, top: number, height: number): string {
  let path = "";
  for (let foot = left - height + GAP; foot < right; foot += GAP) {
    const from = Math.max(foot, left);
    const to = Math.min(foot + height, right);
    if (to > from)
      path += `M${round(from)},${round(top + height - (from - foot))}L${round(to)},${round(top + height - (to - foot))}`;
  }
  return path === "" ? "M0,0" : path;
}

const round = (value: number) => Math.round(value * 10) / 10;

export function barsColumns(chart: BarsChart): ChartColumn[] {
  const unit = chart.unit === "" ? null : chart.unit;
  return columnsOf(chart.bars, [
    ["name", null, (bar) => bar.name],
    [chart.label.replaceAll(" ", "_"), unit, (bar) => bar.value],
    ["lower", unit, (bar) => bar.lower],
    ["upper", unit, (bar) => bar.upper],
    ["service_induced", null, (bar) => (bar.serviceInduced ? "yes" : "no")],
    ["running_share", "fraction", (bar) => bar.runningShare],
  ]);
}
