/** Cell kind `fair`: rates of groups as they ran, and as they would be if all had run in the same muds, flows and heat. */
import type {VersusChart} from "../charts/chart.ts";
import {funnelLimits, standardisedRate, type StandardisedRate} from "../statistics/index.ts";
import {comparedGroups, type ComparedGroups} from "./comparedGroups.ts";
import {EARLY_H, FALSE_SHARE, LEAST_TO_RANK, sayRate, thousand, window} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {fairRates, type FairRate} from "./fairRates.ts";
import {HEAT_BANDS, sayCell, type RunCell} from "./mixModel.ts";
import {unknownConditions} from "./inView.ts";
import {asked, choiceParam, componentsParam, dayParam, params} from "./params.ts";
import {GROUP_WORDS, RUN_GROUPS} from "./runGroups.ts";
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
  sayP,
  sayPercent,
  sayShare,
} from "./say.ts";

const STRATA = {
  "flow and temperature": "flow regime and temperature band",
  "mud and flow": "mud and flow regime",
  "mud, flow and temperature": "mud, flow regime and temperature band",
} as const;

const {schema, fields} = params({
  by: choiceParam("what is compared", RUN_GROUPS, "fleet"),
  on: asked(dayParam("with by: period, the day that parts before from after; the middle of the log when left out")),
  component: componentsParam(),
  strata: choiceParam("what the direct standardisation beside the model holds equal", STRATA, "flow and temperature"),
});

interface Params {
  readonly by: keyof typeof RUN_GROUPS;
  readonly component: readonly string[] | null;
  readonly strata: keyof typeof STRATA;
  readonly on: string | null;
}

/** More groups than this are told by their ends alone. */
const MOST_TOLD = 4;

interface FairResult {
  readonly rows: readonly (FairRate & {
    readonly direct: StandardisedRate;
    /** rows of the failure table */
    readonly failed: readonly number[];
    /** share of its hours that nobody else's conditions come near: conditions only this group ran in */
    readonly alone: number;
    readonly worst: readonly {readonly condition: string; readonly share: number}[];
  })[];
  readonly overall: number;
  readonly from: number;
  readonly to: number;
  readonly outside: number;
  readonly unknownRuns: number;
  readonly without: ComparedGroups["model"]["without"];
  /** muds that only one group ran in, with that group */
  readonly onlyOne: readonly {readonly mud: string; readonly group: string}[];
}

export const fair: CellKind<Params, FairResult> = {
  kind: "fair",
  summary: "Failure rates as they are and at one common mix of mud, flow and temperature, with limits and a funnel.",
  schema,
  fields,
  example: "by: fleet\n",

  compute(inputs, {by, on, component, strata}, effects) {
    const compared = comparedGroups(inputs, {by, component, early: EARLY_H, on}, effects);
    const {groups, model} = compared;
    const mix = new Float64Array(model.cells.length);
    for (const {whole} of groups) whole.hours.forEach((hours, k) => (mix[k]! += hours));
    const rates = fairRates(compared, mix, inputs.settings.level);
    const keys = model.cells.map((cell) => stratumOf(cell, strata));
    const failures = rates.reduce((sum, row) => sum + row.failures, 0);
    const exposure = rates.reduce((sum, row) => sum + row.exposure, 0);
    return {
      rows: rates.map((row, g) => {
        const {hours, failedIn} = groups[g]!.whole;
        return {
          ...row,
          failed: groups[g]!.failed.map(({row: failure}) => failure),
          direct: directRate(keys, {hours, failedIn, mix}, inputs.settings.level),
          alone: hours.reduce((sum, h, k) => (h > 0 && h === mix[k] ? sum + h : sum), 0) / row.exposure,
          worst: [...hours.keys()]
            .sort((a, b) => hours[b]! - hours[a]!)
            .slice(0, 3)
            .map((k) => ({condition: sayCell(model.cells[k]!), share: hours[k]! / row.exposure})),
        };
      }),
      overall: exposure > 0 ? failures / exposure : 0,
      from: compared.from,
      to: compared.to,
      outside: compared.outside,
      unknownRuns: compared.unknownRuns,
      without: model.without,
      onlyOne: mudsOfOne(compared),
    };
  },

  present(result, params, inputs) {
    const {rows} = result;
    if (rows.length === 0) return onlySentence(sayNothing(`${GROUP_WORDS[params.by][1]} with exposure`, inputs));
    return {
      headline: headlineOf(result, params, inputs),
      figures: [
        ratesFigure(result, params, inputs),
        ...(rows.length > 1 && result.overall > 0 ? [funnelFigure(result, params, inputs)] : []),
      ],
      tables: [ratesTable(result, params, inputs)],
      cautions: [...unknownConditions(inputs), ...cautionsOf(result, params, inputs)],
    };
  },
};

function stratumOf({mud, regime, heat}: RunCell, strata: Params["strata"]): string {
  switch (strata) {
    case "flow and temperature":
      return `${regime}|${heat}`;
    case "mud and flow":
      return `${mud}|${regime}`;
    case "mud, flow and temperature":
      return `${mud}|${regime}|${heat}`;
  }
}

function directRate(
  keys: readonly string[],
  {hours, failedIn, mix}: {hours: Float64Array; failedIn: Float64Array; mix: Float64Array},
  level: number,
): StandardisedRate {
  const strata = new Map<string, {count: number; exposure: number; standard: number}>();
  keys.forEach((key, k) => {
    const stratum = strata.get(key) ?? {count: 0, exposure: 0, standard: 0};
    stratum.count += failedIn[k]!;
    stratum.exposure += hours[k]!;
    stratum.standard += mix[k]!;
    strata.set(key, stratum);
  });
  return standardisedRate([...strata.values()], level);
}

function mudsOfOne({groups, model}: ComparedGroups): FairResult["onlyOne"] {
  const ran = new Map<string, Set<string>>();
  for (const {name, whole} of groups)
    whole.hours.forEach((hours, k) => {
      const {mud} = model.cells[k]!;
      if (hours > 0 && mud !== "UNK") ran.set(mud, (ran.get(mud) ?? new Set()).add(name));
    });
  return groups.length < 2
    ? []
    : [...ran].flatMap(([mud, names]) => (names.size === 1 ? [{mud, group: [...names][0]!}] : []));
}

const isApart = ({adjusted}: FairRate): boolean => adjusted <= FALSE_SHARE;
const isWorse = (row: FairRate): boolean => isApart(row) && row.failures > row.expected;

const counted = ({component}: Params): string =>
  `failures${component === null ? "" : ` of ${sayList(component.map(partsOf))}`} that ended a run`;

function headlineOf({rows, from, to}: FairResult, params: Params, {settings}: CellInputs): string {
  const [one, many] = GROUP_WORDS[params.by];
  const brief = (row: FairRate) => `${row.name} ${sayRate(row.rate, row.limits, settings)}`;
  const full = (row: FairRate) =>
    `${brief(row)} as it ran and ${sayNumber(row.atMix * 1000)} (${sayLimits([thousand(row.atMixLimits[0]), thousand(row.atMixLimits[1])])}) at the common mix`;
  const failures = rows.reduce((sum, row) => sum + Math.round(row.failures), 0);
  const told =
    rows.length > MOST_TOLD
      ? `${sayNumber(rows.length)} ${many}, as they ran from ${brief(rows[0]!)} down to ${brief(rows.at(-1)!)}`
      : rows.map(full).join("; ");
  const base = `${capital(counted(params))}: ${told}.`;
  return rows.length === 1
    ? `${base} There is no other ${one} to compare it with.`
    : `${verdictOf(rows, many)} ${base} From ${sayCount(failures, "failure")}, ${window({from, to})}.`;
}

function verdictOf(rows: readonly FairRate[], many: string): string {
  const worse = rows.filter(isWorse);
  const better = rows.filter((row) => isApart(row) && !isWorse(row));
  if (worse.length + better.length === 0)
    return `Once mud, flow and temperature are allowed for, none of the ${many} differs from the rest by more than chance and the model's own doubt.`;
  const told = [
    ...(worse.length ? [`worse: ${sayList(worse.map(({name}) => name))}`] : []),
    ...(better.length ? [`better: ${sayList(better.map(({name}) => name))}`] : []),
  ];
  return `Beyond what its mix and chance explain, ${told.join("; ")}.`;
}

function ratesFigure({rows}: FairResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const shown = rows.slice(0, 12);
  const value = (rate: number, limits: readonly [number, number], note = "") => ({
    value: rate * 1000,
    lower: limits[0] * 1000,
    upper: limits[1] * 1000,
    note,
  });
  const chart: VersusChart = {
    kind: "versus",
    label: `failures per 1,000 ${unit}`,
    unit: "",
    log: false,
    reference: null,
    series: ["as it ran", "at the common mix (model)", `standardised by ${params.strata}`],
    rows: shown.map((row) => ({
      name: row.name,
      marked: isWorse(row),
      values: [
        {
          ...value(row.rate, row.limits, sayCount(Math.round(row.failures), "failure")),
          behind: failuresBehind(inputs, inputs.failures, row.failed, {mark: row.name}),
        },
        value(row.atMix, row.atMixLimits),
        row.direct.rate === null || row.direct.limits === null
          ? null
          : value(
              row.direct.rate,
              row.direct.limits,
              row.direct.covered < 0.995 ? `for ${sayShare(row.direct.covered, 1)} of the mix` : "",
            ),
      ],
    })),
    markedMeans: "worse beyond its mix and chance",
  };
  return {
    name: "fair-rates",
    title: titleOf(rows, params),
    caption:
      `${capital(counted(params))}, per 1,000 ${clock}; whiskers ${sayLevel(settings)}. Common mix: the hours of all ${GROUP_WORDS[params.by][1]} together. ` +
      `Temperature bands: ${HEAT_BANDS.join(", ")}.`,
    alt: shown
      .map(
        (row) =>
          `${row.name}: ${sayNumber(row.rate * 1000)} as it ran, ${sayNumber(row.atMix * 1000)} at the common mix`,
      )
      .join("; "),
    chart,
  };
}

function titleOf(rows: readonly FairRate[], {by}: Params): string {
  const [worst, next] = rows;
  if (!worst || !next) return "With one group there is nothing to compare";
  if (rows.some(({failures}) => failures < LEAST_TO_RANK)) return `Too few failures to rank all ${GROUP_WORDS[by][1]}`;
  const closed = 1 - (worst.atMix - next.atMix) / (worst.rate - next.rate);
  const fairest = [...rows].sort((a, b) => b.atMix - a.atMix)[0]!;
  if (fairest !== worst) return `At the common mix ${worst.name} is no longer the worst`;
  return closed > 0.15
    ? `At the common mix ${worst.name} stands nearer to ${next.name}, and still above it`
    : `The mix does not explain why ${worst.name} fails most often`;
}

function funnelFigure({rows, overall}: FairResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const many = GROUP_WORDS[params.by][1];
  // exposure in which the group's expected failures would come at the rate of all: harder hours count for more
  const points = rows.map((row) => ({
    name: row.name,
    exposure: row.expected / overall,
    rate: row.expected > 0 ? (overall * 1000 * row.failures) / row.expected : 0,
    outside: isApart(row),
    behind: failuresBehind(inputs, inputs.failures, row.failed, {mark: row.name}),
  }));
  const longest = Math.max(...points.map(({exposure}) => exposure));
  const shortest = Math.max(Math.min(...points.map(({exposure}) => exposure)) / 2, longest / 500);
  const apart = rows.filter(isApart);
  return {
    name: "fair-funnel",
    title:
      apart.length === 0
        ? `Allowing for the mix, chance and the model's doubt would spread the ${many} like this`
        : `${sayList(apart.slice(0, 4).map(({name}) => name))} ${apart.length === 1 ? "stands" : "stand"} apart even at its own mix`,
    caption: `Failures against those expected in each one's own mix, as a rate per 1,000 ${clock}, over hours made comparable by the model. Grey: where ${sayPercent(settings.level)} of equal ${many} would lie by chance. Filled: apart after allowing for the model's doubt and ${sayNumber(rows.length)} comparisons; a ring beyond the grey is more than chance, yet within that doubt.`,
    alt: points.map((p) => `${p.name}: ${sayNumber(p.rate)}${p.outside ? ", apart" : ""}`).join("; "),
    chart:
      overall > 0
        ? {
            kind: "funnel",
            unit,
            overall: overall * 1000,
            level: settings.level,
            curve: Array.from({length: 50}, (_, i) => {
              const exposure = shortest * (longest / shortest) ** (i / 49);
              const [lower, upper] = funnelLimits(overall, exposure, settings.level);
              return {exposure, lower: lower * 1000, upper: upper * 1000};
            }),
            points,
          }
        : {kind: "none", sentence: "no failures to spread"},
  };
}

function ratesTable({rows, from, to}: FairResult, params: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  const rate = (column: string, label: string, of: (row: FairResult["rows"][number]) => number | null) => ({
    name: column,
    label,
    unit: per,
    format: "rate" as const,
    values: rows.map((row) => thousand(of(row))),
  });
  return {
    name: "fair",
    title: "As they ran, and at the common mix",
    columns: [
      {name: "group", label: GROUP_WORDS[params.by][0], values: rows.map((row) => row.name)},
      {name: "tools", label: "tools", format: "count", values: rows.map((row) => row.tools)},
      {name: "failures", label: "failures", format: "count", values: rows.map((row) => Math.round(row.failures))},
      {name: "exposure", label: name, unit, format: "hours", values: rows.map((row) => Math.round(row.exposure))},
      rate("rate", "as it ran", (row) => row.rate),
      rate("rate_lower", "lower limit", (row) => row.limits[0]),
      rate("rate_upper", "upper limit", (row) => row.limits[1]),
      rate("at_mix", "at the common mix", (row) => row.atMix),
      rate("at_mix_lower", "lower limit", (row) => row.atMixLimits[0]),
      rate("at_mix_upper", "upper limit", (row) => row.atMixLimits[1]),
      rate("direct", "standardised directly", (row) => row.direct.rate),
      rate("direct_lower", "lower limit", (row) => row.direct.limits?.[0] ?? null),
      rate("direct_upper", "upper limit", (row) => row.direct.limits?.[1] ?? null),
      {name: "covered", label: "of the mix covered", format: "share", values: rows.map((row) => row.direct.covered)},
      {name: "expected", label: "expected in its own mix", format: "number", values: rows.map((row) => row.expected)},
      {name: "adjusted", label: "p, adjusted", values: rows.map((row) => sayP(row.adjusted))},
      {
        name: "apart",
        label: "apart",
        values: rows.map((row) => (isApart(row) ? (isWorse(row) ? "worse" : "better") : "no")),
      },
      {
        name: "mix",
        label: "ran mostly in",
        values: rows.map((row) =>
          row.worst.map(({condition, share}) => `${condition} (${sayShare(share, 1)})`).join("; "),
        ),
      },
    ],
    note:
      `Classes F1 and F2; clock: ${name}; window: ${window({from, to})}; ${sayLevel(settings)}. As it ran: exact Poisson. At the common mix: wear failures of each component in proportion to the risk of the mix under the condition effects and the renewal habit of all, chance failures and those caused at service as they are; gamma limits widened by the model's draws. ` +
      `Standardised directly: observed rates by ${STRATA[params.strata]} at the mix of all, gamma limits (Fay and Feuer 1997), for the covered share alone. p: failures against those expected in the own mix, over the model's draws, adjusted after Benjamini and Hochberg; apart at ${sayNumber(FALSE_SHARE)} or below.`,
  };
}

function cautionsOf(
  {rows, outside, unknownRuns, without, onlyOne}: FairResult,
  {by}: Params,
  {settings}: CellInputs,
): string[] {
  const [one, many] = GROUP_WORDS[by];
  const cautions: string[] = [];
  const few = rows.filter(({failures}) => failures < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      few.length > 4
        ? `${sayCount(few.length, one, many)} have fewer than ${LEAST_TO_RANK} failures: too few to rank among the others.`
        : `${few.map((row) => `${row.name} has ${sayCount(Math.round(row.failures), "failure")}`).join("; ")}: too few to rank among the others.`,
    );
  if (onlyOne.length > 0) {
    const lone = [...new Set(onlyOne.map(({group}) => group))].map(
      (group) => `${sayList(onlyOne.filter((o) => o.group === group).map(({mud}) => mud))} only by ${group}`,
    );
    cautions.push(
      `Some muds were run by one of the ${many} alone (${lone.join("; ")}): what such a mud does and what that ${one} does differently cannot be told apart, and the limits at the common mix are wide for it.`,
    );
  }
  if (by === "technician")
    cautions.push(
      "A technician stands for a way of working and for the tools that came to hand, never for blame: look at what was done and how, together.",
    );
  if (without.length > 0)
    cautions.push(
      `No condition effects could be fitted for ${sayList(without.map(({component}) => partsOf(component)))}; their failures stay as they are.`,
    );
  if (outside > 0)
    cautions.push(
      `${sayCount(Math.round(outside), "failure")} of no named ${one} or of one without exposure ${outside === 1 ? "is" : "are"} left out.`,
    );
  if (unknownRuns > 0)
    cautions.push(`${sayCount(unknownRuns, "run")} in view name no ${clockOf(settings).name} and are left out.`);
  return cautions;
}
