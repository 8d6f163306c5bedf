/** Cell kind `tool-history`: the runs of a tool, its visits to the bench and the lives of its parts on one time line. */
import {wordAt} from "../../shared/columnar.ts";
import {COMPONENT_CODES, modeLabel} from "../../shared/vocabulary/index.ts";
import type {HistoryChart, HistoryEnd} from "../charts/chart.ts";
import {LIFE_ENDINGS, type LifeEnding} from "../lives/index.ts";
import {livesBehind, rebuildsBehind, runsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {choiceParam, params} from "./params.ts";
import {dayOf} from "./review/dayOf.ts";
import {partsInRun, type PartInRun} from "./review/partsInRun.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {toolLog, type ToolLog, type Visit} from "./review/toolLog.ts";
import {capital, clockOf, onlySentence, partOf, sayCount, sayList, sayNumber} from "./say.ts";

const SPANS = {run: "the time around the run", log: "the whole log"} as const;

const {schema, fields} = params({
  ...REVIEW_PARAMS,
  span: choiceParam("how much of the tool's history is drawn", SPANS, "run"),
});

interface Params extends ReviewPicks {
  readonly span: keyof typeof SPANS;
}

type Result =
  | NoSubject
  | {readonly found: true; readonly subject: Subject; readonly log: ToolLog; readonly parts: readonly PartInRun[]};

const DAY = 86_400_000;
/** The parts of a run may be years old; the strip goes back no further than this before it, and this beyond. */
const BACK = 270 * DAY;
const BEYOND = 75 * DAY;

export const toolHistory: CellKind<Params, Result> = {
  kind: "tool-history",
  summary: "The runs of a tool, its visits to the bench and the lives of its parts on one time line.",
  schema,
  fields,
  example: "span: run\n",

  compute(inputs, params) {
    const subject = reviewSubject(inputs, params);
    if (!subject.found) return subject;
    return {
      found: true,
      subject,
      log: toolLog(inputs, subject.run),
      parts: partsInRun(inputs.all, subject.tool, subject.run),
    };
  },

  present(result, params, inputs) {
    if (!("log" in result)) return onlySentence(result.sentence);
    const {subject, log} = result;
    if (log.tool === null)
      return onlySentence(`The run log names no tool for run ${subject.runName}, so it has no history.`);
    const window = windowOf(inputs, log, params.span);
    const inside = log.runs.filter((row) => between(inputs.runs.columns.end[row]!, window));
    const failed = inside.filter((row) => endOf(wordAt(inputs.runs.columns.outcome, row)) === "failed");
    const visits = log.visits.filter(({from}) => between(from, window));
    return {
      headline: headlineOf(inputs, result, {
        inside: inside.length,
        failed: failed.length,
        visits: visits.length,
        window,
      }),
      figures: [
        figureOf(inputs, result, window, {inside: inside.length, failed: failed.length, visits: visits.length}),
      ],
      tables: [
        ...(visits.length > 0 ? [visitsTable(inputs, visits, log)] : []),
        ...(result.parts.length > 0 ? [partsTable(inputs, result)] : []),
      ],
      cautions:
        log.visits.length === 0
          ? [`The rebuild log never mentions ${log.tool}, so no part of it has a life here.`]
          : result.parts.length === 0
            ? ["No part of the tool has a known age in this run; the findings of the logs say why."]
            : [],
    };
  },
};

interface Window {
  readonly from: number;
  readonly to: number;
}

const between = (time: number, {from, to}: Window): boolean => time >= from && time <= to;

function windowOf({runs}: CellInputs, log: ToolLog, span: Params["span"]): Window {
  const {start, end} = runs.columns;
  const beginOf = (row: number) => (Number.isFinite(start[row]!) ? start[row]! : end[row]! - DAY);
  const times = [
    ...log.runs.flatMap((row) => [beginOf(row), end[row]!]),
    ...log.visits.flatMap(({from, to}) => [from, to]),
  ];
  const first = times.reduce((a, b) => Math.min(a, b), Infinity);
  const last = times.reduce((a, b) => Math.max(a, b), -Infinity);
  const own = log.runs[log.at]!;
  return span === "log"
    ? {from: first - DAY, to: last + DAY}
    : {from: Math.max(first - DAY, beginOf(own) - BACK), to: Math.min(last + 3 * DAY, end[own]! + BEYOND)};
}

const FAILED_OUTCOMES = ["failed downhole", "lost in hole"];
const endOf = (outcome: string | null): HistoryEnd =>
  outcome === null ? "open" : FAILED_OUTCOMES.includes(outcome) ? "failed" : "well";

const FAILED_ENDINGS: readonly LifeEnding[] = ["failed in run", "found at teardown"];

interface Counts {
  readonly inside: number;
  readonly failed: number;
  readonly visits: number;
}

function headlineOf(
  {runs, settings}: CellInputs,
  {subject, log, parts}: Extract<Result, {log: ToolLog}>,
  {inside, failed, visits, window}: Counts & {readonly window: Window},
): string {
  const {unit} = clockOf(settings);
  const old = [...parts].sort((a, b) => b.ageBefore - a.ageBefore)[0];
  const since = log.at - (log.before?.after ?? 0);
  const opened =
    log.before === null
      ? "no rebuild before this run is logged"
      : since === 0
        ? `it came to this run straight from the bench (${dayOf(log.before.from)})`
        : `it had done ${sayCount(since, "run")} since the bench (${dayOf(log.before.from)}) when it went into this one`;
  return (
    `${log.tool} had ${sayCount(inside, "run")}, ${failed === 0 ? "none of them failed" : `${sayNumber(failed)} of them failed`}, and ${sayCount(visits, "visit")} to the bench from ${dayOf(window.from)} to ${dayOf(window.to)}; ${opened}. ` +
    (old === undefined
      ? ""
      : `The oldest part in run ${subject.runName} was the ${partOf(old.component)}, ${sayNumber(old.ageBefore)} ${unit} old when it began. `) +
    `In all the log has ${sayCount(log.runs.length, "run")} of ${log.tool}, ${sayNumber(Math.round(sumOf(runs.columns.circulating_h, log.runs)))} circulating h.`
  );
}

const sumOf = (column: Float64Array, rows: readonly number[]): number =>
  rows.reduce((sum, row) => sum + (column[row]! > 0 ? column[row]! : 0), 0);

function figureOf(
  inputs: CellInputs,
  {subject, log}: Extract<Result, {log: ToolLog}>,
  window: Window,
  {inside, failed, visits}: Counts,
): Figure {
  const {runs, all, settings} = inputs;
  const {unit} = clockOf(settings);
  const {start, end, outcome, run: number, circulating_h} = runs.columns;
  const code = all.tool.words.indexOf(log.tool!);
  const lives: HistoryChart["spans"][number][] = [];
  const lanes = new Map<string, number>();
  for (let life = 0; life < all.rows; life++) {
    if (all.tool.codes[life] !== code || !(all.ended[life]! >= window.from && all.began[life]! <= window.to)) continue;
    const component = wordAt(all.component, life) ?? "";
    const position = wordAt(all.position, life);
    const lane = `${partOf(component)}${position === null || position === "1" ? "" : ` ${position}`}`;
    const place = COMPONENT_CODES.indexOf(component);
    lanes.set(lane, place < 0 ? COMPONENT_CODES.length : place);
    const ending = LIFE_ENDINGS[all.ending[life]!]!;
    const mode = wordAt(all.mode, life);
    const age = `${sayNumber(all.ageAtEnd[life]!)} ${unit}`;
    lives.push({
      lane,
      what: "life",
      from: all.began[life]!,
      to: all.ended[life]!,
      end: FAILED_ENDINGS.includes(ending) ? "failed" : ending === "still running" ? "open" : "well",
      note: age,
      behind: livesBehind(inputs, all, [life], {mark: `${lane} from ${dayOf(all.began[life]!)}`}),
      label: `${lane}, ${dayOf(all.began[life]!)} to ${dayOf(all.ended[life]!)}, ${age}, ${ending}${mode === null ? "" : `: ${modeLabel(mode)}`}`,
    });
  }
  const named = [...lanes].sort((a, b) => a[1] - b[1] || (a[0] < b[0] ? -1 : 1)).map(([lane]) => lane);
  const beginOf = (row: number) => (Number.isFinite(start[row]!) ? start[row]! : end[row]! - DAY);
  return {
    name: "history",
    title: `${log.tool}: ${sayCount(inside, "run")}, ${failed === 0 ? "none failed" : `${sayNumber(failed)} failed`}, ${sayCount(visits, "visit")} to the bench`,
    caption: `Bars: runs, and below them each part while it was in the tool, with the age by ${clockOf(settings).name} at which it came out (or has now). A cross marks a failure. Parts whose age is not known are not drawn.`,
    alt: `Runs of ${log.tool} and lives of its ${sayCount(named.length, "kind of part", "kinds of parts")} from ${dayOf(window.from)} to ${dayOf(window.to)}; the tables below say the same in words.`,
    chart: {
      kind: "history",
      ...window,
      lanes: ["runs", ...named],
      spans: [
        ...log.runs.map((row) => ({
          lane: "runs",
          what: "run" as const,
          from: beginOf(row),
          to: end[row]!,
          end: endOf(wordAt(outcome, row)),
          note: "",
          behind: runsBehind(inputs, [row], {mark: `run ${wordAt(number, row) ?? "?"}`}),
          label: `run ${wordAt(number, row) ?? "?"}, ${dayOf(beginOf(row))} to ${dayOf(end[row]!)}, ${sayNumber(circulating_h[row]!)} circulating h, ${wordAt(outcome, row) ?? "outcome not logged"}`,
        })),
        ...lives,
      ],
      visits: log.visits.map((visit) => ({
        at: visit.from,
        label: `on the bench ${dayOf(visit.from)}`,
        behind: rebuildsBehind(inputs, visit.rows, {mark: `bench ${dayOf(visit.from)}`}),
      })),
      focus: {from: beginOf(subject.run), to: end[subject.run]!, label: `run ${subject.runName}`},
    },
  };
}

/** What the bench found and did at each visit, part by part in a line. */
function visitsTable({rebuilds, runs}: CellInputs, visits: readonly Visit[], log: ToolLog): CellTable {
  const {columns} = rebuilds;
  const did = (visit: Visit, test: (row: number) => boolean, say: (row: number) => string) => {
    const said = [...new Set(visit.rows.filter(test).map(say))];
    return said.length === 0 ? "" : sayList(said);
  };
  const part = (row: number) => partOf(wordAt(columns.component, row) ?? "part not named");
  const found = (row: number) => ["failed", "worn", "damaged at service"].includes(wordAt(columns.found, row) ?? "");
  return {
    name: "visits",
    title: "On the bench",
    columns: [
      {name: "date", label: "day", format: "date", values: visits.map(({from}) => dayOf(from))},
      {
        name: "after",
        label: "after run",
        values: visits.map(({after}) => (after === 0 ? "" : (wordAt(runs.columns.run, log.runs[after - 1]!) ?? ""))),
      },
      {name: "shop", label: "shop", values: visits.map(({rows}) => wordAt(columns.shop, rows[0]!))},
      {
        name: "found",
        label: "found bad",
        values: visits.map((visit) =>
          did(visit, found, (row) => {
            const mode = wordAt(columns.mode, row);
            return `${part(row)}${mode === null ? "" : ` (${mode})`}`;
          }),
        ),
      },
      {
        name: "renewed",
        label: "renewed",
        values: visits.map((visit) => did(visit, (row) => wordAt(columns.action, row) === "renewed", part)),
      },
    ],
    note: "Codes are the modes of the vocabulary. Rows held for a question are not here.",
  };
}

function partsTable({all, settings}: CellInputs, {parts}: Extract<Result, {log: ToolLog}>): CellTable {
  const {unit} = clockOf(settings);
  return {
    name: "parts",
    title: "Parts in the run",
    columns: [
      {
        name: "component",
        label: "part",
        values: parts.map(
          ({component, position}) =>
            capital(partOf(component)) + (position === null || position === "1" ? "" : ` ${position}`),
        ),
      },
      {name: "serial", label: "serial", values: parts.map(({life}) => wordAt(all.partSerial, life))},
      {name: "lot", label: "lot", values: parts.map(({life}) => wordAt(all.lot, life))},
      {name: "fitted", label: "fitted", format: "date", values: parts.map(({life}) => dayOf(all.began[life]!))},
      {name: "before", label: "age before", unit, format: "hours", values: parts.map(({ageBefore}) => ageBefore)},
      {name: "after", label: "age after", unit, format: "hours", values: parts.map(({ageAfter}) => ageAfter)},
      {
        name: "ending",
        label: "what became of it",
        values: parts.map(({life}) => becameOf(all, life)),
      },
    ],
  };
}

function becameOf({ending, mode, ended}: CellInputs["all"], life: number): string {
  const what = LIFE_ENDINGS[ending[life]!]!;
  const by = wordAt(mode, life);
  return `${what}${by === null ? "" : `: ${modeLabel(by)}`}${what === "still running" ? "" : `, ${dayOf(ended[life]!)}`}`;
}
