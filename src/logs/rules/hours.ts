/**
 * The shop's count of hours against the run log, and rebuilds against the times their tool was in the hole.
 *
 * Between two rebuilds that both give the hours on the part in a slot, the part aged by their difference; the runs of
 * the tool that ended between them must add up to the same. Days are compared, not times: a teardown has no hour.
 */
import type {Draft} from "../draft.ts";
import type {RowRef, RowRefs} from "../RowRefs.ts";
import {DAY_MS} from "../values/readDate.ts";
import {placeOf} from "./duplicates.ts";
import {hoursBetween, type RunOf, type Window} from "./runHours.ts";
import {swappedSerials, type Swap} from "./swaps.ts";

/** Hours and share by which the two counts may disagree. */
const TOLERANCE_H = 4;
const TOLERANCE = 0.05;

/** From so many windows and such a share of all on, the two counts differ by habit: it is told once. */
const HABIT_WINDOWS = 50;
const HABIT_SHARE = 0.3;

/** Windows that begin earlier than this before the first run of the log are not covered by it. */
const COVERED_MS = 30 * DAY_MS;

/**
 * @param runs rows in use, by tool and end
 * @param rebuilds rows in use, by tool and date
 * @param runDrafts the run logs, for the rows that are not in use
 */
export function checkHours(runs: RowRefs, rebuilds: RowRefs, runDrafts: readonly Draft[]): void {
  if (runs.length === 0 || rebuilds.length === 0) return;
  const byTool = runsByTool(runs);
  const unused = unusedRuns(runDrafts);
  const windows = windowsOf(rebuilds, firstDay(byTool) - COVERED_MS / DAY_MS);
  const odd = windows.flatMap((window) => {
    const logged = hoursBetween(byTool.get(window.tool) ?? [], window.fromDay, window.toDay);
    return differs(window.shopHours, logged) ? [{window, logged}] : [];
  });
  const habit = odd.length > HABIT_WINDOWS && odd.length > windows.length * HABIT_SHARE;
  if (habit) tellHabit(odd, windows.length);
  else {
    const swaps = swappedSerials(byTool, windows, differs);
    for (const swap of swaps) tellSwap(swap);
    const explained = new Set(swaps.flatMap((swap) => [...swap.explained]));
    for (const {window, logged} of odd)
      if (!explained.has(window)) tellDifference(window, byTool.get(window.tool) ?? [], logged, unused);
  }
  checkPlaces(rebuilds, byTool);
}

function runsByTool(runs: RowRefs): Map<string, RunOf[]> {
  const byTool = new Map<string, RunOf[]>();
  for (const ref of runs) {
    const {draft, row} = ref;
    const end = draft.number("end", row);
    const hours = draft.number("circulating_h", row);
    const start = draft.number("start", row);
    const startDay = Math.floor((Number.isNaN(start) ? end - hours * 3_600_000 : start) / DAY_MS);
    const tool = draft.text("tool", row) ?? "";
    const of = byTool.get(tool);
    const run = {ref, startDay, endDay: Math.floor(end / DAY_MS), hours};
    if (of === undefined) byTool.set(tool, [run]);
    else of.push(run);
  }
  return byTool;
}

function firstDay(byTool: ReadonlyMap<string, readonly RunOf[]>): number {
  let first = Infinity;
  for (const [run] of byTool.values()) if (run !== undefined) first = Math.min(first, run.startDay);
  return first;
}

/** Runs of each tool that are held or set aside, or have 0 hours: they may be what is missing. */
function unusedRuns(runs: readonly Draft[]): Map<string, RowRef[]> {
  const byTool = new Map<string, RowRef[]>();
  for (const draft of runs) {
    for (let row = 0; row < draft.rows; ++row) {
      const counted = draft.used(row) && draft.number("circulating_h", row) !== 0;
      const tool = counted ? null : draft.text("tool", row);
      if (tool !== null) byTool.set(tool, [...(byTool.get(tool) ?? []), {draft, row}]);
    }
  }
  return byTool;
}

/** What the shop counted in each slot between two rebuilds, one window for each tool and rebuild: the shortest. */
export function windowsOf(rebuilds: RowRefs, earliest: number): Window[] {
  const age = rebuilds.numbers("hours_on_part");
  if (age.every(Number.isNaN)) return [];
  const tools = rebuilds.words("tool");
  const actions = rebuilds.words("action");
  const installed = rebuilds.numbers("installed_with_h");
  const date = rebuilds.numbers("date");
  const {slots} = rebuilds;
  const knownDay = new Float64Array(slots.count).fill(NaN);
  const knownAge = new Float64Array(slots.count);
  // rows stand by tool and date: those of one rebuild follow each other
  const windows: (Omit<Window, "shopHours" | "slots"> & {readonly code: number; readonly hours: number[]})[] = [];
  for (let i = 0; i < rebuilds.length; ++i) {
    const slot = slots.of[i]!;
    const day = Math.floor(date[i]! / DAY_MS);
    const from = knownDay[slot]!;
    if (from < day && from >= earliest && !Number.isNaN(age[i]!)) {
      const code = tools.codes[i]!;
      const hours = age[i]! - knownAge[slot]!;
      const last = windows.at(-1);
      const window = last?.code === code && last.toDay === day ? last : null;
      if (window === null || from > window.fromDay) {
        if (window !== null) windows.pop();
        const tool = tools.words[code] ?? "";
        windows.push({code, tool, fromDay: from, toDay: day, ref: rebuilds.at(i), hours: [hours]});
      } else if (from === window.fromDay) window.hours.push(hours);
    }
    const action = actions.words[actions.codes[i]!];
    const next = ageAfter(action, age[i]!, installed[i]!);
    if (!Number.isNaN(next)) {
      knownDay[slot] = day;
      knownAge[slot] = next;
    } else if (action !== "kept") knownDay[slot] = NaN;
  }
  return windows.map(({hours, code: _, ...known}) => ({...known, shopHours: middle(hours), slots: hours.length}));
}

/** Age of the part in the slot after a row; NaN where the row does not say. */
function ageAfter(action: string | undefined, age: number, installed: number): number {
  if (action === "kept") return age;
  return Number.isNaN(installed) && action === "renewed" ? 0 : installed;
}

function middle(values: readonly number[]): number {
  const ordered = [...values].sort((a, b) => a - b);
  return ordered[ordered.length >> 1] ?? NaN;
}

export function differs(shop: number, logged: number): boolean {
  return Math.abs(shop - logged) > Math.max(TOLERANCE_H, TOLERANCE * Math.max(shop, logged));
}

function tellDifference(
  {tool, fromDay, toDay, shopHours, ref, slots}: Window,
  runs: readonly RunOf[],
  logged: number,
  unused: ReadonlyMap<string, RowRef[]>,
): void {
  const between = `between ${dayText(fromDay)} and ${dayText(toDay)}`;
  const parts = slots > 1 ? `${slots} parts` : "one part";
  const within = ({draft, row}: RowRef, name: string): boolean => {
    const day = Math.floor(draft.number(name, row) / DAY_MS);
    return day > fromDay && day <= toDay;
  };
  const held = (unused.get(tool) ?? []).filter((run) => within(run, "end") || within(run, "start"));
  const because =
    held.length === 0 ? "" : `; without hours or not used there: ${held.map((run) => placeOf(run, ref)).join(", ")}`;
  const counts = `the shop counted ${shown(shopHours)} h on ${parts} of ${tool} ${between}, the run log has ${shown(logged)} h${because}`;
  const rule = shopHours > logged ? "run-unlogged" : "hours-differ";
  const counted = runs.filter(({endDay}) => endDay > fromDay && endDay <= toDay).map((run) => run.ref);
  ref.draft.tell(rule, ref.row, {
    column: "hours_on_part",
    taken: `${shown(logged)} h`,
    message: counts,
    beside: [...held, ...counted],
  });
}

/** The shop counts otherwise throughout: by another clock, or for the tool and not for the part. */
function tellHabit(odd: readonly {readonly window: Window; readonly logged: number}[], windows: number): void {
  const ratios = odd.filter(({logged}) => logged > 0).map(({window, logged}) => window.shopHours / logged);
  const typical = ratios.length === 0 ? "" : `, typically ${middle(ratios).toFixed(2)} of the run log's`;
  const {draft} = odd[0]!.window.ref;
  const message = `between ${odd.length} of ${windows} pairs of rebuilds the shop counted other hours than the run log${typical}: they may be counted by different clocks`;
  draft.note("hours-differ", {column: "hours_on_part", taken: "the run log", message});
}

function tellSwap({tools, runs, before, after}: Swap): void {
  const [first] = runs;
  if (first === undefined) return;
  const {draft, row} = first.ref;
  const last = runs.at(-1)!;
  const lines = runs.map(({ref}) => placeOf(ref, first.ref));
  const shownLines = lines.length > 12 ? [...lines.slice(0, 12), `${lines.length - 12} more`] : lines;
  const message =
    `exchanging the serials of ${tools[0]} and ${tools[1]} in the runs that end from ${dayText(first.endDay)} to ${dayText(last.endDay)} ` +
    `brings the run log within ${shown(after)} h of the shop's counts, in place of ${shown(before)} h: ${shownLines.join(", ")}`;
  draft.tell("serials-swapped", row, {
    column: "tool",
    taken: draft.text("tool", row),
    message,
    beside: runs.slice(1).map(({ref}) => ref),
  });
}

/** Rebuilds of tools that were in the hole on that day, and of tools that have no runs; once for each rebuild. */
function checkPlaces(rebuilds: RowRefs, byTool: ReadonlyMap<string, readonly RunOf[]>): void {
  const tools = rebuilds.words("tool");
  const date = rebuilds.numbers("date");
  // rows stand by tool and date: those of one rebuild follow each other
  let last = {code: -1, day: NaN};
  for (let i = 0; i < rebuilds.length; ++i) {
    const code = tools.codes[i]!;
    const day = Math.floor(date[i]! / DAY_MS);
    if (code === last.code && day === last.day) continue;
    const tool = tools.words[code] ?? "";
    const runs = byTool.get(tool);
    const seen = runs === undefined && code === last.code;
    last = {code, day};
    if (seen) continue;
    const ref = rebuilds.at(i);
    const {draft, row} = ref;
    if (runs === undefined) {
      draft.tell("rebuild-tool-unknown", row, {
        column: "tool",
        message: `${tool} is rebuilt, but the run log has no run of it`,
      });
      continue;
    }
    const inside = runs.find(({startDay, endDay}) => startDay < day && day < endDay);
    if (inside === undefined) continue;
    const message = `${tool} was in the hole on ${dayText(day)}, from ${dayText(inside.startDay)} to ${dayText(inside.endDay)} (${placeOf(inside.ref, ref)})`;
    draft.tell("rebuild-inside-run", row, {column: "date", message, beside: [inside.ref]});
  }
}

function dayText(day: number): string {
  return new Date(day * DAY_MS).toISOString().slice(0, 10);
}

function shown(hours: number): string {
  return String(Number(hours.toFixed(1)));
}
