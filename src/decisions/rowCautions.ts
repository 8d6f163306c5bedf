/** What a reader of a row must know besides the figures: a sentence each. */
import {COMPONENTS, componentLabel} from "../../shared/vocabulary/index.ts";
import type {AdvisedInterval} from "./adviseInterval.ts";
import {SHAPE_PRIOR} from "./lifePosterior.ts";
import type {RowInputs} from "./makeRow.ts";
import {ageSayer, counted, percent, plain, unitOf} from "./say.ts";
import type {FleetUse} from "./services.ts";

export interface Outcome {
  readonly advised: AdvisedInterval;
  readonly fleets: readonly FleetUse[];
  /** oldest part seen, in hours of the condition; how far the interval goes beyond it */
  readonly oldest: number;
  readonly beyond: number;
  /** the advice is what is done today */
  readonly same: boolean;
  /** where data are few: the longest age they vouch for */
  readonly vouched: number | null;
}

const PER = 1000;
/** A new part is kept at fewer first rebuilds than this: the interval means one at nearly every rebuild. */
const HARDLY_KEPT = 0.1;

export function rowCautions(inputs: RowInputs, outcome: Outcome): string[] {
  return [...ofTheData(inputs, outcome), ...ofTheModel(inputs, outcome), ...ofTheInterval(inputs, outcome)];
}

function ofTheData({use, condition, model, settings}: RowInputs, {vouched}: Outcome): string[] {
  const sayAge = ageSayer(settings.exposure);
  const part = componentLabel(use.component);
  const cautions: string[] = [];
  if (use.lives === 1) cautions.push(`the log holds one life of the ${part}`);
  else if (use.renewed === 0) {
    cautions.push(`no ${part} has been renewed in this log: every life is still running, so old age has not been seen`);
  }
  if (vouched !== null) {
    cautions.push(
      `what the lives do vouch for, at ${percent((1 + settings.level) / 2)} confidence: up to ${sayAge(vouched)} a ${part} comes ` +
        `through its next run with ${percent(settings.reliability_target)} probability` +
        (model.failures === 0 || model.posterior === null
          ? `, if its shape is ${plain(Math.exp(SHAPE_PRIOR.mean))}`
          : ""),
    );
  }
  if (model.leftOut > 0)
    cautions.push(`${counted(model.leftOut, "life", "lives")} whose hours do not add up are left out`);
  if (condition.mud === "UNK" || condition.regime === "unknown") {
    cautions.push("the mud or the flow of these runs is not known, so the row is an average over what they were");
  }
  return cautions;
}

function ofTheModel({use, condition, model, settings}: RowInputs, {fleets}: Outcome): string[] {
  const unit = unitOf(settings.exposure);
  const part = componentLabel(use.component);
  const {chance, shop} = use.failures;
  const cautions: string[] = [];
  if (model.posterior !== null && condition.failures === 0) {
    cautions.push(
      `no ${part} has failed in this condition alone; the row borrows from ${counted(use.failures.wear + chance, "failure")} elsewhere`,
    );
  }
  if (model.chanceWears) {
    cautions.push(
      `${counted(chance, "failure")} by breakage or blockage came with age all the same and are counted as wear here`,
    );
  } else if (chance > 0) {
    cautions.push(
      `${counted(chance, "failure")} by chance (breakage, blockage; ${plain((PER * chance) / use.exposure)} per 1,000 ${unit}) ` +
        `${chance === 1 ? "is" : "are"} priced in at every age: renewal does not prevent them`,
    );
  }
  if (shop > 0) {
    const price = fleets.every(({policy}) => policy.costs !== null)
      ? fleets.reduce((sum, {share, policy}) => sum + share * policy.costs!.failure, 0)
      : null;
    const rate = (PER * shop) / use.exposure;
    cautions.push(
      `${counted(shop, "failure")} of the ${part} ${shop === 1 ? "was" : "were"} caused by the shop (${plain(rate)} per 1,000 ${unit}` +
        `${price === null ? "" : `, up to ${plain(rate * price)} per 1,000 ${unit} in money`}): no interval prevents them, care at the bench does`,
    );
  }
  return cautions;
}

function ofTheInterval(
  {use, nextRun, settings}: RowInputs,
  {advised, fleets, oldest, beyond, same}: Outcome,
): string[] {
  const sayAge = ageSayer(settings.exposure);
  const part = componentLabel(use.component);
  const {interval} = advised;
  const cautions: string[] = [];
  if (interval !== null && beyond > 0) {
    cautions.push(
      `the interval goes ${sayAge(beyond)} beyond the oldest ${part} seen (the equivalent of ${sayAge(oldest)} in this ` +
        "condition): past that age it extrapolates",
    );
  }
  if (interval !== null && COMPONENTS[use.component]?.disposition !== "always renewed") {
    const kept = keptAtFirst(fleets, interval - nextRun);
    if (kept < HARDLY_KEPT) {
      cautions.push(
        `tools are opened so seldom that this means a new ${part} at ${kept < 0.005 ? "every" : `${percent(1 - kept)} of first`} ` +
          `${kept < 0.005 ? "rebuild" : "rebuilds"}`,
      );
    }
  }
  if (fleets.some(({policy}) => policy.costs?.planned === 0)) {
    cautions.push(
      "a planned change is set to cost nothing, so the more often the better: give its cost in the settings",
    );
  }
  for (const {fleet, policy} of fleets) {
    if (policy.decided === null) continue;
    const {decision, date, initials, revision} = policy.decided;
    cautions.push(
      `today's policy${fleets.length > 1 ? ` of ${fleet || "tools without a fleet"}` : ""} is that of the register, not of the settings: it ` +
        `${sayPolicy(policy.current, sayAge)}, ${decision} on ${date} by ${initials} (revision ${revision})`,
    );
  }
  if (new Set(fleets.map(({policy}) => policy.current)).size > 1) {
    cautions.push(
      `today's policy differs by fleet: ${fleets.map(({fleet, policy}) => `${fleet || "no fleet"} ${sayPolicy(policy.current, sayAge)}`).join(", ")}`,
    );
  }
  if (same && advised.advice !== "not enough data") cautions.push("this is what is done today");
  return cautions;
}

function sayPolicy(current: number | null, sayAge: (value: number) => string): string {
  if (current === null) return "runs to failure";
  return current === 0 ? "renews at every rebuild" : `renews at ${sayAge(current)}`;
}

/** Share of new parts that would be kept at their first rebuild. */
function keptAtFirst(fleets: readonly FleetUse[], threshold: number): number {
  let kept = 0;
  for (const {share, gaps} of fleets) {
    gaps.hours.forEach((gap, i) => {
      if (gap <= threshold) kept += share * gaps.weights[i]!;
    });
  }
  return kept;
}
