/** Whether a failure was to be expected, in sentences that say no more than the lives behind them. */
import type {ComponentSettings, Settings} from "../../../shared/settings.ts";
import {clockOf, partOf, partsOf, sayCondition, sayCount, sayLevel, sayLimits, sayNumber, sayPercent} from "../say.ts";
import type {Placement, Share} from "./placement.ts";
import type {FailedPart} from "./story.ts";

/** One part in twenty or fewer fail so early. */
const EARLY = 0.05;
const HALF = 0.5;

export type Expected = "early" | "usual" | "late" | "untold";

/** Where the limits let it be told: early, usual, or later than most such parts last. */
export function expectedness({failedBy, failedByLower}: Placement): Expected {
  const [low, high] = [(failedByLower ?? failedBy).limits[0] ?? 0, failedBy.limits[1] ?? 1];
  if (high < EARLY) return "early";
  if (low > HALF) return "late";
  return low >= EARLY ? "usual" : "untold";
}

/** `43 % (31 to 55 %)`; a share of less than one in a thousand is only said to be one */
export function sayShareOf({estimate, limits: [lower, upper]}: Share): string {
  if (upper !== null && upper < LEAST) return "under 0.1 %";
  const percent = (share: number | null) =>
    share === null ? null : share < LEAST ? 0 : Number((share * 100).toPrecision(2));
  return `${estimate < LEAST ? "under 0.1 %" : sayPercent(Number(estimate.toPrecision(2)))} (${sayLimits([percent(lower), percent(upper)])} %)`;
}
const LEAST = 0.001;

export function sayRange({failedBy, failedByLower}: Placement): string {
  if (failedByLower === null || failedByLower.estimate === failedBy.estimate) return sayShareOf(failedBy);
  return failedByLower.estimate < LEAST
    ? `up to ${sayShareOf(failedBy)}`
    : `between ${sayShareOf(failedByLower)} and ${sayShareOf(failedBy)}`;
}

/** What the model says of a part that failed by wear, or whose cause nobody named. */
export function sayPlacement(failed: FailedPart, settings: Settings): string {
  const {component, placement, part, lowerAge} = failed;
  const parts = partsOf(component);
  if ("sentence" in placement || part === null) {
    const why = "sentence" in placement ? placement.sentence : "its age is not known";
    return `Whether that was to be expected cannot be told: ${why}.`;
  }
  const {unit} = clockOf(settings);
  const age =
    lowerAge === null
      ? `At ${sayNumber(part.ageAfter)} ${unit}`
      : lowerAge > 0
        ? `At ${sayNumber(lowerAge)} to ${sayNumber(part.ageAfter)} ${unit} (the hour is not known)`
        : `Some time in its ${sayNumber(part.ageAfter)} ${unit}`;
  const verdict = {
    early: `that is early: fewer than one in twenty ${parts} fail so soon, and its fitting, the part itself and the job deserve a look before wear is blamed`,
    usual: "wear at that age is no surprise",
    late: "it had outlasted most; that it failed was to be expected",
    untold: "whether that is early cannot be told within these limits",
  }[expectedness(placement)];
  return (
    `${age} ${parts} of this service have failed by wear in ${sayRange(placement)} of cases, so ${verdict}. ` +
    `When the run began, the chance that this ${partOf(component)} would fail within it was ${sayShareOf(placement.inRun)}. ` +
    `Both rest on ${sayCount(placement.failures, "failure")} among ${sayCount(placement.lives, "life", "lives")} of ${parts}, this one among them, for ${sayCondition(placement.mud, placement.regime)}; ${sayLevel(settings)}.`
  );
}

/** Where the part stood against today's renewal age when it was last within the shop's reach. */
export function sayPolicy(failed: FailedPart, policy: ComponentSettings | null, settings: Settings): string | null {
  if (policy === null || failed.part === null) return null;
  const {ageAtVisit} = failed;
  const {unit} = clockOf(settings);
  const limit = policy.current_interval_h;
  if (limit === null) return `Today's policy sets no renewal age for ${partsOf(failed.component)} here.`;
  if (limit === 0) return null;
  const age = failed.part.ageAfter;
  if (age <= limit) return `Today's renewal age of ${sayNumber(limit)} ${unit} was not reached.`;
  const atVisit =
    ageAtVisit > 0
      ? `; it had ${sayNumber(ageAtVisit)} ${unit} when it was last on the bench${ageAtVisit >= limit ? ", and was kept" : ""}`
      : "";
  return `It was ${sayNumber(age - limit)} ${unit} past today's renewal age of ${sayNumber(limit)} ${unit}${atVisit}.`;
}
