/** Gathers what the next-run check asks for: the tool or stated assembly, the run, the models; and says why it cannot. */
import {nearest} from "../../shared/vocabulary/index.ts";
import {
  componentModels,
  fittedTools,
  nextRun,
  partModels,
  partsInService,
  plannedRun,
  rebuildRisk,
  type FittedPart,
  type FittedTool,
  type NextRun,
  type PartModel,
  type PlannedRun,
  type RebuildRisk,
  type RunAhead,
} from "../decisions/index.ts";
import {serviceStretches, windowOf, type ServiceStretches} from "../lives/index.ts";
import {modelledLives} from "./intervals.ts";
import type {CellEffects, CellInputs} from "./contract.ts";
import {clockOf, sayCount, sayNumber, sayWhere} from "./say.ts";
import {quoted} from "./words.ts";

export interface NextRunParams {
  readonly tool: string | null;
  readonly parts: Readonly<Record<string, number>> | null;
  readonly hours: number | null;
  readonly mud: string | null;
  readonly flow: string | null;
  readonly target: number | null;
  readonly of: "each part" | "whole";
  readonly judge: "expected" | "lower limit";
}

/** A check made, with what it was made of. */
export interface CheckMade {
  readonly made: true;
  readonly answer: NextRun;
  readonly tool: string | null;
  readonly fleet: string | null;
  readonly since: number;
  readonly ahead: RunAhead;
  readonly planned: PlannedRun;
  readonly target: number;
  /** nobody picked the tool: it is the one least likely to come through */
  readonly pickedFor: boolean;
  /** components whose age was given by hand */
  readonly stated: readonly string[];
  readonly unknown: readonly string[];
  readonly tools: readonly {readonly tool: string; readonly fleet: string | null}[];
  readonly rebuildFailures: number;
}

export type Check =
  | CheckMade
  | {
      readonly made: false;
      readonly sentence: string;
      readonly tools: readonly {readonly tool: string; readonly fleet: string | null}[];
    };

/** Lives, tools and models as the dates and fleets of the page leave them; what is filtered by part or condition is not. */
export interface Bench {
  readonly tools: readonly FittedTool[];
  readonly stretches: ServiceStretches;
  readonly until: number;
  models(also: {readonly mud: string; readonly regime: string} | null): ReadonlyMap<string, PartModel>;
  risk(fleet: string | null): RebuildRisk;
  since(tool: string | null): number;
}

export function benchOf(inputs: CellInputs, effects: CellEffects): Bench {
  const {component: _component, mud: _mud, regime: _regime, ...rest} = inputs.where;
  const memo = <T>(name: string, make: () => T): T =>
    effects.memo ? effects.memo(JSON.stringify([name, rest]), make) : make();
  return memo("bench", () => {
    const {lives, models: known} = modelledLives(inputs, effects);
    const until = windowOf(rest).to;
    const stretches = serviceStretches(inputs, until);
    const risks = new Map<string | null, RebuildRisk>();
    const models = new Map<string, ReadonlyMap<string, PartModel>>();
    const seen = new Set<string>();
    for (let s = 0; s < lives.exposure.hours.length; s++)
      seen.add(`${lives.exposure.muds[lives.exposure.mud[s]!]} ${lives.exposure.regimes[lives.exposure.regime[s]!]}`);
    const {level} = inputs.settings;
    return {
      tools: fittedTools(lives, partsInService(lives, {models: known, level})),
      stretches,
      until,
      models: (also) => {
        const key = also === null || seen.has(`${also.mud} ${also.regime}`) ? "" : `${also.mud} ${also.regime}`;
        let made = models.get(key);
        if (made === undefined) {
          made = partModels(key === "" ? known : componentModels(lives, level, also), effects.progress);
          models.set(key, made);
        }
        return made;
      },
      risk: (fleet) => {
        let made = risks.get(fleet);
        if (made === undefined) risks.set(fleet, (made = rebuildRisk(stretches, inputs.failures, fleet, until)));
        return made;
      },
      since: (tool) => {
        for (let s = 0; s < stretches.rows; s++)
          if (stretches.ended[s] === Infinity && stretches.tool.words[stretches.tool.codes[s]!] === tool)
            return stretches.hours[s]!;
        return 0;
      },
    };
  });
}

/** A run so many times longer than any seen is not answered. */
const FAR = 5;

export function checkNextRun(inputs: CellInputs, params: NextRunParams, effects: CellEffects): Check {
  const bench = benchOf(inputs, effects);
  const tools = bench.tools.map(({tool, fleet}) => ({tool, fleet}));
  const sorry = (sentence: string): Check => ({made: false, sentence, tools});
  const target = params.target ?? inputs.settings.reliability_target;
  const {unit} = clockOf(inputs.settings);
  if (target >= 1)
    return sorry(
      "A target of 100 % cannot be met: no part is certain to come through any run. Ask for less, e.g. 95 %.",
    );
  if (params.hours === 0) return sorry(`A run of 0 ${unit} asks nothing of the tool; give the length of the next run.`);

  const ask = (tool: FittedTool): {answer: NextRun; ahead: RunAhead; planned: PlannedRun; since: number} => {
    const planned = plannedRun(inputs, tool.tool, tool.fleet, bench.until);
    const ahead = {
      hours: params.hours ?? planned.hours,
      mud: params.mud ?? planned.mud,
      regime: params.flow ?? planned.regime,
    };
    const since = params.parts !== null && params.tool === null ? 0 : bench.since(tool.tool);
    const {fleet, parts} = tool;
    const question = {parts, fleet, since, ahead, target, of: params.of, judge: params.judge};
    return {answer: nextRun(question, bench.models(ahead), bench.risk(fleet), inputs.settings), ahead, planned, since};
  };

  let tool: FittedTool | undefined;
  let pickedFor = false;
  if (params.tool !== null) {
    tool = bench.tools.find(({tool: name}) => name.toLowerCase() === params.tool!.toLowerCase());
    if (tool === undefined) return sorry(noSuchTool(params.tool, inputs, tools));
    if (params.parts !== null) tool = withAges(tool, params.parts, stateOf(params));
  } else if (params.parts !== null) {
    if (params.mud === null || params.flow === null)
      return sorry("An assembly given by its ages needs the mud and the flow of the next run too; choose both.");
    tool = withAges({tool: "", fleet: null, parts: [], unknown: []}, params.parts, stateOf(params));
  } else {
    let worst = 2;
    for (const candidate of bench.tools) {
      const {mean} = ask(candidate).answer.whole.now;
      if (mean < worst) [worst, tool] = [mean, candidate];
    }
    pickedFor = true;
    if (tool === undefined) {
      const filters = sayWhere(inputs.where);
      return sorry(
        `No tool has a part in it whose age the logs follow${filters === "" ? "" : ` (filters: ${filters})`}; state an assembly by its ages instead, e.g. seal 120, poppet tip 300.`,
      );
    }
  }
  const {answer, ahead, planned, since} = ask(tool);
  if (answer.parts.length === 0)
    return sorry(
      `The logs hold no life of ${answer.leftOut.length > 0 ? "any part of this assembly" : "any part"}, so nothing can be foretold of it.`,
    );
  if (ahead.mud === "UNK" || ahead.regime === "unknown")
    return sorry(
      `The log does not say in which mud and at which flow ${tool.tool} last ran; choose the mud and the flow of its next run.`,
    );
  if (planned.longest > 0 && ahead.hours > FAR * planned.longest)
    return sorry(
      `A run of ${sayNumber(ahead.hours)} ${unit} is more than ${FAR} times the longest of the log (${sayNumber(planned.longest)} ${unit}): nothing seen there says anything about it. Give the length of one run.`,
    );
  const rebuild = bench.risk(tool.fleet);
  return {
    made: true,
    answer,
    tool: tool.tool === "" ? null : tool.tool,
    fleet: tool.fleet,
    since,
    ahead,
    planned,
    target,
    pickedFor,
    stated: Object.keys(params.parts ?? {}),
    unknown: tool.unknown.filter((component) => !tool.parts.some((part) => part.component === component)),
    tools,
    rebuildFailures: rebuild.failures.reduce((sum, count) => sum + count, 0),
  };
}

function noSuchTool(name: string, inputs: CellInputs, tools: readonly {readonly tool: string}[]): string {
  const logged = [...inputs.runs.columns.tool.words, ...inputs.rebuilds.columns.tool.words].find(
    (word) => word.toLowerCase() === name.toLowerCase(),
  );
  if (logged !== undefined)
    return `The logs name ${logged}, but no part stands in it whose age they follow${sayWhere(inputs.where) === "" ? "" : ` under the filters (${sayWhere(inputs.where)})`}: it was lost, or its parts came in before the log began. State its parts by age instead.`;
  const near = nearest(
    name,
    tools.map(({tool}) => tool),
  );
  return `No tool is called ${quoted(name)}${near ? `; did you mean ${near}?` : "."} The logs hold ${sayCount(tools.length, "tool")} with parts in ${tools.length === 1 ? "it" : "them"}${tools.length > 0 ? `, from ${tools[0]!.tool} to ${tools.at(-1)!.tool}` : ""}.`;
}

/** The mud and flow in which hours given by hand are taken to have been spent: those of the next run, where they are given. */
function stateOf({mud, flow}: NextRunParams): {mud: string; regime: string} | null {
  return mud !== null && flow !== null ? {mud, regime: flow} : null;
}

/** Ages given by hand replace those of the log, or make an assembly of their own. */
function withAges(
  tool: FittedTool,
  ages: Readonly<Record<string, number>>,
  where: {readonly mud: string; readonly regime: string} | null,
): FittedTool {
  const given = Object.entries(ages).map(([component, age]): FittedPart => ({
    component,
    position: null,
    serial: null,
    age,
    spent: where === null || age === 0 ? [] : [{...where, hours: age}],
    unplaced: where === null ? age : 0,
  }));
  return {...tool, parts: [...tool.parts.filter(({component}) => ages[component] === undefined), ...given]};
}

/** `60 h in OBM at high flow` */
export function sayRun({hours, mud, regime}: RunAhead, unit: string): string {
  return `${sayNumber(hours)} ${unit} in ${mud} at ${regime}${["low", "medium", "high", "laminar", "transitional", "turbulent"].includes(regime) ? " flow" : ""}`;
}
