/**
 * From figures to advice: renew at an age, run to failure, or not enough data to say; and the sentence that says why.
 */
import type {Limits} from "../statistics/types.ts";
import type {CheapestAge} from "./cheapestAge.ts";
import {failuresNeeded} from "./failuresNeeded.ts";
import type {Advice} from "./intervalRow.ts";
import type {RiskInterval} from "./riskInterval.ts";
import {counted, percent, plain, range} from "./say.ts";

/** What the lives say about wear-out of the component, in every condition together. */
export interface WearOut {
  /** failures by wear modes */
  readonly failures: number;
  /** likeliest shape, with what is expected of wear taken along */
  readonly shape: number;
  /** shape by the lives alone, and its limits; null where they do not fix one */
  readonly own: number | null;
  readonly limits: Limits;
  /** share of the parameter draws with a shape above 1 */
  readonly chance: number;
}

export interface Question {
  /** what the part is called, singular */
  readonly part: string;
  readonly wearOut: WearOut;
  /** null when a cost is missing */
  readonly cheapest: CheapestAge | null;
  /** what a planned renewal and the average failure cost; null when unknown */
  readonly costs: {readonly planned: number; readonly failure: number} | null;
  readonly risk: RiskInterval;
  /** oldest part seen, in hours of the condition */
  readonly oldest: number;
  readonly nextRun: number;
  readonly target: number;
  /** two-sided level of limits */
  readonly level: number;
  readonly unit: number;
  /** how an age is said, in the clock of the settings */
  readonly sayAge: (value: number) => string;
}

export interface AdvisedInterval {
  readonly advice: Advice;
  readonly because: string;
  /** rounded down to the service unit */
  readonly interval: number | null;
  readonly boundBy: "cost" | "risk" | null;
  readonly cautions: readonly string[];
}

/** An age limit that saves less than this share of the cost of running to failure is not worth a rule. */
const WORTH = 0.01;
/** Fewer wear failures than this set no interval. */
const FEWEST = 3;
/** So many failures at one age, or in one gap between inspections, are no accident. */
const STEEP_ENOUGH = 5;
/** Where wear-out is at least this likely, and renewal would then save at least so much, it is too early to give it up. */
const LIKELY = 0.8;
const WORTH_WAITING = 0.1;
/** Failures that would not show a shape as low as this are few: then how a part failed counts beside when. */
const WEAK_WEAR = 1.6;
/** The lives' own shape must at least lean this way before what is expected of the mechanism is followed. */
const AGREES = 1;

export function adviseInterval(question: Question): AdvisedInterval {
  const {part, wearOut, cheapest, costs, risk, target, level, sayAge} = question;
  const confidence = (1 + level) / 2;
  const {shape, limits, failures} = wearOut;
  const cautions = riskCautions(question, confidence);

  const few = failures < failuresNeeded(WEAK_WEAR, confidence);
  // failures all at one age show wear-out better than any limit could, once there are a few of them
  const steep = wearOut.own === Infinity && failures >= STEEP_ENOUGH && wearOut.chance >= confidence;
  const shown = steep || (failures >= FEWEST && (limits[0] ?? 0) > 1);
  if (!shown) {
    const agrees = wearOut.own !== null && wearOut.own >= AGREES;
    const expected = few && failures >= FEWEST && agrees && wearOut.chance >= confidence;
    if (!expected) {
      // between wear-out and none, running to failure may lose much and gain little
      const dear = wearOut.chance >= LIKELY && (cheapest?.saving ?? 0) > WORTH_WAITING;
      if (few || dear) return notEnough(question, cautions);
      return never(
        `wear-out is not shown: from ${failures} failures the shape is ${plain(shape)} (${range(limits, plain)}), which does ` +
          `not exclude 1, where an old ${part} is no worse than a new one; run to failure and inspect`,
        cautions,
      );
    }
    cautions.push(
      `${counted(failures, "failure")} alone would leave the shape at ${range(limits, plain)}; that the ${part} wears out is ` +
        `taken from how it failed (erosion, wear, fatigue and the like have shapes of 1.4 to 4.4 nine times in ten)`,
    );
  }

  const byRisk = risk.rule === "bounds" ? risk.interval : Infinity;
  if (costs === null || cheapest === null) {
    if (byRisk === Infinity) {
      return {
        advice: "not enough data",
        because: "settings give no costs for this part, and the risk rule sets no age by itself",
        interval: null,
        boundBy: null,
        cautions,
      };
    }
    return renew(
      byRisk,
      "risk",
      `${riskSentence(question, byRisk, confidence)}; settings give no costs, so the cost rule is left out`,
      question,
      cautions,
    );
  }
  if (!(costs.failure > costs.planned)) {
    return never(
      `a failure costs no more (${plain(costs.failure)}) than a planned change (${plain(costs.planned)}), so renewing ` +
        "before failure can only lose; run to failure and inspect",
      [...cautions, ...whatRiskWouldSay(question, byRisk, confidence)],
    );
  }
  if (cheapest.age === null || cheapest.saving < WORTH) {
    if (few) return notEnough(question, cautions);
    return never(
      `the ${part} does wear out (shape ${plain(shape)}), but the best age would save only ` +
        `${percent(Math.max(cheapest.saving, 0))} of the cost of running to failure; run to failure and inspect`,
      [...cautions, ...whatRiskWouldSay(question, byRisk, confidence)],
    );
  }
  const wears = shown
    ? `wear-out is shown (${steep ? `failures close together, shape ${plain(shape)} or more` : `shape ${plain(shape)}, ${range(limits, plain)}`})`
    : `wear-out is to be expected (shape ${plain(shape)})`;
  if (byRisk < cheapest.age) {
    return renew(
      byRisk,
      "risk",
      `${wears}; ${riskSentence(question, byRisk, confidence)}, while cost alone would allow ${sayAge(cheapest.age)}`,
      question,
      cautions,
    );
  }
  if (!shown && cheapest.age > question.oldest) {
    return renew(
      question.oldest,
      "cost",
      `${wears}; cost alone would allow ${sayAge(cheapest.age)}, but with so few failures the interval is held at the age ` +
        "that parts have been seen to reach",
      question,
      cautions,
    );
  }
  return renew(
    cheapest.age,
    "cost",
    `${wears}, and this age costs least in expectation, ${percent(cheapest.saving)} less than running to failure; ` +
      (risk.rule === "bounds"
        ? `the risk rule (${percent(target)} through the next run) would allow ${sayAge(byRisk)}`
        : "the risk rule sets no shorter age"),
    question,
    cautions,
  );
}

function renew(
  age: number,
  boundBy: "cost" | "risk",
  because: string,
  {unit, nextRun, part, sayAge}: Question,
  cautions: readonly string[],
): AdvisedInterval {
  const rounded = Math.floor(age / unit + 1e-9) * unit;
  if (rounded > 0) return {advice: "renew at", because, interval: rounded, boundBy, cautions};
  return {
    advice: "renew at",
    because,
    interval: Math.max(Math.floor(age), 1),
    boundBy,
    cautions: [
      ...cautions,
      `the age is below one service unit (${sayAge(unit)}) and is not rounded to 0: with runs of ${sayAge(nextRun)} it means ` +
        `a new ${part} at every rebuild`,
    ],
  };
}

function never(because: string, cautions: readonly string[]): AdvisedInterval {
  return {advice: "run to failure", because, interval: null, boundBy: null, cautions};
}

function notEnough({part, wearOut, level}: Question, cautions: readonly string[]): AdvisedInterval {
  const {failures, shape, limits} = wearOut;
  const confidence = (1 + level) / 2;
  const needed = failuresNeeded(Math.max(shape, WEAK_WEAR), confidence);
  const more = Math.max(needed - failures, 2);
  return {
    advice: "not enough data",
    because:
      `${failures} ${failures === 1 ? "failure leaves" : "failures leave"} the shape ` +
      `${limits[0] === null && limits[1] === null ? "open" : `at ${range(limits, plain)}`} (likeliest ${plain(shape)}): whether renewing ` +
      `the ${part} by age pays cannot be told; about ${more} more failures would show a shape of ` +
      `${plain(Math.max(shape, WEAK_WEAR))}, four times in five, at ${percent(confidence)} confidence`,
    interval: null,
    boundBy: null,
    cautions,
  };
}

function riskSentence({part, nextRun, target, sayAge}: Question, interval: number, confidence: number): string {
  return (
    `past ${sayAge(interval)} a ${part} would no longer come through a run of ${sayAge(nextRun)} with ` +
    `${percent(target)} probability, at ${percent(confidence)} confidence`
  );
}

function whatRiskWouldSay(question: Question, byRisk: number, confidence: number): string[] {
  return byRisk === Infinity ? [] : [`by the risk rule alone, ${riskSentence(question, byRisk, confidence)}`];
}

function riskCautions({part, risk, target, nextRun, sayAge}: Question, confidence: number): string[] {
  if (risk.rule === "cannot be met") {
    return [
      `no age meets the reliability target: at ${percent(confidence)} confidence not even a new ${part} survives ` +
        `${sayAge(nextRun)} with ${percent(target)} probability; shorter runs, another part or another target would`,
    ];
  }
  if (risk.rule === "has no target") {
    return [
      target >= 1
        ? "a reliability target of 1 cannot be met by any part, so the risk rule is left out"
        : `a reliability target of ${plain(target)} with a next run of ${sayAge(nextRun)} asks for nothing, so the risk rule is left out`,
    ];
  }
  return [];
}
