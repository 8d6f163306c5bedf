/**
 * May this assembly go again? Survival of every part and of the whole through the next run, the part that limits it, and
 * the shortest list of renewals that meets the target.
 *
 * The whole survives when every part does, no fault of the last rebuild shows, and nothing fails that no part is blamed
 * for: these compete, so their hazards add up draw by draw. Renewing means opening the tool: parts that are always
 * renewed then are, and the clock of rebuild faults starts again.
 */
import type {Settings} from "../../shared/settings.ts";
import {COMPONENTS} from "../../shared/vocabulary/index.ts";
import type {Limits} from "../statistics/types.ts";
import {fleetPolicy} from "./fleetCosts.ts";
import type {FittedPart} from "./fittedParts.ts";
import {equivalentAge, hazardAhead, NEW_PART, oldestIn, type RunAhead} from "./hazardAhead.ts";
import type {PartModel} from "./partModels.ts";
import type {RebuildRisk} from "./rebuildRisk.ts";
import {gainOf, hazardWith, renewList, type Renewable} from "./renewList.ts";
import {drawLimits, drawMean, drawQuantile} from "./spread.ts";

/** A probability with its limits. */
export interface Chance {
  readonly mean: number;
  readonly limits: Limits;
}

export interface PartAhead {
  readonly component: string;
  readonly position: string | null;
  readonly serial: string | null;
  readonly age: number;
  /** age in hours of the next run's condition; null without a wear-out model */
  readonly equivalent: number | null;
  /** how far the part will be past the oldest seen when the run ends, in such hours; 0 when it will not */
  readonly beyond: number;
  readonly now: Chance;
  readonly fresh: Chance;
  /** what renewing it costs; null where settings say none */
  readonly cost: number | null;
  /** failures by wear and by chance behind the model, and lives */
  readonly failures: number;
  readonly lives: number;
  /** the mud and flow of the run were never seen with this component, so effects of other conditions stand in */
  readonly unseen: boolean;
  readonly alwaysRenewed: boolean;
}

export interface NextRun {
  readonly parts: readonly PartAhead[];
  readonly rebuild: {readonly now: Chance; readonly opened: Chance};
  readonly unexplained: Chance;
  /** index into `parts` of the one with the lowest survival */
  readonly limiting: number;
  readonly whole: {readonly now: Chance; readonly afterList: Chance; readonly allNew: Chance};
  /** indices into `parts`; empty when the tool may go as it stands, or when nothing helps */
  readonly list: readonly number[];
  readonly listCost: number | null;
  /** parts on the list only because the tool is opened */
  readonly withIt: readonly number[];
  readonly meets: "as it stands" | "with the list" | "not at all";
  /** parts that do not meet a target for each part even when new */
  readonly cannot: readonly number[];
  /** components left out for want of any model */
  readonly leftOut: readonly string[];
}

export interface NextRunQuestion {
  readonly parts: readonly FittedPart[];
  readonly fleet: string | null;
  /** exposure since the tool was last opened */
  readonly since: number;
  readonly ahead: RunAhead;
  readonly target: number;
  readonly of: "whole" | "each part";
  readonly judge: "expected" | "lower limit";
}

/** A list that comes within this of the best that can be had is as good. */
const AS_GOOD = 0.005;

export function nextRun(
  {parts: fitted, fleet, since, ahead, target, of, judge}: NextRunQuestion,
  models: ReadonlyMap<string, PartModel>,
  rebuild: RebuildRisk,
  settings: Settings,
): NextRun {
  const {level} = settings;
  const parts: PartAhead[] = [];
  const hazards: Renewable[] = [];
  const leftOut: string[] = [];
  for (const part of fitted) {
    const model = models.get(part.component);
    const now = model === undefined ? null : hazardAhead(model, part, ahead);
    const fresh = model === undefined ? null : hazardAhead(model, NEW_PART, ahead);
    if (model === undefined || now === null || fresh === null) {
      leftOut.push(part.component);
      continue;
    }
    const cost = fleetPolicy(settings, fleet ?? "", part.component).costs?.planned ?? null;
    hazards.push({now, fresh, cost: cost ?? 0});
    const equivalent = equivalentAge(model, part, ahead);
    parts.push({
      component: part.component,
      position: part.position,
      serial: part.serial,
      age: part.age,
      equivalent,
      beyond: equivalent === null ? 0 : Math.max(0, equivalent + ahead.hours - oldestIn(model, ahead)),
      now: survivalOf(now, level),
      fresh: survivalOf(fresh, level),
      cost,
      failures: model.use.failures.wear + model.use.failures.chance,
      lives: model.use.lives,
      unseen: !model.use.conditions.has(`${ahead.mud} ${ahead.regime}`),
      alwaysRenewed: COMPONENTS[part.component]?.disposition === "always renewed",
    });
  }
  const unexplained = rebuild.aheadUnexplained(ahead.hours);
  const others = {
    closed: summed(unexplained, rebuild.ahead(since, ahead.hours)),
    opened: summed(unexplained, rebuild.ahead(0, ahead.hours)),
  };
  const everyPart = parts.map((_, i) => i);
  const asItStands = hazardWith(hazards, others.closed, []);
  const meets = (hazard: Float64Array): boolean => judged(hazard, judge, level) >= target;

  const withIt = everyPart.filter((i) => parts[i]!.alwaysRenewed && parts[i]!.age > 0);
  const own = everyPart.filter((i) => !withIt.includes(i));
  const candidates = own.map((i) => hazards[i]!);
  const opened = withIt.reduce((sum, i) => summed(sum, hazards[i]!.fresh), others.opened);
  const chosen =
    of === "whole"
      ? forTheWhole(candidates, opened, {asItStands, meets, level, judge})
      : forEachPart(candidates, hazards, meets);
  const list = chosen.list.map((i) => own[i]!);
  const renewed = chosen.opens ? [...list, ...withIt].sort((a, b) => a - b) : [];
  const afterList = chosen.opens ? hazardWith(hazards, others.opened, renewed) : asItStands;
  const costs = renewed.map((i) => parts[i]!.cost);
  return {
    parts,
    rebuild: {
      now: survivalOf(rebuild.ahead(since, ahead.hours), level),
      opened: survivalOf(rebuild.ahead(0, ahead.hours), level),
    },
    unexplained: survivalOf(unexplained, level),
    limiting: parts.reduce((worst, {now}, i) => (now.mean < (parts[worst]?.now.mean ?? 2) ? i : worst), 0),
    whole: {
      now: survivalOf(asItStands, level),
      afterList: survivalOf(afterList, level),
      allNew: survivalOf(hazardWith(hazards, others.opened, everyPart), level),
    },
    list: renewed,
    listCost: costs.includes(null) ? null : costs.reduce<number>((sum, cost) => sum + (cost ?? 0), 0),
    withIt: chosen.opens ? withIt : [],
    meets: chosen.meets,
    cannot: of === "whole" ? [] : everyPart.filter((i) => !meets(hazards[i]!.fresh)),
    leftOut,
  };
}

interface Chosen {
  readonly list: readonly number[];
  readonly opens: boolean;
  readonly meets: NextRun["meets"];
}

function forTheWhole(
  candidates: readonly Renewable[],
  others: Float64Array,
  {
    asItStands,
    meets,
    level,
    judge,
  }: {
    asItStands: Float64Array;
    meets: (hazard: Float64Array) => boolean;
    level: number;
    judge: NextRunQuestion["judge"];
  },
): Chosen {
  if (meets(asItStands)) return {list: [], opens: false, meets: "as it stands"};
  const list = renewList(candidates, others, meets);
  if (list.meets) return {list: list.parts, opens: true, meets: "with the list"};
  // out of reach: the shortest list that comes as near as makes no difference
  const best = judged(hazardWith(candidates, others, list.parts), judge, level);
  const standing = judged(asItStands, judge, level);
  if (best - standing < AS_GOOD) return {list: [], opens: false, meets: "not at all"};
  const near = renewList(candidates, others, (hazard) => judged(hazard, judge, level) >= best - AS_GOOD);
  return {list: near.parts, opens: true, meets: "not at all"};
}

function forEachPart(
  candidates: readonly Renewable[],
  all: readonly Renewable[],
  meets: (hazard: Float64Array) => boolean,
): Chosen {
  const list = candidates.flatMap((part, i) => (!meets(part.now) && gainOf(part) > 0 ? [i] : []));
  const short = all.some(({now, fresh}) => !meets(now) && !meets(fresh));
  const opens = all.some((part) => !meets(part.now) && gainOf(part) > 0);
  return {list, opens, meets: short ? "not at all" : opens ? "with the list" : "as it stands"};
}

function judged(hazard: Float64Array, judge: NextRunQuestion["judge"], level: number): number {
  const survival = hazard.map((h) => Math.exp(-h));
  return judge === "expected" ? drawMean(survival) : drawQuantile(survival, (1 - level) / 2);
}

/** Mean over the draws, which is the chance to bet on, and its limits. */
export function survivalOf(hazard: Float64Array, level: number): Chance {
  const survival = hazard.map((h) => Math.exp(-h));
  return {mean: drawMean(survival), limits: drawLimits(survival, level)};
}

function summed(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((value, d) => value + b[d]!);
}
