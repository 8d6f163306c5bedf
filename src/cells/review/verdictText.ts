/** The verdict of a review: sentences composed from what the logs say, each hedged as far as they do not. */
import {wordAt} from "../../../shared/columnar.ts";
import {componentSettings} from "../../../shared/settings.ts";
import {MODES, modeLabel} from "../../../shared/vocabulary/index.ts";
import type {CellInputs} from "../contract.ts";
import {
  capital,
  clockOf,
  partOf,
  partsOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayNumber,
} from "../say.ts";
import {benchRate, modeRate} from "./benchFaults.ts";
import {dayOf} from "./dayOf.ts";
import {sayPlacement, sayPolicy} from "./expected.ts";
import {openQuestions} from "./openQuestions.ts";
import type {FailedPart, Story} from "./story.ts";
import type {Subject} from "./subject.ts";
import type {ComponentModels} from "../../decisions/index.ts";

/** Sooner after a rebuild than this, the rebuild itself is suspect; common practice. */
const SOON_H = 50;

export interface Verdict {
  readonly answer: string;
  readonly rest: readonly string[];
  readonly unknown: readonly string[];
}

export function verdictOf(inputs: CellInputs, subject: Subject, story: Story, models: ComponentModels): Verdict {
  return {
    answer: answerOf(subject, story),
    rest: [
      ...teardownSentences(story),
      ...story.ended.flatMap((failed) => expectation(inputs, failed, story, models)),
      ...foundSentences(story),
      ...otherRuns(inputs, subject),
    ],
    unknown: unknowns(inputs, subject, story),
  };
}

const name = (text: string | null, what: string): string => text ?? `${what} not named`;

function answerOf({job, runName, tool}: Subject, story: Story): string {
  const {outcome, hours, lost} = story;
  const on = `${job === null ? "" : `Job ${job}: `}`;
  const subjectOf = `${job === null ? "Run" : "run"} ${runName} with ${name(tool, "a tool")}`;
  const time = lost > 0 ? `, ${sayNumber(lost)} h lost` : ", without lost time in the log";
  const ran = Number.isFinite(hours) ? `${sayNumber(hours)} circulating hours` : "an unknown number of hours";
  if (story.ended.length > 0) {
    const parts = sayList(story.ended.map((failed) => sayEnder(failed)));
    const against = outcome === "completed" ? ", though the run log calls the run completed" : "";
    return `${on}${subjectOf} was ended by ${parts}${hourOf(story)}${time}${against}.`;
  }
  switch (outcome) {
    case "failed downhole":
      return `${on}${subjectOf} failed downhole${hourOf(story)}${time}; no part is said to have ended it.`;
    case "lost in hole":
      return `${on}${subjectOf} was lost in hole after ${ran}${time}; what the tool looked like will not be known.`;
    case "pulled for other reason":
      return `${on}${subjectOf} was pulled for another reason after ${ran}${time}${seenAtTeardown(story)}.`;
    case "completed":
      return `${on}${subjectOf} was completed after ${ran}${time}${seenAtTeardown(story)}.`;
    default:
      return `${on}${on === "" ? "It" : "it"} is not logged how run ${runName} with ${name(tool, "a tool")} ended; it has ${ran}${time}${seenAtTeardown(story)}.`;
  }
}

function seenAtTeardown({found, log}: Story): string {
  if (found.length > 0) return `; the teardown found ${sayList(found.map(sayEnder))}`;
  if (log.torn !== null) return ", and the teardown found nothing failed";
  return log.next === null ? "; the tool has not been opened since" : "";
}

/** `the seal (SEAL-ABR, lip flattened or scored by grit)` */
function sayEnder({component, position, mode, reason}: FailedPart): string {
  const place = position === null || position === "1" ? "" : ` ${position}`;
  const seen = mode === null || mode.endsWith("-UNK") ? "mode not named" : modeLabel(mode);
  const by = {wear: "", chance: "", shop: ", a fault made at the bench", unknown: ""}[reason];
  return `the ${partOf(component)}${place} (${seen}${by})`;
}

function hourOf({failedAt, hours}: Story): string {
  if (failedAt > 0 && failedAt <= hours)
    return failedAt > 0.99 * hours
      ? ` at the end of its ${sayNumber(hours)} circulating hours`
      : ` ${sayNumber(failedAt)} h into its ${sayNumber(hours)} circulating hours`;
  return Number.isFinite(hours) ? ` within ${sayNumber(hours)} circulating hours` : "";
}

function teardownSentences({log, ended, unblamed, outcome, wireline, mud, regime}: Story): string[] {
  const sentences: string[] = [];
  const ran = [mud, regime].every((code) => code === "UNK" || code === "unknown")
    ? "Its mud and flow are not known"
    : `It ran in ${sayCondition(mud, regime)}`;
  const saved =
    ended.length > 0 || outcome === "failed downhole"
      ? wireline
        ? "; the tool was retrieved on wireline"
        : "; the string was tripped, as far as the log tells"
      : "";
  sentences.push(`${ran}${saved}.`);
  if (outcome === "lost in hole") {
    sentences.push("Its parts count as alive up to that run: a loss says nothing of how long they would have lasted.");
    return sentences;
  }
  if (log.torn !== null) {
    sentences.push(`The tool was opened on ${dayOf(log.torn.from)}.`);
  } else if (log.next !== null)
    sentences.push(
      `The tool was not opened before ${sayCount(log.next.after - log.at - 1, "more run")}; what the teardown of ${dayOf(log.next.from)} found cannot be laid to this run alone.`,
    );
  else sentences.push("No teardown after this run is logged.");
  if (unblamed)
    sentences.push(
      log.torn === null
        ? "Until it is torn down, nothing can be said of the cause."
        : "The teardown names no part that ended the run, so the cause stays open and the failure counts for no part.",
    );
  if (ended.length > 1)
    sentences.push(
      "More than one part is said to have ended the run; which came first cannot be told, and the lost time is shared between them.",
    );
  return sentences;
}

function expectation(inputs: CellInputs, failed: FailedPart, story: Story, models: ComponentModels): string[] {
  const {settings, all} = inputs;
  const {unit} = clockOf(settings);
  const {component, mode, reason, sinceRebuild} = failed;
  const since = Number.isFinite(sinceRebuild) ? `${sayNumber(sinceRebuild)} ${unit} after the last rebuild` : null;
  if (reason === "shop") {
    const shop = failed.life >= 0 ? wordAt(all.shop, failed.life) : null;
    const rate = benchRate(inputs, shop);
    const base =
      rate === null
        ? ""
        : ` Of ${sayCount(rate.of, "rebuild")}${shop === null ? "" : ` at ${shop}`}, ${sayNumber(rate.count)} ${rate.count === 1 ? "was" : "were"} followed by a run ended so: ${sayNumber((rate.count / rate.of) * 100)} per 100 (${sayLevel(settings)} ${sayLimits(rate.limits)}).`;
    return [
      `Age had no part in it: it was fitted or handled wrongly${since === null ? "" : ` and came ${since}`}, and no renewal interval would have prevented it.${base}`,
    ];
  }
  const policy = sayPolicy(
    failed,
    componentSettings(settings, component, wordAt(inputs.runs.columns.fleet, story.log.runs[story.log.at]!)),
    settings,
  );
  const soon =
    sinceRebuild <= SOON_H && (failed.fittedThere || reason === "unknown")
      ? [
          `It came ${since}${failed.fittedThere ? ", at which this part was fitted" : ""}; so soon, the fitting is suspect whatever the mode says.`,
        ]
      : [];
  if (reason === "chance") {
    const exposure = models.uses.get(component)?.exposure ?? 0;
    const rate = mode === null ? null : modeRate(inputs, component, mode, exposure);
    return [
      `The mode strikes at any age, so the ${partOf(component)}'s hours neither explain nor excuse it.` +
        (rate === null
          ? ""
          : ` It is seen ${sayCount(rate.count, "time")} in ${sayNumber(Math.round(rate.of))} ${unit} of ${partsOf(component)} in view: ${sayNumber((rate.count / rate.of) * 1000)} per 1,000 ${unit} (${sayLevel(settings)} ${sayLimits(rate.limits)}).`),
      ...soon,
      ...usualCause(failed),
    ];
  }
  const unnamed =
    reason === "unknown"
      ? ["The log names no mode; what follows takes it for wear, which is what most turn out to be."]
      : [];
  return [
    ...unnamed,
    sayPlacement(failed, settings),
    ...(policy === null ? [] : [policy]),
    ...soon,
    ...usualCause(failed),
  ];
}

/** The cause the vocabulary gives the mode, as a pointer and no finding. */
function usualCause({mode}: FailedPart): string[] {
  const known = mode === null ? undefined : MODES[mode];
  if (known === undefined || mode!.endsWith("-UNK") || mode!.endsWith("-GEN")) return [];
  return [
    `Such a mode usually goes back to ${known.cause.replace(/\d\.\d /g, "")} (mechanism: ${known.mechanism.replace(/^\d\.\d /, "")}); the teardown has to confirm it.`,
  ];
}

function foundSentences({found, ended, outcome}: Story): string[] {
  if (found.length === 0 || (ended.length === 0 && outcome !== "failed downhole" && outcome !== "lost in hole"))
    return [];
  return [`Beside it the teardown found ${sayList(found.map(sayEnder))}, which did not end the run.`];
}

function otherRuns({runs}: CellInputs, {runs: rows, run, job}: Subject): string[] {
  const others = rows.filter((row) => row !== run);
  if (job === null || others.length === 0) return [];
  const outcomes = new Map<string, number>();
  for (const row of others) {
    const outcome = wordAt(runs.columns.outcome, row) ?? "of unknown outcome";
    outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
  }
  const lost = others.reduce(
    (sum, row) => sum + (runs.columns.lost_time_h[row]! > 0 ? runs.columns.lost_time_h[row]! : 0),
    0,
  );
  const told = [...outcomes].map(([outcome, count]) => `${sayNumber(count)} ${outcome}`);
  return [
    `The job has ${sayCount(others.length, "other run")}: ${sayList(told)}${lost > 0 ? `, with ${sayNumber(lost)} h more lost` : ", without lost time"}.`,
  ];
}

function unknowns(inputs: CellInputs, subject: Subject, story: Story): string[] {
  const {columns} = inputs.runs;
  const lacks: string[] = [];
  const failed = story.ended.length > 0 || story.outcome === "failed downhole" || story.outcome === "lost in hole";
  if (story.outcome === null) lacks.push("how the run ended");
  if (failed && !(story.failedAt > 0)) lacks.push("the hour of the failure");
  if (!(story.hours >= 0)) lacks.push("the hours of the run");
  if (story.mud === "UNK") lacks.push("the mud");
  if (story.regime === "unknown") lacks.push("the flow past the tool");
  for (const [column, what] of [
    ["sand_pct", "the sand content"],
    ["temperature_max_C", "the temperature"],
  ] as const)
    if (!Number.isFinite(columns[column][subject.run]!)) lacks.push(what);
  if (story.ended.some(({reason}) => reason === "unknown")) lacks.push("the failure mode");
  if (story.log.before === null) lacks.push("the rebuild before the run");
  const questions = openQuestions(inputs, subject, story).filter(({tier}) => tier !== "elsewhere").length;
  return [
    ...(lacks.length > 0 ? [`Not in the logs: ${sayList(lacks)}.`] : []),
    ...(questions > 0
      ? [
          `${capital(sayCount(questions, "open data question"))} ${questions === 1 ? "touches" : "touch"} this run or the rebuilds around it; what is said here may change with the answer.`,
        ]
      : []),
  ];
}
