/**
 * Two tools whose serials were exchanged in the run log for a while: each one's hours miss the shop's counts, and
 * exchanging their runs over one stretch of time mends both.
 */
import {hoursBetween, type RunOf, type Window} from "./runHours.ts";

export interface Swap {
  readonly tools: readonly [string, string];
  /** runs that should change their serial, in order of time */
  readonly runs: readonly RunOf[];
  /** sum of the differences between shop and run log, as logged and with the runs exchanged, h */
  readonly before: number;
  readonly after: number;
  /** windows that the exchange mends */
  readonly explained: ReadonlySet<Window>;
}

/** An exchange must take away so much of the difference, and so many hours, to be believed. */
const MENDS = 0.75;
const FEWEST_HOURS = 40;

/** Every two tools are compared: with more that are odd it is no exchange of a few, and would take minutes. */
const MOST_TOOLS = 150;

export function swappedSerials(
  byTool: ReadonlyMap<string, readonly RunOf[]>,
  windows: readonly Window[],
  differs: (shop: number, logged: number) => boolean,
): Swap[] {
  const odd = new Map<string, Window[]>();
  const all = new Map<string, Window[]>();
  for (const window of windows) {
    put(all, window);
    if (differs(window.shopHours, hoursBetween(byTool.get(window.tool) ?? [], window.fromDay, window.toDay)))
      put(odd, window);
  }
  const tools = [...odd.keys()].sort();
  if (tools.length > MOST_TOOLS) return [];
  const swaps: Swap[] = [];
  tools.forEach((first, i) => {
    for (const second of tools.slice(i + 1)) {
      const oddOnes = [...odd.get(first)!, ...odd.get(second)!];
      if (!overlap(odd.get(first)!, odd.get(second)!)) continue;
      const swap = bestSwap([first, second], byTool, [...all.get(first)!, ...all.get(second)!], oddOnes, differs);
      if (swap !== null) swaps.push(swap);
    }
  });
  // one stretch of runs belongs to one exchange: the one that mends most
  const claimed = new Set<RunOf>();
  return swaps
    .sort((a, b) => b.before - b.after - (a.before - a.after))
    .filter(({runs}) => {
      if (runs.some((run) => claimed.has(run))) return false;
      for (const run of runs) claimed.add(run);
      return true;
    });
}

function put(byTool: Map<string, Window[]>, window: Window): void {
  const windows = byTool.get(window.tool);
  if (windows === undefined) byTool.set(window.tool, [window]);
  else windows.push(window);
}

function overlap(a: readonly Window[], b: readonly Window[]): boolean {
  return a.some((one) => b.some((other) => one.fromDay < other.toDay && other.fromDay < one.toDay));
}

/** The stretch of days that mends most, among those that begin and end with a run inside the odd windows. */
function bestSwap(
  tools: readonly [string, string],
  byTool: ReadonlyMap<string, readonly RunOf[]>,
  windows: readonly Window[],
  odd: readonly Window[],
  differs: (shop: number, logged: number) => boolean,
): Swap | null {
  const [first, second] = tools.map((tool) => byTool.get(tool) ?? []) as [readonly RunOf[], readonly RunOf[]];
  const from = Math.min(...odd.map(({fromDay}) => fromDay));
  const to = Math.max(...odd.map(({toDay}) => toDay));
  const runs = [...first, ...second]
    .filter(({endDay}) => endDay > from && endDay <= to)
    .sort((a, b) => a.endDay - b.endDay);
  const days = [...new Set(runs.map(({endDay}) => endDay))];
  const miss = (window: Window, start: number, end: number): number => {
    const [own, other] = window.tool === tools[0] ? [first, second] : [second, first];
    const logged = hoursBetween(own, window.fromDay, window.toDay);
    const low = Math.max(window.fromDay, start - 1);
    const high = Math.min(window.toDay, end);
    const moved = high > low ? hoursBetween(other, low, high) - hoursBetween(own, low, high) : 0;
    return Math.abs(window.shopHours - logged - moved);
  };
  const total = (start: number, end: number): number =>
    windows.reduce((sum, window) => sum + miss(window, start, end), 0);
  const before = total(1, 0);
  let best = {start: 1, end: 0, after: before};
  days.forEach((start, i) => {
    for (const end of days.slice(i)) {
      const after = total(start, end);
      if (after < best.after) best = {start, end, after};
    }
  });
  if (before - best.after < Math.max(FEWEST_HOURS, MENDS * before)) return null;
  const logged = (window: Window): number => hoursBetween(byTool.get(window.tool) ?? [], window.fromDay, window.toDay);
  const explained = new Set(
    odd.filter((window) => {
      const now = miss(window, best.start, best.end);
      return now < Math.abs(window.shopHours - logged(window)) && !differs(window.shopHours, window.shopHours + now);
    }),
  );
  const bothMended = tools.every((tool) => [...explained].some((window) => window.tool === tool));
  if (!bothMended) return null;
  const swapped = runs.filter(({endDay}) => endDay >= best.start && endDay <= best.end);
  return {tools, runs: swapped, before, after: best.after, explained};
}
