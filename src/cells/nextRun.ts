/** Cell kind `next-run`: may this assembly go again, what limits it, and what to renew first. */
import {mudLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import {livesBehind, partsInTools} from "./behind.ts";
import type {AskedField, CellInputs, CellKind, Figure} from "./contract.ts";
import {livesOfEveryComponent} from "./inView.ts";
import {checkNextRun, sayRun, type Check, type CheckMade, type NextRunParams} from "./nextRunCheck.ts";
import {nameOf, partsTable} from "./nextRunTable.ts";
import {
  agesParam,
  asked,
  choiceParam,
  mudParam,
  params,
  regimeParam,
  shareParam,
  numberParam,
  textParam,
} from "./params.ts";
import {clockOf, onlySentence, sayCount, sayLevel, sayLimits, sayList, sayMoney, sayNumber, sayPercent} from "./say.ts";

const OF = {"each part": "every part must meet the target", whole: "the whole tool must meet the target"} as const;
const JUDGE = {
  expected: "the expected survival counts",
  "lower limit": "the lower limit counts, for the careful",
} as const;

const {schema, fields} = params({
  tool: asked(textParam("which tool; the one least likely to come through when left out")),
  parts: asked(
    agesParam("ages given by hand: for parts the log does not follow, or for an assembly that is in no log"),
  ),
  hours: asked(
    numberParam(
      "length of the next run, in the clock of the settings; the settings' or the fleet's usual when left out",
      {
        min: 0,
        max: 1e9,
        fallback: null,
      },
    ),
  ),
  mud: asked(mudParam("mud of the next run; that of the tool's last run when left out")),
  flow: asked(regimeParam("flow of the next run; that of the tool's last run when left out")),
  target: asked(shareParam("chance asked for, e.g. 0.95 or 95; the settings' when left out")),
  of: asked(choiceParam("what must meet the target", OF, "each part")),
  judge: choiceParam("what is held against the target", JUDGE, "expected"),
});

export const BENCH_SHEET_DEFERRAL =
  "A chance from past lives, no permission to go: the maker's procedures, the law and rules where you stand, and people competent for the task decide, and win over any number here.";

export const nextRunCell: CellKind<NextRunParams, Check> = {
  kind: "next-run",
  summary: "May this tool go again? Survival of each part and the whole through the next run, and what to renew first.",
  schema,
  fields,
  example: "hours: 60\nmud: KCL\nflow: medium\n",

  compute: (inputs, params, effects) => checkNextRun(inputs, params, effects),

  present(check, params, inputs) {
    if (!check.made)
      return {...onlySentence(check.sentence, [BENCH_SHEET_DEFERRAL]), asks: asksFor(check, params, inputs)};
    return {
      headline: headlineOf(check, params, inputs),
      figures: [survivalFigure(check, inputs)],
      tables: [partsTable(check, inputs)],
      cautions: [BENCH_SHEET_DEFERRAL, ...cautionsOf(check, params, inputs)],
      asks: asksFor(check, params, inputs),
      signOff: ["bench lead, initials", "date", "checked by, initials", "went as it stood or was renewed"],
    };
  },
};

type Limited = {readonly mean: number; readonly limits: readonly [number | null, number | null]};

/** Whole percent below 90, tenths above: nobody can tell 56.4 from 56.5. */
const sayChance = (value: number): string => `${points(value)} %`;
const points = (value: number): string => sayNumber(Number((100 * value).toFixed(value < 0.9 ? 0 : 1)));
const sayWithin = ({limits: [lower, upper]}: Limited): string =>
  lower !== null && upper !== null ? `${points(lower)} to ${points(upper)} %` : sayLimits([lower, upper]);
const chance = (value: Limited): string => `${sayChance(value.mean)} (${sayWithin(value)})`;

function headlineOf(check: CheckMade, params: NextRunParams, inputs: CellInputs): string {
  const {answer, ahead, target, tool} = check;
  const {unit} = clockOf(inputs.settings);
  const who = tool ?? "this assembly";
  const limiting = answer.parts[answer.limiting]!;
  const asks = `${params.judge === "expected" ? "" : "the lower limit of "}${params.of === "whole" ? "the whole" : "every part"}`;
  const through = `it comes through ${sayRun(ahead, unit)} with ${sayChance(answer.whole.now.mean)} (${sayLevel(inputs.settings)} ${sayWithin(answer.whole.now)}; ${sayPercent(target)} asked of ${asks})`;
  const list = answer.list.map((i) => nameOf(answer.parts[i]!, answer.parts));
  const cost = answer.listCost === null ? "" : `, ${sayMoney(answer.listCost, inputs.settings)}`;
  const limits = `The ${nameOf(limiting, answer.parts)} limits it: ${chance(limiting.now)}, from ${sayCount(limiting.failures, "failure")} among ${sayCount(limiting.lives, "life", "lives")}.`;
  const after = `the whole then comes through with ${chance(answer.whole.afterList)}`;
  const worse =
    answer.list.length > 0 && answer.whole.afterList.mean <= answer.whole.now.mean
      ? " Opening the tool would cost more by the shop's own faults than these renewals gain: letting it go as it stands is the safer of the two."
      : "";
  if (answer.meets === "as it stands")
    return `By these lives ${who} meets the target as it stands: ${through}. ${limits}`;
  if (answer.meets === "with the list")
    return `${capitalised(who)} misses the target as it stands: ${through}. ${limits} Renew ${sayList(list)} (${sayCount(list.length, "part")}${cost}) and the target is met; ${after}.${worse}`;
  const short = answer.cannot.map((i) => nameOf(answer.parts[i]!, answer.parts));
  const why =
    params.of === "whole"
      ? `No renewals reach ${sayPercent(target)}: all parts new give ${chance(answer.whole.allNew)}.`
      : `No renewal brings ${sayList(short)} to ${sayPercent(target)}: even new ${short.length === 1 ? "it does" : "they do"} not last so long a run.`;
  const best =
    list.length === 0
      ? "No renewal would make it better by half a percentage point."
      : `The most that renewals can do is ${sayList(list)} (${sayCount(list.length, "part")}${cost}); ${after}.${worse}`;
  return `${capitalised(who)} misses the target and cannot be brought to it: ${through}. ${limits} ${why} ${best}`;
}

const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function survivalFigure({answer, ahead, target, tool}: CheckMade, inputs: CellInputs): Figure {
  const lives = livesOfEveryComponent(inputs);
  const lifeOf = partsInTools(lives);
  const {unit} = clockOf(inputs.settings);
  const {parts, rebuild, unexplained, whole} = answer;
  const order = parts.map((_, i) => i).sort((a, b) => parts[a]!.now.mean - parts[b]!.now.mean);
  const fraction = ({mean, limits}: Limited) => ({
    value: mean,
    lower: limits[0],
    upper: limits[1],
  });
  const below = parts.filter(({now}) => now.mean < target).length;
  const opened = answer.list.length > 0;
  return {
    name: "survival",
    title:
      below === 0
        ? `Every part is above ${sayPercent(target)}; the whole stands at ${sayChance(whole.now.mean)}`
        : `${capitalised(sayCount(below, "part"))} below ${sayPercent(target)}; the whole at ${sayChance(whole.now.mean)}${opened ? `, ${sayChance(whole.afterList.mean)} after the renewals` : ""}`,
    caption:
      `Chance to come through ${sayRun(ahead, unit)}, neither failing nor found past its limit; bars: ${sayLevel(inputs.settings)}. ` +
      "Dot: as it stands; diamond: a new part in its place, and for the whole the renewals named above. All modes count: wear on the clock of its muds and flows, chance, and what the shop builds in at a rebuild.",
    alt: order
      .map(
        (i) => `${nameOf(parts[i]!, parts)} ${sayChance(parts[i]!.now.mean)}, new ${sayChance(parts[i]!.fresh.mean)}`,
      )
      .concat(`the whole ${sayChance(whole.now.mean)}`)
      .join("; "),
    chart: {
      kind: "pairs",
      label: "comes through the next run",
      names: ["as it stands", opened ? "renewed" : "if it were renewed"],
      reference: target,
      rows: [
        ...order.map((i) => ({
          name: nameOf(parts[i]!, parts),
          // a part given by hand is in no log
          behind:
            tool === null
              ? undefined
              : livesBehind(inputs, lives, lifeOf(tool, parts[i]!.component, parts[i]!.position), {
                  mark: `${nameOf(parts[i]!, parts)} of ${tool}`,
                }),
          first: fraction(parts[i]!.now),
          second: fraction(parts[i]!.fresh),
          note: answer.list.includes(i) ? "renew" : "",
        })),
        {
          name: "faults of the rebuild",
          first: fraction(rebuild.now),
          second: fraction(rebuild.opened),
          note: "",
        },
        {name: "not explained", first: fraction(unexplained), second: null, note: ""},
        {
          name: "the whole",
          first: fraction(whole.now),
          second: opened ? fraction(whole.afterList) : null,
          note: "",
        },
      ],
    },
  };
}

function cautionsOf(check: CheckMade, params: NextRunParams, inputs: CellInputs): string[] {
  const {answer, ahead, planned, tool, unknown, stated} = check;
  const {unit} = clockOf(inputs.settings);
  const cautions: string[] = [];
  const beyond = answer.parts.filter((part) => part.beyond > 0);
  const unseen = answer.parts.filter((part) => part.unseen);
  if (check.pickedFor)
    cautions.push(`No tool was picked: ${tool} is the one least likely to come through the next run of its fleet.`);
  if (params.hours === null)
    cautions.push(
      planned.hoursFrom === "settings"
        ? `No length was given: ${sayNumber(planned.hours)} ${unit} is the planned next run of the settings.`
        : planned.hoursFrom === "fleet"
          ? `No length was given: ${sayNumber(planned.hours)} ${unit} is the median run of ${check.fleet ?? "tools without a fleet"}.`
          : `No length was given and the log shows no run of this fleet: ${sayNumber(planned.hours)} ${unit} is taken.`,
    );
  if (params.mud === null || params.flow === null)
    cautions.push(`What was not chosen of mud and flow is that of the tool's last run with both known.`);
  if (planned.longest > 0 && ahead.hours > planned.longest)
    cautions.push(
      `The longest run of the log is ${sayNumber(planned.longest)} ${unit}; ${sayNumber(ahead.hours)} ${unit} is longer than anything seen.`,
    );
  if (planned.lastFailed && tool !== null)
    cautions.push(
      `The last run of ${tool} in the log ended in a failure and no rebuild after it is logged: what failed is not known here, and is not in these numbers.`,
    );
  if (unknown.length > 0)
    cautions.push(
      `The age of ${sayList(unknown.map((code) => nameOf({component: code, position: null}, [])))} is not known: left out, so the whole is at most what stands here. Give it by hand under “ages by hand”.`,
    );
  if (answer.leftOut.length > 0)
    cautions.push(
      `The log holds no life of ${sayList(answer.leftOut.map((code) => nameOf({component: code, position: null}, [])))}: left out.`,
    );
  if (stated.length > 0)
    cautions.push(
      params.mud !== null && params.flow !== null
        ? "Hours given by hand are taken to have been spent in the mud and flow of the next run."
        : "Hours given by hand are taken to have been spent as the component's hours were on average.",
    );
  if (beyond.length > 0)
    cautions.push(
      `Extrapolates: by the end of the run ${sayList(beyond.map((part) => `the ${nameOf(part, answer.parts)} is ${sayNumber(Math.ceil(part.beyond))} ${unit}`))} past the oldest seen, counted in hours of ${ahead.mud}, ${regimeLabel(ahead.regime)}.`,
    );
  if (unseen.length > 0)
    cautions.push(
      `${mudLabel(ahead.mud)} at ${regimeLabel(ahead.regime)} was never run${unseen.length === answer.parts.length ? "" : ` with ${sayList(unseen.map((part) => nameOf(part, answer.parts)))}`}: ageing there is put together from the effects of mud and flow elsewhere, and from what is expected of a mud or flow never seen; the limits say how little that is.`,
    );
  if (answer.withIt.length > 0)
    cautions.push(
      `Once the tool is open, ${sayList(answer.withIt.map((i) => nameOf(answer.parts[i]!, answer.parts)))} ${answer.withIt.length === 1 ? "is" : "are"} renewed whatever the age, by common practice.`,
    );
  cautions.push(
    check.rebuildFailures > 0
      ? `Opening adds the shop's own faults: ${sayCount(check.rebuildFailures, "run-ending failure")} of ${check.fleet ?? "all fleets"} came from a rebuild, most in the first hours after it.`
      : "The log shows no run-ending failure that a rebuild caused; what opening a tool may add rests on that alone.",
  );
  return cautions;
}

function asksFor(check: Check, params: NextRunParams, {conditions, settings}: CellInputs): AskedField[] {
  const {unit} = clockOf(settings);
  const ahead = check.made ? check.ahead : null;
  const muds = [...new Set([...conditions.mud.words])].filter((code) => code !== "UNK");
  const regimes = [...new Set([...conditions.regime.words])].filter((code) => code !== "unknown");
  const several = new Set(check.tools.map(({fleet}) => fleet)).size > 1;
  return [
    {
      name: "tool",
      label: "tool",
      kind: "one",
      choices: check.tools.map(({tool, fleet}) => ({
        value: tool,
        label: several && fleet !== null ? `${tool}, ${fleet}` : tool,
      })),
      value: (check.made ? check.tool : params.tool) ?? "",
      ...(check.made && check.pickedFor ? {note: "the one least likely to come through"} : {}),
    },
    {
      name: "hours",
      label: "next run",
      kind: "number",
      unit,
      value: ahead === null ? String(params.hours ?? "") : String(Number(ahead.hours.toFixed(1))),
      min: 0,
    },
    {
      name: "mud",
      label: "mud",
      kind: "one",
      choices: muds.map((code) => ({value: code, label: mudLabel(code)})),
      value: ahead?.mud ?? params.mud ?? "",
    },
    {
      name: "flow",
      label: "flow",
      kind: "one",
      choices: regimes.map((code) => ({value: code, label: regimeLabel(code)})),
      value: ahead?.regime ?? params.flow ?? "",
    },
    {
      name: "target",
      label: "asked for",
      kind: "number",
      unit: "%",
      value: String(Number((100 * (params.target ?? settings.reliability_target)).toFixed(4))),
      min: 50,
      max: 99.9,
    },
    {
      name: "of",
      label: "of",
      kind: "one",
      choices: [
        {value: "each part", label: "each part"},
        {value: "whole", label: "the whole tool"},
      ],
      value: params.of,
    },
    {
      name: "parts",
      label: "ages by hand",
      kind: "text",
      value: Object.entries(params.parts ?? {})
        .map(([code, age]) => `${nameOf({component: code, position: null}, [])} ${age}`)
        .join(", "),
      note: "e.g. seal 120, liner 0",
    },
  ];
}
