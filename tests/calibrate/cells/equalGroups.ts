/** Groups that are all alike, simulated: how often the comparison calls one of them worse. */
import type {ComparedGroup, ComparedGroups, Tally} from "../../../src/cells/comparedGroups.ts";
import {FALSE_SHARE} from "../../../src/cells/compareWords.ts";
import {fairRates} from "../../../src/cells/fairRates.ts";
import {DRAWS, type MixModel, type PartRisk} from "../../../src/cells/mixModel.ts";
import {seededRandom, type Random} from "../../../src/statistics/index.ts";

const COMPONENTS = ["SEAL", "LINR", "TIPP"] as const;
/** conditions and how often wear comes in each, alike for every component; the same truth in every set */
const RISKS = [0.3, 0.8, 1, 1.6, 2.4];
const LEVEL = 0.9;

export interface EqualGroupsResult {
  /** groups over all sets, and sets */
  readonly groups: number;
  readonly sets: number;
  /** share of groups called worse, and of sets in which any group was */
  readonly flagged: number;
  readonly setsFlagged: number;
  /** share of groups whose adjusted-free 90 % limits at the common mix miss the truth */
  readonly missed: number;
}

/**
 * Sets of equal groups: each group of 3 to 40 tools runs in a mix of its own and fails by chance, at service and by wear at
 * rates that depend on the conditions alone. The model the comparison is given is known only with a doubt of 15 % of each
 * condition's risk, and its estimate errs by as much.
 */
export function equalGroups(groups: number, perSet: number, seed: number): EqualGroupsResult {
  const random = seededRandom(seed);
  let flagged = 0;
  let setsFlagged = 0;
  let missed = 0;
  const sets = Math.ceil(groups / perSet);
  for (let set = 0; set < sets; set++) {
    const compared = oneSet(perSet, random);
    const mix = new Float64Array(RISKS.length);
    for (const {whole} of compared.groups) whole.hours.forEach((hours, k) => (mix[k]! += hours));
    const rows = fairRates(compared, mix, LEVEL);
    const worse = rows.filter(
      ({adjusted, failures, expected}) => adjusted <= FALSE_SHARE && failures > expected,
    ).length;
    flagged += worse;
    if (worse > 0) setsFlagged++;
    const truth = trueRate(mix);
    missed += rows.filter(({atMixLimits: [lower, upper]}) => truth < lower || truth > upper).length;
  }
  const all = sets * perSet;
  return {groups: all, sets, flagged: flagged / all, setsFlagged: setsFlagged / sets, missed: missed / all};
}

const BASE = {shop: 0.00025, other: 0.0002, wear: 0.0003};

function trueRate(mix: Float64Array): number {
  const whole = mix.reduce((a, b) => a + b, 0);
  const risk = mix.reduce((sum, hours, k) => sum + hours * RISKS[k]!, 0) / whole;
  return BASE.shop + BASE.other + COMPONENTS.length * BASE.wear * risk;
}

function oneSet(count: number, random: Random): ComparedGroups {
  const parts = COMPONENTS.length;
  const kinds = {
    count: 4 + 2 * parts,
    parts: COMPONENTS,
    shop: [0, 1] as const,
    other: [2, 3] as const,
    wear: (part: number) => [4 + 2 * part, 5 + 2 * part] as const,
  };
  const groups = Array.from({length: count}, (_, g): ComparedGroup => {
    const lean = Array.from(RISKS, () => random.exponential());
    const sum = lean.reduce((a, b) => a + b, 0);
    const tools = Array.from({length: 3 + random.below(38)}, (): Tally => {
      const exposure = 400 + 1600 * random.uniform();
      const hours = Float64Array.from(lean, (share) => (exposure * share) / sum);
      const failures = new Float64Array(kinds.count);
      failures[0] = poisson(exposure * BASE.shop, random);
      failures[3] = poisson(exposure * BASE.other, random);
      const failedIn = new Float64Array(RISKS.length);
      for (let part = 0; part < parts; part++)
        hours.forEach((h, k) => {
          const found = poisson(h * BASE.wear * RISKS[k]!, random);
          failures[kinds.wear(part)[1]]! += found;
          failedIn[k]! += found;
        });
      return {exposure, hours, failedIn, failures};
    });
    const whole: Tally = {
      exposure: 0,
      hours: new Float64Array(RISKS.length),
      failedIn: new Float64Array(RISKS.length),
      failures: new Float64Array(kinds.count),
    };
    for (const tool of tools) {
      whole.exposure += tool.exposure;
      tool.hours.forEach((h, k) => (whole.hours[k]! += h));
      tool.failures.forEach((f, j) => (whole.failures[j]! += f));
    }
    return {name: `group ${g}`, tools, whole, runs: tools.length, failed: []};
  });
  const nothing = {outside: 0, unknownRuns: 0, untimed: 0, unblamed: 0, from: 0, to: 0};
  return {model: doubtful(random), groups, kinds, ...nothing};
}

const DOUBT = 0.15;

/** The true risks as an estimate that errs, with draws that know how much. */
function doubtful(random: Random): MixModel {
  const around = (centre: readonly number[]) => centre.map((risk) => risk * Math.exp(DOUBT * random.normal()));
  const parts = new Map<string, PartRisk>(
    COMPONENTS.map((component) => {
      const estimate = around(RISKS);
      const drawn = Float64Array.from(Array.from({length: DRAWS}, () => around(estimate)).flat());
      const risk = Float64Array.from(estimate);
      return [component, {component, failures: 50, risk, riskSameMud: risk, drawn, drawnSameMud: drawn}];
    }),
  );
  const cells = RISKS.map((_, k) => ({mud: `M${k}`, regime: "medium", heat: "unknown"}));
  return {cells, cellOf: new Int32Array(0), parts, without: []};
}

function poisson(mean: number, random: Random): number {
  let count = 0;
  for (let at = random.exponential(); at < mean; at += random.exponential()) count++;
  return count;
}
