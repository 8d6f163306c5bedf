/**
 * The shop's count of hours against the run log, and rebuilds against the times their tool was in the hole.
 *
 * Between two rebuilds that both give the hours on the part in a slot, the part aged by their difference; the runs of
 * the tool that ended between them must add up to the same. Days are compared, not times: a teardown has no hour.
 */
import type {Draft} from "../draft.ts";
import type {RowRef} from "../mergeDrafts.ts";
import {DAY_MS} from "../values/readDate.ts";
import {placeOf} from "./duplicates.ts";
import {hoursBetween, type RunOf, type Window} from "./runHours.ts";
import {swappedSerials, type Swap} from "./swaps.ts";

/** Hours and share by which the two counts may disagree. */
const TOLERANCE_H = 4;
const TOLERANCE = 0.05;

/** Windows that begin earlier than this before the first run of the log are not covered by it. */
const COVERED_MS = 30 * DAY_MS;

/**
 * @param runs rows in use, by tool and end
 * @param rebuilds rows in use, by tool and date
 * @param runDrafts the run logs, for the rows that are not in use
 */
export function checkHours(runs: readonly RowRef[], rebuilds: readonly RowRef[], runDrafts: readonly Draft[]): void {
  if (runs.length === 0 || rebuilds.length === 0) return;
  const byTool = runsByTool(runs);
  const unused = unusedRuns(runDrafts);
  const windows = windowsOf(rebuilds, firstDay(byTool) - COVERED_MS / DAY_MS);
  const swaps = swappedSerials(byTool, windows, differs);
  for (const swap of swaps) tellSwap(swap);
  for (const window of windows) {
    if (swaps.some(({explained}) => explained.has(window))) continue;
    const ofTool = byTool.get(window.tool) ?? [];
    const logged = hoursBetween(ofTool, window.fromDay, window.toDay);
    if (differs(window.shopHours, logged)) tellDifference(window, ofTool, logged, unused);
  }
  checkPlaces(rebuilds, byTool);
}

function runsByTool(runs: readonly RowRef[]): Map<string, RunOf[]> {
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
function windowsOf(rebuilds: readonly RowRef[], earliest: number): Window[] {
  const known = new Map<string, {day: number; age: number}>();
  const windows = new Map<string, Window & {hours: number[]}>();
  for (const ref of rebuilds) {
    const {draft, row} = ref;
    const tool = draft.text("tool", row) ?? "";
    const slot = [tool, draft.text("component", row) ?? "", draft.text("position", row) ?? ""].join("\u0001");
    const day = Math.floor(draft.number("date", row) / DAY_MS);
    const age = draft.number("hours_on_part", row);
    const before = known.get(slot);
    if (before !== undefined && !Number.isNaN(age) && before.day < day && before.day >= earliest) {
      const key = `${tool}\u0001${day}`;
      const window = windows.get(key);
      const hours = age - before.age;
      if (window === undefined || before.day > window.fromDay)
        windows.set(key, {tool, fromDay: before.day, toDay: day, shopHours: 0, ref, slots: 0, hours: [hours]});
      else if (before.day === window.fromDay) window.hours.push(hours);
    }
    const next = ageAfter(draft, row, age);
    if (next !== null) known.set(slot, {day, age: next});
    else if (draft.text("action", row) !== "kept") known.delete(slot);
  }
  return [...windows.values()].map(({hours, ...window}) => ({
    ...window,
    shopHours: middle(hours),
    slots: hours.length,
  }));
}

/** Age of the part in the slot after a row; null where the row does not say. */
function ageAfter(draft: Draft, row: number, age: number): number | null {
  const action = draft.text("action", row);
  if (action === "kept") return Number.isNaN(age) ? null : age;
  const installed = draft.number("installed_with_h", row);
  if (!Number.isNaN(installed)) return installed;
  return action === "renewed" ? 0 : null;
}

function middle(values: readonly number[]): number {
  const ordered = [...values].sort((a, b) => a - b);
  return ordered[ordered.length >> 1] ?? NaN;
}

function differs(shop: number, logged: number): boolean {
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
function checkPlaces(rebuilds: readonly RowRef[], byTool: ReadonlyMap<string, readonly RunOf[]>): void {
  const told = new Set<string>();
  for (const ref of rebuilds) {
    const {draft, row} = ref;
    const tool = draft.text("tool", row) ?? "";
    const day = Math.floor(draft.number("date", row) / DAY_MS);
    const runs = byTool.get(tool);
    const key = runs === undefined ? tool : `${tool}\u0001${day}`;
    if (told.has(key)) continue;
    told.add(key);
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
