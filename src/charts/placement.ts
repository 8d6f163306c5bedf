/** One part on its life model: the fraction failed by age with limits, and the part on it. */
import {dot, link, ruleX, text, type PlotOptions} from "@observablehq/plot";
import type {PlacementChart} from "./chart.ts";
import {curveMarks} from "./curves.ts";
import {blank, columnsOf, extentOf, formatNumber, frame, isDrawable, type ChartColumn, type Sheet} from "./drawing.ts";
import {legend, type LegendItem} from "./legend.ts";

export function placementOptions(chart: PlacementChart, sheet: Sheet): PlotOptions {
  const {palette} = sheet;
  const {part, curve} = chart;
  const ages = extentOf([...curve.map((p) => p.age), part.age]);
  if (!ages || !(ages[1] > 0) || curve.length === 0 || !isDrawable(part.failed))
    return blank(sheet, "no life model to place the part on");
  const marks = chart.marks.filter((m) => isDrawable(m.age) && m.age > 0 && m.age <= ages[1]);
  const others = chart.others.filter((age) => isDrawable(age) && age >= 0 && age <= ages[1]);
  const items: LegendItem[] = [
    {label: "failed by wear, with limits", sample: "line", colour: palette.series[0]!},
    {label: part.name, sample: "diamond", colour: palette.alert},
    ...(others.length > 0 ? [{label: "others that failed", sample: "tick", colour: palette.muted} as const] : []),
  ];
  const key = legend(items, sheet, {left: 4, row: 1});
  return frame(sheet, Math.min(340, sheet.width * 0.6), {
    marginTop: key.margin + (marks.length > 0 ? 16 : 0),
    marginLeft: 56,
    marginRight: 24,
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
      domain: [0, 1],
      label: "failed by then (%)",
      labelArrow: "none",
      grid: true,
      tickFormat: (p: number) => formatNumber(p * 100),
    },
    marks: [
      ...curveMarks(curve, {name: "failed by wear", index: 0, range: [0, 1]}, sheet),
      ruleX(others, {
        x: (age: number) => age,
        y1: 0,
        y2: 0.05,
        stroke: palette.muted,
        strokeOpacity: 0.6,
        ariaDescription: "ages at which others failed",
      }),
      ruleX(marks, {x: "age", stroke: palette.ink, strokeDasharray: "4 3", ariaDescription: "renewal ages"}),
      ...(["start", "end"] as const).map((textAnchor) =>
        text(
          marks.filter(({age}) => age > 0.6 * ages[1] === (textAnchor === "end")),
          {
            x: "age",
            frameAnchor: "top",
            text: "name",
            dy: -10,
            textAnchor,
            dx: textAnchor === "start" ? 3 : -3,
            fill: palette.ink,
            fontSize: 11,
            ariaDescription: "names of the renewal ages",
          },
        ),
      ),
      ...(isDrawable(chart.before) && chart.before < part.age
        ? [
            link([chart], {
              x1: chart.before,
              x2: part.age,
              y1: 0,
              y2: 0,
              stroke: palette.alert,
              strokeWidth: 5,
              title: () => "the run reviewed",
              ariaDescription: "ages of the run reviewed",
            }),
          ]
        : []),
      ...(isDrawable(part.from) && part.from < part.age
        ? [
            link([part], {
              x1: "from",
              x2: "age",
              y1: "failed",
              y2: "failed",
              stroke: palette.alert,
              strokeDasharray: "2 2",
              ariaDescription: "ages at which it may have failed",
            }),
          ]
        : []),
      dot([part], {
        x: "age",
        y: "failed",
        symbol: "diamond",
        r: 7,
        fill: palette.surface,
        stroke: palette.alert,
        strokeWidth: 2.5,
        title: () =>
          sheet.told(
            `${part.name}: ${formatNumber(part.failed * 100)} % at ${formatNumber(part.age)} ${chart.unit}`,
            part,
          ),
        ariaDescription: "the part",
      }),
      key.mark,
    ],
  });
}

export function placementColumns(chart: PlacementChart): ChartColumn[] {
  const rows = [
    ...chart.curve.map((p) => ({what: "failed by wear", ...p})),
    {
      what: chart.part.name,
      age: chart.part.age,
      estimate: chart.part.failed,
      lower: null,
      upper: null,
      behind: chart.part.behind,
    },
    ...chart.marks.map(({name, age}) => ({what: name, age, estimate: null, lower: null, upper: null})),
    ...chart.others.map((age) => ({what: "failure of another part", age, estimate: null, lower: null, upper: null})),
  ];
  return columnsOf(rows, [
    ["what", null, (r) => r.what],
    ["age", chart.unit, (r) => r.age],
    ["failed", null, (r) => r.estimate],
    ["failed_lower", null, (r) => r.lower],
    ["failed_upper", null, (r) => r.upper],
  ]);
}
