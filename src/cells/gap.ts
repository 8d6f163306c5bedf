/** Cell kind `gap`: why one group fails more often than another, in parts that add up. */
import {comparedGroups, failuresOf, rateOf, type ComparedGroup, type ComparedGroups} from "./comparedGroups.ts";
import {askChange, askOne, EARLY_H, LEAST_TO_RANK, thousand, window} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {GAP_PARTS, gapParts, LEAST_TOOLS, type GapPart, type GapResult} from "./gapParts.ts";
import {asked, choiceParam, componentsParam, dayParam, numberParam, params, textParam} from "./params.ts";
import {GROUP_WORDS, LATER, middleDay, RUN_GROUPS} from "./runGroups.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayNothing,
  sayNumber,
} from "./say.ts";

const {schema, fields} = params({
  by: choiceParam("what is compared", RUN_GROUPS, "fleet"),
  first: asked(textParam("the one that is asked about; the one with the highest rate when left out")),
  second: asked(textParam("the one it is compared with; of the others the one with most failures when left out")),
  on: asked(dayParam("with by: period, the day that parts before from after; the middle of the log when left out")),
  component: componentsParam(),
  early_h: numberParam("a failure within this many hours after a rebuild counts as early", {
    min: 1,
    max: 1000,
    fallback: EARLY_H,
  }),
});

interface Params {
  readonly by: keyof typeof RUN_GROUPS;
  readonly first: string | null;
  readonly second: string | null;
  readonly on: string | null;
  readonly component: readonly string[] | null;
  readonly early_h: number;
}

interface Side {
  readonly name: string;
  readonly tools: number;
  readonly failures: number;
  readonly exposure: number;
  readonly rate: number;
  /** failures by kind: caused at service early and later, other early and later */
  readonly kinds: readonly [number, number, number, number];
  /** rows of the failure table, in the same order of kinds */
  readonly failed: readonly (readonly number[])[];
}

interface PairResult {
  readonly names: readonly string[];
  readonly sides: readonly [Side, Side] | null;
  readonly gap: GapResult | null;
  readonly untimed: number;
  readonly from: number;
  readonly to: number;
  /** muds that only one of the two ran in */
  readonly lone: readonly string[];
  /** a group asked for by a name that is not there */
  readonly unknown: readonly string[];
}

export const gap: CellKind<Params, PairResult> = {
  kind: "gap",
  summary:
    "Why one group fails more often than another: damage at service, mix of conditions, early failures, the rest.",
  schema,
  fields,
  example: "by: fleet\n",

  compute(inputs, {by, first, second, on, component, early_h}, effects) {
    const compared = comparedGroups(inputs, {by, component, early: early_h, on}, effects);
    const {groups, untimed, from, to} = compared;
    const names = groups.map(({name}) => name);
    const unknown = [first, second].flatMap((name) => (name !== null && !names.includes(name) ? [name] : []));
    // of two periods the later one is asked about
    const later = by === "period" ? groups.find(({name}) => name.startsWith(LATER)) : undefined;
    const a = later ?? groups.find(({name}) => name === first) ?? groups.find(({name}) => name !== second);
    const b =
      groups.find(({name}) => name === second && name !== a?.name) ??
      groups.filter(({name}) => name !== a?.name).sort((x, y) => failuresOf(y.whole) - failuresOf(x.whole))[0];
    const base = {names, untimed, from, to, unknown};
    if (!a || !b) return {...base, sides: null, gap: null, lone: []};
    return {
      ...base,
      sides: [sideOf(a, compared), sideOf(b, compared)],
      gap: gapParts([a, b], compared, inputs.settings.level),
      lone: loneMuds(a, b, compared),
    };
  },

  present(result, params, inputs) {
    const [one, many] = GROUP_WORDS[params.by];
    const {sides, gap: told, names} = result;
    if (names.length === 0) return onlySentence(sayNothing(`${many} with exposure`, inputs));
    if (!sides || !told)
      return onlySentence(
        `Only ${names[0]!} is in view, so there is no gap between two ${many} to explain. Widen the filters, or compare by something else.`,
      );
    const asks =
      params.by === "period"
        ? [askChange(params.on, middleDay(inputs))]
        : [
            askOne("first", `${one} asked about`, sides[0].name, names, params.first === null ? "highest rate" : ""),
            askOne("second", "compared with", sides[1].name, names, params.second === null ? "most failures" : ""),
          ];
    if (sides[0].failures + sides[1].failures === 0)
      return {
        ...onlySentence(
          `No failure ended a run of ${sides[0].name} or ${sides[1].name} in ${sayNumber(Math.round(sides[0].exposure + sides[1].exposure))} ${clockOf(inputs.settings).unit}; there is no gap to explain.`,
        ),
        asks,
      };
    return {
      headline: headlineOf(sides, told, params, inputs),
      figures: [gapFigure(sides, told, result, params, inputs)],
      tables: [partsTable(sides, told, params, inputs)],
      cautions: cautionsOf(result, sides, told, params, inputs),
      asks,
    };
  },
};

function sideOf({name, tools, whole, failed}: ComparedGroup, {kinds}: ComparedGroups): Side {
  const shop = kinds.shop.map((place) => whole.failures[place]!);
  const early = kinds.parts.reduce(
    (sum, _, p) => sum + whole.failures[kinds.wear(p)[0]]!,
    whole.failures[kinds.other[0]]!,
  );
  const failures = failuresOf(whole);
  return {
    name,
    tools: tools.length,
    failures,
    exposure: whole.exposure,
    rate: rateOf(whole),
    kinds: [shop[0]!, shop[1]!, early, failures - shop[0]! - shop[1]! - early],
    // every kind stands early, then later
    failed: [kinds.shop[0], kinds.shop[1], 0, 1].map((place, at) =>
      failed
        .filter(({kind}) => (at < 2 ? kind === place : !kinds.shop.includes(kind) && kind % 2 === place))
        .map(({row}) => row),
    ),
  };
}

function loneMuds(a: ComparedGroup, b: ComparedGroup, {model}: ComparedGroups): string[] {
  const muds = ({whole}: ComparedGroup) =>
    new Set(model.cells.flatMap(({mud}, k) => (whole.hours[k]! > 0 && mud !== "UNK" ? [mud] : [])));
  const [first, second] = [muds(a), muds(b)];
  return [...new Set([...first, ...second])].filter((mud) => !(first.has(mud) && second.has(mud)));
}

const PART_WORDS: Readonly<Record<GapPart, (early: string) => string>> = {
  "shop early": (early) => `caused at service, first ${early}`,
  "shop later": () => "caused at service, later",
  "flow and temperature": () => "mix of flow and temperature",
  mud: () => "mix of muds",
  early: (early) => `other failures, first ${early}`,
  rest: () => "the rest, at an equal mix",
};

/** Place of the failures of a part among the kinds of a side. */
const KIND_OF: Readonly<Partial<Record<GapPart, number>>> = {"shop early": 0, "shop later": 1, early: 2, rest: 3};

const earlyWords = ({early_h}: Params, {settings}: CellInputs): string =>
  `${sayNumber(early_h)} ${clockOf(settings).unit}`;

const signed = (value: number): string => `${value < 0 ? "" : "+"}${sayNumber(value * 1000)}`;
const share = (part: number): string => `${sayNumber(Math.round(part * 100))} %`;

const sayShareOf = ({
  share: part,
  shareLimits,
}: {
  share: number;
  shareLimits: readonly [number, number] | null;
}): string =>
  shareLimits === null
    ? share(part)
    : `${share(part)} (${sayLimits([Math.round(shareLimits[0] * 100), Math.round(shareLimits[1] * 100)])} %)`;

/** Whether the limits keep the gap on its own side of nothing. */
const isShown = ({limits}: GapResult): boolean => limits !== null && limits[0] * limits[1] > 0;

function headlineOf([a, b]: readonly [Side, Side], told: GapResult, params: Params, inputs: CellInputs): string {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const more = told.gap >= 0 ? "more" : "less";
  const what = params.component === null ? "" : ` (${sayList(params.component.map(partsOf))})`;
  const limits = told.limits ?? [null, null];
  const base = `${capital(a.name)} has ${sayNumber(Math.abs(told.gap) * 1000)} failures per 1,000 ${unit} ${more} than ${b.name}${what}: ${sayNumber(a.rate * 1000)} against ${sayNumber(b.rate * 1000)} (${sayNumber(Math.round(a.failures))} in ${sayNumber(Math.round(a.exposure))} ${unit}, ${sayNumber(Math.round(b.failures))} in ${sayNumber(Math.round(b.exposure))} ${unit}); difference ${sayLevel(settings)} ${sayLimits([thousand(limits[0]), thousand(limits[1])])}.`;
  if (!isShown(told)) return `${base} That may be chance, so the parts below explain nothing firm.`;
  const [flow] = told.parts.filter(({part}) => part === "flow and temperature");
  const left = 1 - told.shop.share - told.mix.share;
  return (
    `${base} Damage done at service makes ${sayShareOf(told.shop)} of the gap: ${share(told.parts[0]!.share)} in the first ${earlyWords(params, inputs)} after a rebuild and ${share(told.parts[1]!.share)} later; ` +
    `the mix of mud, flow and temperature makes ${sayShareOf(told.mix)}, flow and temperature alone ${sayShareOf(flow!)}; the rest is ${share(left)}.`
  );
}

function gapFigure(
  [a, b]: readonly [Side, Side],
  told: GapResult,
  {from, to}: PairResult,
  params: Params,
  inputs: CellInputs,
): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const per = `failures per 1,000 ${unit}`;
  const note = (side: Side) => `${sayNumber(side.rate * 1000)}  (${sayCount(Math.round(side.failures), "failure")})`;
  const behind = (mark: string, rows: readonly number[]) => failuresBehind(inputs, inputs.failures, rows, {mark});
  // the parts of the mix come from the model, not from failures of their own
  const partBehind = (part: GapPart) => {
    const at = KIND_OF[part];
    if (at === undefined) return undefined;
    const mark = `${PART_WORDS[part](earlyWords(params, inputs))}, both`;
    return behind(mark, [...a.failed[at]!, ...b.failed[at]!]);
  };
  return {
    name: "gap",
    title: titleOf([a, b], told),
    caption: `From ${b.name} to ${a.name}: what each part adds, in ${per} (${clock}), classes F1 and F2, ${window({from, to})}. Whiskers: ${sayLevel(settings)} of the part, tools drawn again. Taken out in the order shown; all parts add up to the gap.`,
    alt: `From ${b.name} ${sayNumber(b.rate * 1000)} to ${a.name} ${sayNumber(a.rate * 1000)}: ${told.parts
      .map(({part, value}) => `${PART_WORDS[part](earlyWords(params, inputs))} ${signed(value)}`)
      .join("; ")}`,
    chart: {
      kind: "gap",
      label: per,
      unit: "",
      from: {name: b.name, value: b.rate * 1000, note: note(b), behind: behind(b.name, b.failed.flat())},
      to: {name: a.name, value: a.rate * 1000, note: note(a), behind: behind(a.name, a.failed.flat())},
      parts: told.parts.map(({part, value, limits, share: of}) => ({
        behind: partBehind(part),
        name: PART_WORDS[part](earlyWords(params, inputs)),
        value: value * 1000,
        lower: thousand(limits?.[0] ?? null),
        upper: thousand(limits?.[1] ?? null),
        note: `${signed(value)}  (${share(of)})`,
      })),
    },
  };
}

function titleOf([a, b]: readonly [Side, Side], told: GapResult): string {
  if (!isShown(told)) return `${capital(a.name)} and ${b.name} are not shown to differ`;
  const causes = [
    {name: "Damage done at service", value: told.shop.share},
    {name: "The mix of mud, flow and temperature", value: told.mix.share},
    {name: "What is left at an equal mix", value: 1 - told.shop.share - told.mix.share},
  ].sort((x, y) => y.value - x.value);
  return `${causes[0]!.name} is the largest part of the gap between ${a.name} and ${b.name}`;
}

function partsTable([a, b]: readonly [Side, Side], told: GapResult, params: Params, inputs: CellInputs): CellTable {
  const {settings} = inputs;
  const per = `per 1,000 ${clockOf(settings).unit}`;
  const rows = [
    ...told.parts.map((part) => ({...part, name: PART_WORDS[part.part](earlyWords(params, inputs))})),
    {...told.shop, part: null, name: "caused at service, together"},
    {...told.mix, part: null, name: "mix, together"},
    {part: null, name: "the whole gap", value: told.gap, limits: told.limits, share: 1, shareLimits: null},
  ];
  const count = (side: Side) =>
    rows.map(({part, name}) => {
      if (part !== null) return KIND_OF[part] === undefined ? null : Math.round(side.kinds[KIND_OF[part]]!);
      if (name.startsWith("caused")) return Math.round(side.kinds[0] + side.kinds[1]);
      return name.startsWith("mix") ? null : Math.round(side.failures);
    });
  return {
    name: "gap",
    title: `From ${b.name} to ${a.name}`,
    columns: [
      {name: "part", label: "part", values: rows.map(({name}) => name)},
      {name: "adds", label: "adds", unit: per, format: "number", values: rows.map(({value}) => value * 1000)},
      {
        name: "adds_lower",
        label: "lower limit",
        unit: per,
        format: "number",
        values: rows.map(({limits}) => thousand(limits?.[0] ?? null)),
      },
      {
        name: "adds_upper",
        label: "upper limit",
        unit: per,
        format: "number",
        values: rows.map(({limits}) => thousand(limits?.[1] ?? null)),
      },
      {name: "share", label: "of the gap", format: "share", values: rows.map((row) => row.share)},
      {
        name: "share_lower",
        label: "lower limit",
        format: "share",
        values: rows.map(({shareLimits}) => shareLimits?.[0] ?? null),
      },
      {
        name: "share_upper",
        label: "upper limit",
        format: "share",
        values: rows.map(({shareLimits}) => shareLimits?.[1] ?? null),
      },
      {name: "first_failures", label: `failures, ${a.name}`, format: "count", values: count(a)},
      {name: "second_failures", label: `failures, ${b.name}`, format: "count", values: count(b)},
    ],
    note: `Order: a failed run counts where it first fits, from the top: caused at service early, then later; the others are split component by component into mix and what is left at an equal mix, both groups weighed alike (Kitagawa 1955), flow and temperature before mud. Chance failures and runs without a blamed part have no mix. ${sayLevel(settings)}: ${sayNumber(400)} drawings of tools within each group, each with another draw of the condition effects.`,
  };
}

function cautionsOf(
  {untimed, lone, unknown}: PairResult,
  sides: readonly [Side, Side],
  told: GapResult,
  {by}: Params,
  inputs: CellInputs,
): string[] {
  const [one, many] = GROUP_WORDS[by];
  const cautions: string[] = [];
  if (unknown.length > 0) cautions.push(`No ${one} in view is called ${sayList(unknown)}; another one was taken.`);
  const few = sides.filter(({failures}) => failures < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      `${few.map(({name, failures}) => `${name} has ${sayCount(Math.round(failures), "failure")}`).join("; ")}: too few to say which of the two is worse.`,
    );
  if (told.limits === null)
    cautions.push(
      `With fewer than ${LEAST_TOOLS} tools in one of the ${many} nothing says how tools differ, so the parts have no limits.`,
    );
  if (lone.length > 0)
    cautions.push(
      `Only one of the two ran in ${sayList(lone)}. There the effect of the mud and of anything else that ${one} does differently cannot be told apart: read “mix of muds” and “the rest” together. Damage at service, and flow and temperature, do not rest on it.`,
    );
  if (told.parts.some(({share: of}) => of < -0.05))
    cautions.push(
      "A part below zero works the other way: without it the gap would be wider, so the other shares can pass 100 %.",
    );
  if (untimed > 0)
    cautions.push(
      `For ${sayCount(Math.round(untimed), "failure")} no rebuild before is logged; ${untimed === 1 ? "it counts" : "they count"} as later.`,
    );
  cautions.push(
    `What is caused at service rests on the mode and the finding logged at teardown, as in all of Wearbook. ${GAP_PARTS.length} parts from ${sayCount(Math.round(sides[0].failures + sides[1].failures), "failure")} in ${clockOf(inputs.settings).name}.`,
  );
  return cautions;
}
