/** Cell kind `due-list`: parts past their interval, or past it before their next run is over, tool by tool. */
import {componentLabel} from "../../shared/vocabulary/index.ts";
import {dueList, plannedRun, type DueList, type DuePart, type IntervalSource} from "../decisions/index.ts";
import {livesBehind, partsInTools} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {intervalSheet} from "./intervals.ts";
import {benchOf} from "./nextRunCheck.ts";
import {nameOf} from "./nextRunTable.ts";
import {livesOfEveryComponent} from "./inView.ts";
import {choiceParam, componentsParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  sayCondition,
  sayCount,
  sayList,
  sayNothing,
  sayNumber,
  sayShare,
} from "./say.ts";

const SHOW = {due: "parts that are due", all: "every part with an interval"} as const;

const {schema, fields} = params({
  component: componentsParam(),
  show: choiceParam("which parts the table lists", SHOW, "due"),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly show: keyof typeof SHOW;
}

const SOURCE: Readonly<Record<IntervalSource, string>> = {
  register: "register",
  settings: "settings",
  recommended: "recommended, not decided",
};

const MOST_TOOLS = 20;

export const DUE_DEFERRAL =
  "A list to plan by, no work order: the maker's procedures, the law and rules where you stand, and people competent for the task decide.";

export const dueListCell: CellKind<Params, DueList & {readonly tools: number}> = {
  kind: "due-list",
  summary: "Parts already past their interval, or past it before the next run is over, across the fleet.",
  schema,
  fields,
  example: "show: due\n",
  reads: ["register"],

  compute(inputs, {component}, effects) {
    const bench = benchOf(inputs, effects);
    const wanted = (code: string) =>
      (component === null || component.includes(code)) &&
      (!inputs.where.component?.length || inputs.where.component.includes(code));
    const tools = bench.tools.map((tool) => ({...tool, parts: tool.parts.filter((part) => wanted(part.component))}));
    const list = dueList({
      tools,
      ahead: ({tool, fleet}) => plannedRun(inputs, tool, fleet, bench.until),
      models: bench.models(null),
      sheet: intervalSheet(inputs, {components: null, fleet: null}, effects).rows,
      settings: inputs.settings,
      register: inputs.register,
    });
    return {...list, tools: tools.length};
  },

  present(list, {show}, inputs) {
    if (list.tools === 0) return onlySentence(sayNothing("tools with parts in them", inputs), [DUE_DEFERRAL]);
    const due = list.parts.filter((part) => part.overAfter > 0);
    const listed = show === "due" ? due : list.parts;
    const headline =
      due.length === 0
        ? `None of ${sayCount(list.parts.length, "part")} with an interval is past it, and none will be before the next run is over, in ${sayCount(list.tools, "tool")}.`
        : headlineOf(due, list, inputs);
    return {
      headline,
      figures: due.length === 0 ? [] : [toolsFigure(due, inputs)],
      tables: listed.length === 0 ? [] : [partsTable(listed, inputs)],
      cautions: [DUE_DEFERRAL, ...cautionsOf(list, due, inputs)],
    };
  },
};

function headlineOf(due: readonly DuePart[], list: DueList & {readonly tools: number}, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  const decided = due.filter(({source}) => source !== "recommended");
  const over = decided.filter((part) => part.over >= 0);
  const worst = due[0]!;
  const ruled = list.parts.filter(({source}) => source !== "recommended").length;
  const undecided = due.length - decided.length;
  const inForce =
    ruled === 0
      ? "No interval is in force"
      : `${capital(sayCount(over.length, "part"))} in ${sayCount(new Set(over.map(({tool}) => tool)).size, "tool")} ${over.length === 1 ? "is" : "are"} past the interval in force, and ${sayNumber(decided.length - over.length)} more will be before the next run is over, of ${sayNumber(ruled)} parts with one in ${sayCount(list.tools, "tool")}`;
  const chance =
    worst.survival === null ? "" : `, which comes through its next run with ${sayShare(worst.survival.mean, 1)}`;
  return (
    `${inForce}.` +
    (undecided > 0
      ? ` ${capital(sayCount(undecided, "part"))} ${undecided === 1 ? "is" : "are"} due by a recommended interval that nobody has decided on.`
      : "") +
    ` Most urgent: ${worst.tool}, ${nameOf(worst, [])}${chance}; it counts as ${sayNumber(Math.round(worst.counted))} ${unit} against ${sayNumber(worst.interval)} ${unit} by the ${worst.source === "recommended" ? "recommendation" : worst.source}.`
  );
}

function toolsFigure(due: readonly DuePart[], inputs: CellInputs): Figure {
  const lives = livesOfEveryComponent(inputs);
  const lifeOf = partsInTools(lives);
  const tools = new Map<string, DuePart[]>();
  for (const part of due) tools.set(part.tool, [...(tools.get(part.tool) ?? []), part]);
  const ranked = [...tools].sort(([a, x], [b, y]) => y.length - x.length || (a < b ? -1 : 1));
  const shown = ranked.slice(0, MOST_TOOLS);
  const [first] = shown;
  return {
    name: "due-by-tool",
    title: `${first![0]} has the most parts due, ${sayNumber(first![1].length)}`,
    caption:
      `Parts past their interval or past it before the next run is over, by tool.` +
      (ranked.length > shown.length ? ` The first ${MOST_TOOLS} of ${sayCount(ranked.length, "tool")}.` : ""),
    alt: shown
      .slice(0, 8)
      .map(([tool, parts]) => `${tool}: ${parts.map((part) => componentLabel(part.component)).join(", ")}`)
      .join("; "),
    chart: {
      kind: "bars",
      label: "parts due",
      unit: "",
      bars: shown.map(([tool, parts]) => ({
        name: tool,
        behind: livesBehind(
          inputs,
          lives,
          parts.flatMap((part) => lifeOf(tool, part.component, part.position)),
          {mark: tool},
        ),
        value: parts.length,
        lower: null,
        upper: null,
        serviceInduced: false,
        runningShare: null,
      })),
    },
  };
}

function partsTable(parts: readonly DuePart[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const hours = (name: string, label: string, of: (part: DuePart) => number) => ({
    name,
    label,
    unit,
    format: "hours" as const,
    values: parts.map((part) => Math.round(of(part))),
  });
  return {
    name: "due",
    title: "Parts by urgency",
    columns: [
      {name: "tool", label: "tool", values: parts.map(({tool}) => tool)},
      {name: "fleet", label: "fleet", values: parts.map(({fleet}) => fleet)},
      {
        name: "part",
        label: "part",
        values: parts.map((part) =>
          nameOf(
            part,
            parts.filter(({tool}) => tool === part.tool),
          ),
        ),
      },
      {name: "serial", label: "serial", values: parts.map(({serial}) => serial)},
      {
        name: "state",
        label: "state",
        values: parts.map(({over, overAfter}) =>
          over >= 0 ? "past it" : overAfter > 0 ? "in the next run" : "not due",
        ),
      },
      hours("age", "age", ({age}) => age),
      hours("counted", "counts as", ({counted}) => counted),
      hours("interval", "interval", ({interval}) => interval),
      {name: "source", label: "interval by", values: parts.map(({source}) => SOURCE[source])},
      hours("next_run", "next run", ({ahead}) => ahead.hours),
      hours("over", "past it after the next run", ({overAfter}) => overAfter),
      {
        name: "survival",
        label: "comes through it",
        format: "share",
        values: parts.map(({survival}) => survival?.mean ?? null),
      },
      {
        name: "condition",
        label: "mud and flow",
        values: parts.map(({ahead}) => sayCondition(ahead.mud, ahead.regime)),
      },
    ],
    note:
      "The part least likely to come through its next run stands first. The next run is the settings' planned length, or the fleet's median run, in the mud and flow the tool last ran in. “Counts as”: " +
      "hours of that mud and flow for an interval of the register or a recommended one, plain hours for an interval of the settings.",
  };
}

function cautionsOf(list: DueList, due: readonly DuePart[], {register}: CellInputs): string[] {
  const by = (source: IntervalSource) => due.filter((part) => part.source === source).length;
  const sources = (["register", "settings", "recommended"] as const)
    .filter((source) => by(source) > 0)
    .map(
      (source) =>
        `${sayNumber(by(source))} by the ${source === "recommended" ? "recommendation of the interval sheet" : source}`,
    );
  return [
    ...(sources.length > 0
      ? [
          `Of the parts due, ${sayList(sources)}: a decision of the register goes first, then the settings' interval, then the recommended one.`,
        ]
      : []),
    ...(register.trouble === null ? [] : [`The register counts for nothing here: ${register.trouble}.`]),
    ...(list.withoutInterval > 0
      ? [
          `${capital(sayCount(list.withoutInterval, "part"))} ${list.withoutInterval === 1 ? "has" : "have"} no interval: run to failure, or too few failures to recommend one.`,
        ]
      : []),
    ...(list.everyRebuild > 0
      ? [
          `${capital(sayCount(list.everyRebuild, "part"))} ${list.everyRebuild === 1 ? "is" : "are"} renewed at every rebuild whatever the age, and ${list.everyRebuild === 1 ? "is" : "are"} not listed.`,
        ]
      : []),
  ];
}
