/** Cell kind `job-verdict`: what happened on a job, what ended the run, and whether that was to be expected. */
import {wordAt} from "../../shared/columnar.ts";
import type {Quantity} from "../../shared/units.ts";
import {mudLabel} from "../../shared/vocabulary/index.ts";
import type {CellInputs, CellKind, CellTable, TableColumn} from "./contract.ts";
import {modelledLives} from "./intervals.ts";
import {params} from "./params.ts";
import {dayOf} from "./review/dayOf.ts";
import {finiteOr, measuredColumn} from "./review/measured.ts";
import {storyOf, type Story} from "./review/story.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {verdictOf, type Verdict} from "./review/verdictText.ts";
import {clockOf, onlySentence} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

type Result =
  NoSubject | {readonly found: true; readonly subject: Subject; readonly verdict: Verdict; readonly story: Story};

export const jobVerdict: CellKind<ReviewPicks, Result> = {
  kind: "job-verdict",
  summary:
    "A job in one paragraph: what happened, what ended the run, whether that was to be expected, what is not known.",
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const {models} = modelledLives(inputs, effects);
    const story = storyOf(inputs, subject, models);
    return {found: true, subject, story, verdict: verdictOf(inputs, subject, story, models)};
  },

  present(result, _picks, inputs) {
    if (!("verdict" in result)) return {...onlySentence(result.sentence), asks: result.asks()};
    const {subject, verdict, story} = result;
    return {
      headline: [verdict.answer, ...verdict.rest, ...verdict.unknown].join(" "),
      figures: [],
      tables: [headTable(inputs, subject, story), runsTable(inputs, subject)],
      cautions: [
        ...subject.notes,
        "One run proves no model and disproves none. What a part failed of is for the teardown and people competent for it to say.",
      ],
      asks: subject.asks(),
    };
  },
};

/** What stands at the head of the page that is sent. */
function headTable(
  {runs, rebuilds}: CellInputs,
  {job, run, runName, tool, fleet}: Subject,
  {mud, log}: Story,
): CellTable {
  const {columns} = runs;
  const shop = log.before === null ? null : wordAt(rebuilds.columns.shop, log.before.rows[0]!);
  const opened =
    log.torn !== null
      ? dayOf(log.torn.from)
      : log.next !== null
        ? `${dayOf(log.next.from)}, after more runs`
        : "not yet";
  const rows: readonly (readonly [string, string])[] = [
    ["job", job ?? "not named in the log"],
    ["fleet", fleet ?? "not named in the log"],
    ["run reviewed", runName],
    ["tool", tool ?? "not named in the log"],
    ["mud", mud === "UNK" ? "not known" : mudLabel(mud)],
    ["in hole", Number.isFinite(columns.start[run]!) ? dayOf(columns.start[run]!) : "not logged"],
    ["out of hole", dayOf(columns.end[run]!)],
    [
      "rebuilt before",
      log.before === null ? "no rebuild is logged" : `${dayOf(log.before.from)}${shop === null ? "" : `, ${shop}`}`,
    ],
    ["opened after", opened],
    ["remark in the run log", wordAt(columns.comment, run) ?? "none"],
  ];
  return {
    name: "head",
    title: "The job",
    columns: [
      {name: "what", label: "what", values: rows.map(([what]) => what)},
      {name: "value", label: "as logged", values: rows.map(([, value]) => value)},
    ],
  };
}

function runsTable({runs, conditions, settings}: CellInputs, {runs: rows, run}: Subject): CellTable {
  const {columns} = runs;
  const hours = (name: string, label: string, values: Float64Array): TableColumn => ({
    name,
    label,
    unit: "h",
    format: "hours",
    values: rows.map((row) => finiteOr(values[row]!)),
  });
  const text = (name: string, label: string, of: (row: number) => string | null): TableColumn => ({
    name,
    label,
    values: rows.map(of),
  });
  const measured = (name: string, label: string, quantity: Quantity, values: Float64Array) =>
    measuredColumn({name, label, quantity, values, rows}, settings.units);
  return {
    name: "runs",
    title: rows.length === 1 ? "The run" : "Runs of the job",
    columns: [
      text(
        "run",
        "run",
        (row) => `${wordAt(columns.run, row) ?? "?"}${row === run && rows.length > 1 ? " (reviewed)" : ""}`,
      ),
      text("tool", "tool", (row) => wordAt(columns.tool, row)),
      {name: "end", label: "out of hole", format: "date", values: rows.map((row) => dayOf(columns.end[row]!))},
      text("outcome", "outcome", (row) => wordAt(columns.outcome, row)),
      hours("circulating_h", "circulating", columns.circulating_h),
      hours("below_rotary_h", "below rotary", columns.below_rotary_h),
      hours("failed_at_h", "failed at", columns.failed_at_h),
      hours("lost_time_h", "lost", columns.lost_time_h),
      text("mud", "mud", (row) => knownOr(wordAt(conditions.mud, row), "UNK")),
      measured("flow_lpm", "flow", "flow", columns.flow_lpm),
      measured("temperature_max_C", "hottest", "temperature", columns.temperature_max_C),
      measured("sand_pct", "sand", "percent", columns.sand_pct),
      measured("lcm_kgm3", "LCM", "concentration", columns.lcm_kgm3),
    ],
    note: `Ages and rates on this page are told by ${clockOf(settings).name}. LCM: lost-circulation material. An empty cell is not in the log.`,
  };
}

const knownOr = (word: string | null, unknown: string): string | null => (word === unknown ? null : word);
