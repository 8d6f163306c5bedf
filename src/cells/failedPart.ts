/** Cell kind `failed-part`: the part that ended a run, placed on the life model of its kind. */
import {wordAt} from "../../shared/columnar.ts";
import {componentSettings} from "../../shared/settings.ts";
import {modeLabel} from "../../shared/vocabulary/index.ts";
import type {ComponentModels} from "../decisions/index.ts";
import type {CurvePoint} from "../charts/chart.ts";
import {livesBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {modelledLives, type ModelledLives} from "./intervals.ts";
import {params} from "./params.ts";
import {expectedness, sayRange, sayShareOf} from "./review/expected.ts";
import {equivalentAge, placePart, wearCurve, type Placement} from "./review/placement.ts";
import {reasonOf, storyOf, type FailedPart, type Story} from "./review/story.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {capital, clockOf, onlySentence, partOf, partsOf, sayCondition, sayCount, sayLevel, sayNumber} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

/** A part on its curve, with what is drawn beside it. */
interface Placed {
  readonly name: string;
  readonly failed: FailedPart;
  readonly placement: Placement;
  readonly curve: readonly CurvePoint[];
  /** ages at which others failed by wear, in hours of the run's condition */
  readonly others: readonly number[];
  readonly currentAge: number | null;
}

/** A part that was in the run and did not end it. */
interface Bystander {
  readonly component: string;
  readonly position: string | null;
  readonly ageAfter: number;
  readonly placement: Placement | null;
}

type Result =
  | NoSubject
  | {
      readonly found: true;
      readonly subject: Subject;
      readonly story: Story;
      readonly placed: readonly Placed[];
      readonly bystanders: readonly Bystander[];
    };

export const failedPart: CellKind<ReviewPicks, Result> = {
  kind: "failed-part",
  summary:
    "The part that ended a run on the life model of its kind: how many such parts fail by that age in that service.",
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const modelled = modelledLives(inputs, effects);
    const {models} = modelled;
    const story = storyOf(inputs, subject, models);
    return {
      found: true,
      subject,
      story,
      placed: [...story.ended, ...story.found].flatMap((failed) => placed(inputs, failed, subject, modelled)),
      bystanders: bystanders(inputs, story, models),
    };
  },

  present(result, _picks, inputs) {
    if (!("story" in result)) return onlySentence(result.sentence);
    const {subject, story, placed: parts, bystanders: rest} = result;
    const failures = [...story.ended, ...story.found];
    return {
      headline: headlineOf(result, inputs),
      figures: parts.map((part, i) => figureOf(part, i, inputs)),
      tables: rest.length > 0 ? [table(rest, subject, inputs)] : [],
      cautions: [
        ...failures
          .filter(({reason}) => reason === "shop" || reason === "chance")
          .map(
            ({component, reason}) =>
              `The ${partOf(component)} failed ${reason === "shop" ? "of a fault made at the bench" : "by chance"}; the curve is of wear, and its place on it says how worn it was, not why it failed.`,
          ),
        ...(parts.length > 0
          ? [
              "The part is itself among the failures behind the curve. One failure neither proves nor disproves a model: early ones are in it by design.",
              "Hours in other muds and flows are told in hours of the run's own condition by the paces of the condition model; temperature and sand are not in it.",
            ]
          : []),
      ],
    };
  },
};

function placed(
  inputs: CellInputs,
  failed: FailedPart,
  {fleet, tool}: Subject,
  {lives, models}: ModelledLives,
): Placed[] {
  const model = models.of(failed.component);
  if (model === null || "sentence" in failed.placement) return [];
  const {placement} = failed;
  const condition = `${placement.mud} ${placement.regime}`;
  const policy = componentSettings(inputs.settings, failed.component, fleet);
  const others: number[] = [];
  for (let life = 0; life < lives.rows; life++) {
    if (wordAt(lives.component, life) !== failed.component || !(lives.upper[life]! < Infinity)) continue;
    if (reasonOf(wordAt(lives.mode, life), lives.serviceInduced[life] === 1) !== "wear") continue;
    const age = equivalentAge(model, lives, life, condition);
    if (Number.isFinite(age)) others.push(age);
  }
  others.sort((a, b) => a - b);
  const typical = others[Math.floor(others.length * 0.9)] ?? placement.equivalent;
  return [
    {
      name: `the ${partOf(failed.component)} of ${tool ?? "the tool"}`,
      failed,
      placement,
      curve: wearCurve(model, condition, 1.15 * Math.max(placement.equivalent, typical), inputs.settings.level),
      others,
      currentAge: policy?.current_interval_h ?? null,
    },
  ];
}

function bystanders({all, settings}: CellInputs, {parts, ended, found}: Story, models: ComponentModels): Bystander[] {
  const failed = new Set([...ended, ...found].map(({life}) => life));
  return parts
    .filter(({life}) => !failed.has(life))
    .map((part) => {
      const placement = placePart(models.of(part.component), all, {...part, lower: null}, settings.level);
      return {...part, placement: "sentence" in placement ? null : placement};
    })
    .sort((a, b) => (b.placement?.failedBy.estimate ?? -1) - (a.placement?.failedBy.estimate ?? -1));
}

function headlineOf(
  {subject, story, bystanders: rest}: Extract<Result, {story: Story}>,
  {settings}: CellInputs,
): string {
  const {unit} = clockOf(settings);
  const oldest = rest.find(({placement}) => placement !== null);
  const others =
    oldest === undefined || oldest.placement === null
      ? ""
      : ` Of the parts that did not fail, the ${partOf(oldest.component)} had gone furthest: by its ${sayNumber(oldest.ageAfter)} ${unit} ${sayShareOf(oldest.placement.failedBy)} of such parts have failed by wear.`;
  const failures = [...story.ended, ...story.found];
  if (failures.length === 0) {
    const why =
      story.unblamed || story.outcome === "failed downhole"
        ? `No part is said to have ended run ${subject.runName}, so none can be placed on its life model.`
        : story.outcome === "lost in hole"
          ? `Run ${subject.runName} took its parts with it; none of them is known to have failed.`
          : `No part failed in run ${subject.runName} or at the teardown after it.`;
    return `${why}${others}`;
  }
  const told = failures.map((failed) => sayFailed(failed, settings));
  return `${told.join(" ")}${others}`;
}

function sayFailed(failed: FailedPart, settings: CellInputs["settings"]): string {
  const {unit} = clockOf(settings);
  const {component, mode, reason, part, placement, what} = failed;
  const name = `the ${partOf(component)}${mode === null ? "" : ` (${modeLabel(mode)})`}`;
  const how =
    what === "F5" ? "found failed at the teardown" : what === "shop" ? "spoilt at the bench" : "which ended the run";
  if ("sentence" in placement || part === null)
    return `${capital(name)}, ${how}, cannot be placed on a life model: ${"sentence" in placement ? placement.sentence : "its age is not known"}.`;
  const place = `${sayRange(placement)} of ${partsOf(component)} in ${sayCondition(placement.mud, placement.regime)} have failed by wear at its ${sayNumber(part.ageAfter)} ${unit}`;
  if (reason === "shop" || reason === "chance")
    return `${capital(name)}, ${how}, failed for another reason than wear; as worn as it was, ${place}.`;
  const verdict = {
    early: "unusually early",
    usual: "no unusual age",
    late: "later than most",
    untold: "whether that is early cannot be told within these limits",
  }[expectedness(placement)];
  return `${capital(name)}, ${how}: ${place} (${sayLevel(settings)}): ${verdict}.`;
}

function figureOf(
  {name, failed, placement, curve, others, currentAge}: Placed,
  at: number,
  inputs: CellInputs,
): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const condition = sayCondition(placement.mud, placement.regime);
  return {
    name: `failed-part-${at + 1}`,
    title: `By the age of ${name}, ${sayRange(placement)} of ${partsOf(failed.component)} have failed by wear`,
    caption: `Fraction of ${partsOf(failed.component)} failed by wear against age in hours of ${condition} by ${clock}; band: ${sayLevel(settings)}. The thick stroke is the run itself.${currentAge === null || currentAge === 0 ? "" : " Today's renewal age counts every hour alike and is drawn as if all were spent so."} Ticks: ${sayCount(others.length, "wear failure")} of other parts in view. From ${sayCount(placement.failures, "failure")} among ${sayCount(placement.lives, "life", "lives")}.`,
    alt: `A rising curve of the fraction failed by wear. ${capital(name)} stands on it at ${sayNumber(placement.equivalent)} ${unit} of ${condition}, where ${sayRange(placement)} have failed; the run began at ${sayNumber(placement.equivalentBefore)} ${unit}.`,
    chart: {
      kind: "placement",
      unit: `${unit} of ${condition}`,
      curve,
      part: {
        name,
        age: placement.equivalent,
        from: placement.equivalentLower,
        failed: placement.failedBy.estimate,
        behind: failed.life < 0 ? undefined : livesBehind(inputs, inputs.all, [failed.life], {mark: name}),
      },
      before: placement.equivalentBefore,
      marks:
        currentAge === null || currentAge === 0
          ? []
          : [{name: `today's renewal age ${sayNumber(currentAge)} ${unit}`, age: currentAge}],
      others,
    },
  };
}

function table(rest: readonly Bystander[], {runName}: Subject, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const of = (read: (placement: Placement) => number | null | undefined) =>
    rest.map(({placement}) => (placement === null ? null : (read(placement) ?? null)));
  const names = rest.map(
    ({component, position}) =>
      capital(partOf(component)) + (position === null || position === "1" ? "" : ` ${position}`),
  );
  return {
    name: "bystanders",
    title: `Parts that did not fail in run ${runName}`,
    columns: [
      {name: "part", label: "part", values: names},
      {name: "age", label: "age after the run", unit, format: "hours", values: rest.map(({ageAfter}) => ageAfter)},
      {
        name: "failed_by",
        label: "failed by wear by then",
        format: "share",
        values: of(({failedBy}) => tenth(failedBy.estimate)),
      },
      {
        name: "failed_by_lower",
        label: "lower limit",
        format: "share",
        values: of(({failedBy}) => tenth(failedBy.limits[0])),
      },
      {
        name: "failed_by_upper",
        label: "upper limit",
        format: "share",
        values: of(({failedBy}) => tenth(failedBy.limits[1])),
      },
      {name: "in_run", label: "risk taken in the run", format: "share", values: of(({inRun}) => tenth(inRun.estimate))},
      {name: "failures", label: "failures behind it", format: "count", values: of(({failures}) => failures)},
      {name: "lives", label: "lives behind it", format: "count", values: of(({lives}) => lives)},
    ],
    note: `Share of such parts that fail by wear by that age in the muds and flows the part has seen; the risk is of wear and chance together, given that it was good when the run began. ${capital(sayLevel(settings))}. Empty: no life model.`,
  };
}

/** To a tenth of a percent: finer than that no life model knows. */
const tenth = (share: number | null): number | null => (share === null ? null : Math.round(share * 1000) / 1000);
