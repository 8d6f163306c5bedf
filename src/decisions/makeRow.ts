/**
 * One row of the sheet: the model of a component in a condition, priced over the fleets that use it there, and what is
 * advised.
 */
import type {Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import {COMPONENTS, componentLabel, mudLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import type {Limits, Weibull} from "../statistics/types.ts";
import {adviseInterval, type AdvisedInterval, type WearOut} from "./adviseInterval.ts";
import {bestAge} from "./ageReplacement.ts";
import {cheapestAge} from "./cheapestAge.ts";
import type {ComponentUse, ConditionUse} from "./componentExposure.ts";
import {mixedLife, mixedSpeed, type ComponentModel, type ConditionLife, type ConditionShare} from "./componentModel.ts";
import {meanFailureCost} from "./costs.ts";
import {meanEndsRun, type EndingChances} from "./endsRun.ts";
import {failuresNeeded} from "./failuresNeeded.ts";
import {POOLED, type ByPolicy, type CostCurve, type IntervalRow} from "./intervalRow.ts";
import {ageAtHazard, competingLife} from "./life.ts";
import {SHAPE_PRIOR} from "./lifePosterior.ts";
import {priceDraws, type PricedDraws, type Rates} from "./priceDraws.ts";
import {riskInterval, type RiskInterval} from "./riskInterval.ts";
import {longestSafeAge} from "./riskRule.ts";
import {rowCautions} from "./rowCautions.ts";
import {ageSayer, counted, plain} from "./say.ts";
import type {Scratch} from "./Scratch.ts";
import {fleetUses, gridFor, servicesOf, type FleetGaps, type FleetUse} from "./services.ts";
import {drawLimits, drawMean} from "./spread.ts";
import {zeroFailureScale} from "./zeroFailureScale.ts";

export interface RowInputs {
  readonly use: ComponentUse;
  readonly condition: ConditionUse;
  /** the conditions that the hours of the row were spent in: one, or all of the component's for its pooled row */
  readonly mix: readonly ConditionShare[];
  readonly model: ComponentModel;
  /** by fleet */
  readonly gaps: ReadonlyMap<string, FleetGaps>;
  readonly settings: Settings;
  readonly register?: Register | undefined;
  readonly nextRun: number;
  /** chance that a failure of the component ends the run, by age */
  readonly endsRun: EndingChances;
  readonly scratch: Scratch;
}

/** Money and failures are told per so much exposure. */
const PER = 1000;
/** Beyond the age at which this cumulative hazard is reached, hardly a part is left to renew. */
const FAR = 3;
const NONE: Limits = [null, null];

export function intervalRow(inputs: RowInputs): IntervalRow {
  const {use, condition, model, settings, nextRun, endsRun} = inputs;
  const {level, reliability_target: target, service_unit_h: unit} = settings;
  const {fleets, cautions} = fleetUses(condition, use.component, inputs);
  const life = mixedLife(model, inputs.mix);
  const speed = mixedSpeed(model, inputs.mix);
  const share = overallShare(endsRun, use);
  const costs = averageCosts(fleets, share);

  let priced: PricedDraws | null = null;
  if (life !== null) {
    const services = servicesOf(fleets, gridFor(horizonOf(life, fleets, nextRun), unit, fleets));
    if (services !== null) priced = priceDraws(life.draws, services, {nextRun, endsRun, scratch: inputs.scratch});
  }
  const cheapest = priced === null ? null : cheapestAge(priced, level);
  const risk = life === null ? null : riskInterval(life.draws, nextRun, target, (1 + level) / 2);
  const oldest = model.oldest / speed;
  const wearOut = wearOutOf(model, life);
  const advised = withPractice(
    life === null || risk === null
      ? withoutModel(inputs, level)
      : adviseInterval({
          part: componentLabel(use.component),
          wearOut,
          cheapest,
          costs,
          risk,
          oldest,
          nextRun,
          target,
          level,
          unit,
          sayAge: ageSayer(settings.exposure),
        }),
    inputs,
  );

  const recommended = policyRates(advised, priced);
  const beyond = advised.interval === null ? 0 : Math.max(0, advised.interval - oldest);
  const currents = fleets.map(({policy}) => policy.current);
  const same = priced !== null && recommended !== null && sameRates(recommended, priced.current);
  const vouched = advised.advice === "not enough data" ? vouchedFor(inputs, risk, speed) : null;
  const textbook =
    life === null || costs === null ? null : bestAge(competingLife(modesOf(life.wear, life.chanceRate)), costs);

  return {
    component: use.component,
    mud: condition.mud,
    regime: condition.regime,
    componentLabel: componentLabel(use.component),
    mudLabel: condition.mud === POOLED ? "all muds" : mudLabel(condition.mud),
    regimeLabel: condition.regime === POOLED ? "all flows" : regimeLabel(condition.regime),
    advice: advised.advice,
    because: advised.because,
    interval_h: advised.interval,
    limits_h: alwaysRenewed(use.component) ? NONE : (cheapest?.limits ?? NONE),
    boundBy: advised.boundBy,
    costInterval_h: cheapest?.age ?? null,
    riskInterval_h: risk?.rule === "bounds" ? risk.interval : null,
    vouchedFor_h: vouched,
    textbook: textbook?.found === true ? {interval_h: textbook.age, costPer1000h: PER * textbook.costRate} : null,
    current_h: currents.some((age) => age === null)
      ? null
      : fleets.reduce((sum, {share, policy}) => sum + share * policy.current!, 0),
    fleets: fleets.map(({fleet, exposure, policy}) => ({fleet, exposure_h: exposure, current_h: policy.current})),
    exposure_h: condition.exposure,
    ...moneyAndFailures(recommended, priced, level),
    chanceBetterThanCurrent:
      recommended === null || priced === null || same ? null : shareBelow(recommended.money, priced.current.money),
    lives: condition.lives,
    failures: condition.failures,
    livesPooled: use.lives,
    failuresPooled: use.failures.wear + use.failures.chance,
    chanceFailures: use.failures.chance,
    shopFailures: use.failures.shop,
    shape: life?.wear.shape ?? null,
    scale: life?.wear.scale ?? null,
    shapeLimits: model.own.limits,
    scaleLimits: life === null ? NONE : drawLimits(life.draws.scale, level),
    chanceOfWearOut: life === null ? null : wearOut.chance,
    chancePer1000h: PER * (model.posterior === null ? use.failures.chance / use.exposure : model.chanceRate),
    endsRun: share,
    oldest_h: oldest,
    beyondOldest_h: beyond,
    curve: priced === null ? null : curveOf(priced, level),
    cautions: [
      ...advised.cautions,
      ...rowCautions(inputs, {advised, fleets, oldest, beyond, same, vouched}),
      ...cautions,
    ],
  };
}

/** Age up to which renewal is priced: where few parts are left, or today's policy if that is not absurdly later. */
export function horizonOf({wear, chanceRate}: ConditionLife, fleets: readonly FleetUse[], nextRun: number): number {
  const few = ageAtHazard(modesOf(wear, chanceRate), FAR);
  const today = Math.max(0, ...fleets.map(({policy}) => policy.current ?? 0));
  const gap = Math.max(...fleets.map(({gaps}) => gaps.hours.reduce((sum, h, i) => sum + h * gaps.weights[i]!, 0)));
  return Math.max(few, Math.min(today + nextRun, 3 * few), 2 * gap);
}

function modesOf(wear: Weibull, chanceRate: number): Weibull[] {
  return chanceRate > 0 ? [wear, {shape: 1, scale: 1 / chanceRate}] : [wear];
}

/** Costs over the fleets, by exposure: of a planned renewal and of a failure as it comes; null when one is missing. */
function averageCosts(fleets: readonly FleetUse[], endsRun: number): {planned: number; failure: number} | null {
  let planned = 0;
  let failure = 0;
  for (const {share, policy} of fleets) {
    if (policy.costs === null) return null;
    planned += share * policy.costs.planned;
    failure += share * meanFailureCost(policy.costs, endsRun);
  }
  return {planned, failure};
}

function wearOutOf({failures, own}: ComponentModel, life: ConditionLife | null): WearOut {
  if (life === null) return {failures, shape: NaN, own: null, limits: NONE, chance: 0};
  const {shape} = life.draws;
  const above = shape.reduce((sum, one) => sum + (one > 1 ? 1 : 0), 0);
  return {failures, shape: life.wear.shape, own: own.shape, limits: own.limits, chance: above / shape.length};
}

/** Share of the component's failures that end a run, as it is shown and as the textbook age takes it. */
function overallShare({wear, chance}: EndingChances, {seen}: ComponentUse): number {
  const worn = seen.wear.ages.length;
  const struck = seen.chance.ages.length;
  const byWear = meanEndsRun(wear, seen.wear);
  return worn + struck === 0 ? byWear : (worn * byWear + struck * chance) / (worn + struck);
}

/** No life model: why, and what would settle the question. */
function withoutModel({use, model}: RowInputs, level: number): AdvisedInterval {
  const part = componentLabel(use.component);
  const needed = failuresNeeded(Math.exp(SHAPE_PRIOR.mean), (1 + level) / 2);
  const because =
    model.failures > 0
      ? `${model.noFit ?? "no life model could be had"}, though ${counted(model.failures, "part")} failed by wear`
      : `none of ${counted(use.lives, "life", "lives")} of the ${part} ended by wear, so no life can be fitted; about ${needed} ` +
        `wear failures would show the usual shape of ${plain(Math.exp(SHAPE_PRIOR.mean))}, four times in five`;
  return {advice: "not enough data", because, interval: null, boundBy: null, cautions: []};
}

/** The longest age the lives vouch for: by the draws, or by the zero-failure bound at the shape expected of wear. */
function vouchedFor({model, settings, nextRun}: RowInputs, risk: RiskInterval | null, speed: number): number | null {
  if (risk?.rule === "bounds") return risk.interval;
  if (risk !== null || model.failures > 0) return null;
  const confidence = (1 + settings.level) / 2;
  const shape = Math.exp(SHAPE_PRIOR.mean);
  const scale = zeroFailureScale(model.data.lower, shape, confidence, model.data.entry) / speed;
  if (!(scale > 0)) return null;
  const age = longestSafeAge([{shape, scale}], nextRun, settings.reliability_target);
  return age === null || !Number.isFinite(age) ? null : age + nextRun;
}

const alwaysRenewed = (component: string): boolean => COMPONENTS[component]?.disposition === "always renewed";

/** A part that is renewed at every rebuild by practice is not run to failure by a statistic. */
function withPractice(advised: AdvisedInterval, {use, nextRun, settings}: RowInputs): AdvisedInterval {
  if (!alwaysRenewed(use.component)) return advised;
  const unit = settings.service_unit_h;
  return {
    advice: "renew at",
    because:
      `${COMPONENTS[use.component]!.plural} are renewed at every rebuild by common practice, whatever their age: opening ` +
      "disturbs them, and they cost little against a flood",
    interval: Math.max(Math.floor(nextRun / unit) * unit, Math.min(unit, nextRun)),
    boundBy: null,
    cautions: advised.cautions,
  };
}

function policyRates({advice, interval}: AdvisedInterval, priced: PricedDraws | null): Rates | null {
  if (priced === null || advice === "not enough data") return null;
  return interval === null ? priced.runToFailure : priced.at(interval);
}

function sameRates(a: Rates, b: Rates): boolean {
  return a.money.every((value, d) => Math.abs(value - b.money[d]!) <= 1e-9 * value);
}

function shareBelow(a: Float64Array, b: Float64Array): number {
  let below = 0;
  for (let d = 0; d < a.length; d++) if (a[d]! < b[d]!) below += 1;
  return below / a.length;
}

const perThousand = (draws: Float64Array): Float64Array => draws.map((value) => PER * value);

function moneyAndFailures(
  recommended: Rates | null,
  priced: PricedDraws | null,
  level: number,
): Pick<IntervalRow, "costPer1000h" | "costLimits" | "failuresPer1000h" | "failureLimits" | "savingPer1000h"> {
  const policies: ByPolicy<Rates | null> = {
    recommended,
    current: priced?.current ?? null,
    runToFailure: priced?.runToFailure ?? null,
  };
  const each = <T>(of: (rates: Rates | null) => T): ByPolicy<T> => ({
    recommended: of(policies.recommended),
    current: of(policies.current),
    runToFailure: of(policies.runToFailure),
  });
  const mean = (what: keyof Rates) => (rates: Rates | null) => (rates === null ? null : PER * drawMean(rates[what]));
  const limits = (what: keyof Rates) => (rates: Rates | null) =>
    rates === null ? NONE : drawLimits(perThousand(rates[what]), level);
  const saved = (against: Rates | null): {mean: number | null; limits: Limits} => {
    if (recommended === null || against === null) return {mean: null, limits: NONE};
    const difference = against.money.map((value, d) => PER * (value - recommended.money[d]!));
    return {mean: drawMean(difference), limits: drawLimits(difference, level)};
  };
  const current = saved(policies.current);
  const never = saved(policies.runToFailure);
  return {
    costPer1000h: each(mean("money")),
    costLimits: each(limits("money")),
    failuresPer1000h: each(mean("failures")),
    failureLimits: each(limits("failures")),
    savingPer1000h: {
      againstCurrent: current.mean,
      limitsCurrent: current.limits,
      againstRunToFailure: never.mean,
      limitsRunToFailure: never.limits,
    },
  };
}

function curveOf({intervals, money, draws}: PricedDraws, level: number): CostCurve {
  const tried = intervals.length;
  const expected: number[] = [];
  const lower: number[] = [];
  const upper: number[] = [];
  const column = new Float64Array(draws);
  for (let t = 0; t < tried; t++) {
    for (let d = 0; d < draws; d++) column[d] = PER * money[d * tried + t]!;
    expected.push(drawMean(column));
    const [low, high] = drawLimits(column, level);
    lower.push(low ?? NaN);
    upper.push(high ?? NaN);
  }
  return {interval_h: [...intervals], expected, lower, upper};
}
