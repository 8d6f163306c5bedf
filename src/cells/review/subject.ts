/**
 * What a review is about: a job, one run of it, its tool. Chosen by the reader, else the job with the most lost time.
 *
 * A tool chosen narrows the jobs, a job the runs. A choice that does not go with a wider one is left aside and said so.
 */
import {wordAt, type Words} from "../../../shared/columnar.ts";
import {nearest} from "../../../shared/vocabulary/index.ts";
import type {AskedField, CellInputs} from "../contract.ts";
import {runsInView} from "../inView.ts";
import {asked, textParam} from "../params.ts";
import {sayCount, sayNothing, sayNumber} from "../say.ts";
import {dayOf} from "./dayOf.ts";

export const REVIEW_PARAMS = {
  job: asked(textParam("which job, by its alias; the one with the most lost time when left out")),
  run: asked(textParam("which run of the job; the one with the most lost time when left out")),
  tool: asked(textParam("which tool; any when left out")),
};

export interface ReviewPicks {
  readonly job: string | null;
  readonly run: string | null;
  readonly tool: string | null;
}

export interface Subject {
  readonly found: true;
  /** alias; null where the log names no job */
  readonly job: string | null;
  /** rows of the run table: every run of the job, by their end */
  readonly runs: readonly number[];
  /** the run reviewed */
  readonly run: number;
  readonly runName: string;
  readonly tool: string | null;
  readonly fleet: string | null;
  /** why this one, and what was left aside */
  readonly notes: readonly string[];
  readonly asks: () => readonly AskedField[];
}

export interface NoSubject {
  readonly found: false;
  readonly sentence: string;
  readonly asks: () => readonly AskedField[];
}

type Inputs = Pick<CellInputs, "rebuilds" | "runs" | "conditions" | "where">;

export function reviewSubject(inputs: Inputs, picks: ReviewPicks): Subject | NoSubject {
  const {runs} = inputs;
  if (runs.rows === 0)
    return {found: false, sentence: "The logs hold no runs, so there is no job to review.", asks: () => []};
  const {job, tool} = runs.columns;
  const notes: string[] = [];
  const everyRun = Int32Array.from({length: runs.rows}, (_, row) => row);
  const seen = runsInView(inputs);
  const inView = seen.length > 0 ? seen : everyRun;

  const ofTool = picks.tool === null ? null : named(tool, everyRun, picks.tool);
  if (ofTool !== null && ofTool.length === 0) return unknown("tool", picks.tool!, tool, inputs, inView, null);
  const jobRows = picks.job === null ? null : named(job, everyRun, picks.job);
  if (jobRows !== null && jobRows.length === 0) return unknown("job", picks.job!, job, inputs, inView, ofTool);
  const runRows = picks.run === null ? null : rowsOfRun(inputs, picks.run);
  if (runRows !== null && runRows.length === 0)
    return unknown("run", picks.run!, runs.columns.run, inputs, inView, ofTool);

  let rows: readonly number[] | Int32Array = ofTool ?? (jobRows === null && runRows === null ? inView : everyRun);
  if (ofTool !== null && jobRows === null && runRows === null) {
    const both = ofTool.filter((row) => inView.includes(row));
    if (both.length > 0) rows = both;
  }
  let chosenBy: "default" | "job" | "run" | "tool" = picks.tool === null ? "default" : "tool";
  if (jobRows !== null) {
    const kept = jobRows.filter((row) => ofTool?.includes(row) ?? true);
    if (kept.length === 0) notes.push(`${picks.tool} was not on job ${picks.job}, so that job is left aside.`);
    else {
      rows = kept;
      chosenBy = "job";
    }
  }
  let run: number | null = null;
  if (runRows !== null) {
    const kept = runRows.filter((row) => (rows as readonly number[]).includes(row));
    if (kept.length === 0)
      notes.push(
        `Run ${picks.run} is not of the ${chosenBy === "job" ? `job ${picks.job}` : `tool ${picks.tool}`}, so it is left aside.`,
      );
    else {
      run = worst(runs.columns, kept);
      if (chosenBy !== "job") chosenBy = "run";
    }
  }
  if (run === null) {
    const byJob = worstJob(runs.columns, rows);
    run = worst(runs.columns, byJob);
    if (chosenBy === "default" || chosenBy === "tool")
      notes.unshift(whyTaken(runs.columns, byJob, chosenBy === "tool" ? picks.tool : null, picks));
  }
  const alias = wordAt(job, run);
  const ofJob = alias === null ? [run] : Array.from(everyRun).filter((row) => job.codes[row] === job.codes[run!]);
  if (seen.length > 0 && !inView.includes(run))
    notes.push("This run lies outside the page's filters; it is shown since it was chosen.");
  if (seen.length === 0) notes.push(`${sayNothing("runs", inputs)} The whole log was looked through.`);
  const byEnd = ofJob.sort((a, b) => runs.columns.end[a]! - runs.columns.end[b]!);
  return {
    found: true,
    job: alias,
    runs: byEnd,
    run,
    runName: wordAt(runs.columns.run, run) ?? "without a number",
    tool: wordAt(tool, run),
    fleet: wordAt(runs.columns.fleet, run),
    notes,
    asks: () => asksOf(inputs, {inView, ofTool, job: alias, ofJob: byEnd, run, notes}),
  };
}

type RunColumns = CellInputs["runs"]["columns"];

const plain = (text: string): string => text.trim().toLowerCase();

function named({codes, words}: Words, rows: Int32Array, text: string): number[] {
  const wanted = words.map((word) => plain(word) === plain(text));
  return Array.from(rows).filter((row) => wanted[codes[row]!] === true);
}

/** A run by its number, or by number and tool where several tools share one: `7 @ K1-205`. */
function rowsOfRun({runs}: Inputs, text: string): number[] {
  const every = Int32Array.from({length: runs.rows}, (_, row) => row);
  const whole = named(runs.columns.run, every, text);
  const [, number = "", tool = ""] = /^(.*?)\s+@\s+(.*)$/.exec(text) ?? [];
  if (whole.length > 0 || number === "") return whole;
  return named(runs.columns.run, every, number).filter(
    (row) => plain(wordAt(runs.columns.tool, row) ?? "") === plain(tool),
  );
}

const lostIn = ({lost_time_h}: RunColumns, row: number): number => (lost_time_h[row]! > 0 ? lost_time_h[row]! : 0);
const troubled = ({outcome}: RunColumns, row: number): number =>
  ({"lost in hole": 2, "failed downhole": 1})[wordAt(outcome, row) ?? ""] ?? 0;

/** The run with the most lost time; of equals the one that failed, then the last. */
function worst(columns: RunColumns, rows: readonly number[]): number {
  return rows.reduce((best, row) => {
    const order =
      lostIn(columns, row) - lostIn(columns, best) ||
      troubled(columns, row) - troubled(columns, best) ||
      columns.end[row]! - columns.end[best]!;
    return order > 0 ? row : best;
  });
}

/** Rows of the job with the most lost time among some runs; a run without a job stands for itself. */
function worstJob(columns: RunColumns, rows: readonly number[] | Int32Array): readonly number[] {
  const jobs = new Map<number, {rows: number[]; lost: number; trouble: number; end: number}>();
  for (const row of rows) {
    const code = columns.job.codes[row]!;
    const key = code < 0 ? -1 - row : code;
    const job = jobs.get(key) ?? {rows: [], lost: 0, trouble: 0, end: -Infinity};
    jobs.set(key, job);
    job.rows.push(row);
    job.lost += lostIn(columns, row);
    job.trouble = Math.max(job.trouble, troubled(columns, row));
    job.end = Math.max(job.end, columns.end[row]!);
  }
  const [first, ...rest] = [...jobs.values()];
  return rest.reduce((a, b) => ((b.lost - a.lost || b.trouble - a.trouble || b.end - a.end) > 0 ? b : a), first!).rows;
}

function whyTaken(columns: RunColumns, rows: readonly number[], tool: string | null, {job}: ReviewPicks): string {
  const lost = rows.reduce((sum, row) => sum + lostIn(columns, row), 0);
  const among = tool === null ? "in view" : `of ${tool}`;
  const what = rows.length > 0 && wordAt(columns.job, rows[0]!) === null ? "run" : "job";
  const why =
    lost > 0
      ? `the ${what} ${among} with the most lost time, ${sayNumber(lost)} h`
      : rows.some((row) => troubled(columns, row) > 0)
        ? `the last ${what} ${among} with a failed run; none lost time`
        : `the last ${what} ${among}; none lost time and none failed`;
  return job === null
    ? `Nothing was chosen${tool === null ? "" : " but the tool"}, so this is ${why}.`
    : `This is ${why}.`;
}

function unknown(
  what: "job" | "run" | "tool",
  text: string,
  {words, codes}: Words,
  inputs: Inputs,
  inView: Int32Array,
  ofTool: readonly number[] | null,
): NoSubject {
  const used = [...new Set(codes)].flatMap((code) => (code < 0 ? [] : [words[code]!]));
  const near = nearest(plain(text), used.map(plain));
  const proposal = used.find((word) => near !== null && plain(word) === near);
  const holds =
    used.length === 0
      ? `The run log names no ${what}s.`
      : `The run log has ${sayCount(used.length, what)}, e.g. ${used.slice(0, 3).join(", ")}.`;
  const offers = () =>
    asksOf(inputs, {
      inView,
      ofTool: what === "tool" ? null : ofTool,
      job: null,
      ofJob: [],
      run: null,
      notes: [],
    });
  return {
    found: false,
    sentence:
      `No ${what} is called “${text}”${proposal === undefined ? "" : `; did you mean ${proposal}?`} ${proposal === undefined ? `in the run log. ${holds}` : holds}`.trim(),
    asks: () => offers().map((field) => (field.name === what ? {...field, value: text} : field)),
  };
}

function asksOf(
  inputs: Inputs,
  {
    inView,
    ofTool,
    job,
    ofJob,
    run,
    notes,
  }: {
    readonly inView: Int32Array;
    readonly ofTool: readonly number[] | null;
    readonly job: string | null;
    readonly ofJob: readonly number[];
    readonly run: number | null;
    readonly notes: readonly string[];
  },
): AskedField[] {
  const {columns} = inputs.runs;
  const tools = tally(columns, columns.tool, inView);
  const jobs = tally(columns, columns.job, ofTool ?? inView);
  const [note] = notes;
  const runs = (ofTool === null ? ofJob : ofJob.filter((row) => ofTool.includes(row))).map((row) => ({
    value: runValue(inputs, row),
    label: [
      wordAt(columns.run, row) ?? "without a number",
      wordAt(columns.tool, row) ?? "tool not named",
      dayOf(columns.end[row]!),
      `${wordAt(columns.outcome, row) ?? "outcome not logged"}${lostIn(columns, row) > 0 ? `, ${sayNumber(lostIn(columns, row))} h lost` : ""}`,
    ].join(" · "),
  }));
  const own = run === null ? null : wordAt(columns.tool, run);
  return [
    ...(jobs.length > 0
      ? [
          {
            name: "job",
            label: "job",
            kind: "one",
            choices: jobs,
            value: job ?? "none",
            ...(note === undefined ? {} : {note}),
          } as const,
        ]
      : []),
    {
      name: "run",
      label: "run of the job",
      kind: "one",
      choices: runs,
      value: run === null ? "" : runValue(inputs, run),
    },
    {name: "tool", label: "tool", kind: "one", choices: tools, value: own ?? ""},
  ];
}

function runValue({runs}: Inputs, row: number): string {
  const number = wordAt(runs.columns.run, row) ?? "";
  const code = runs.columns.run.codes[row]!;
  let same = 0;
  for (const other of runs.columns.run.codes) if (other === code) same++;
  return same > 1 ? `${number} @ ${wordAt(runs.columns.tool, row) ?? ""}` : number;
}

/** Words of a column with what their runs lost, the most first. */
function tally(columns: RunColumns, {codes, words}: Words, rows: readonly number[] | Int32Array) {
  const sums = new Map<number, {runs: number; lost: number; failed: number; end: number}>();
  for (const row of rows) {
    const code = codes[row]!;
    if (code < 0) continue;
    const sum = sums.get(code) ?? {runs: 0, lost: 0, failed: 0, end: -Infinity};
    sums.set(code, sum);
    sum.runs++;
    sum.lost += lostIn(columns, row);
    sum.failed += troubled(columns, row) > 0 ? 1 : 0;
    sum.end = Math.max(sum.end, columns.end[row]!);
  }
  return [...sums]
    .sort(([, a], [, b]) => b.lost - a.lost || b.failed - a.failed || b.end - a.end)
    .map(([code, {runs, lost, failed}]) => ({
      value: words[code]!,
      label: `${words[code]!} · ${lost > 0 ? `${sayNumber(lost)} h lost` : failed > 0 ? "no time lost" : "no failure"} in ${sayCount(runs, "run")}`,
    }));
}
