/** The scenario's own stories that live in the files: swapped serials, a serial claimed twice, an unlogged run. */
import type {GrownInspection, GrownRun} from "./grow.ts";
import type {Part} from "./parts.ts";
import type {Planter} from "./Planter.ts";

const DAY = 86_400_000;
/** about three months */
const SWAP_DAYS = 91;

/**
 * Two tools change names in the run log for three months: each row of one carries the serial of the other. The pair and
 * the day are chosen so that, under the wrong names, one tool seems to be in two holes at once.
 */
export function swapSerials(planter: Planter<GrownRun>, runs: readonly GrownRun[], serialColumn: string): void {
  const {a, b, from, overlapping} = findSwap(runs);
  for (const run of runs) {
    if ((run.tool !== a && run.tool !== b) || !inSwap(run, from)) continue;
    const row = planter.rowOf(run);
    planter.reserve(row);
    row.cells[planter.sheet.column(serialColumn)] = run.tool === a ? b : a;
  }
  const what = `from ${isoDay(from)} the rows of ${a} and ${b} carry each other's serial for ${SWAP_DAYS} days`;
  for (const run of overlapping) {
    planter.reserve(planter.rowOf(run));
    planter.mark(planter.rowOf(run), {id: "swapped-serials", defect: "story", what}, serialColumn);
  }
}

function inSwap(run: GrownRun, from: number): boolean {
  return run.start >= from && run.start < from + SWAP_DAYS * DAY;
}

function findSwap(runs: readonly GrownRun[]): {a: string; b: string; from: number; overlapping: GrownRun[]} {
  const tools = [...new Set(runs.map(({tool}) => tool))].sort();
  const middle = runs[Math.floor(runs.length / 2)]!.start;
  const first = Math.floor(middle / DAY) * DAY;
  for (let from = first; from < first + 60 * DAY; from += DAY) {
    for (const [i, a] of tools.entries()) {
      for (const b of tools.slice(i + 1)) {
        const overlapping = overlaps(runs, a, b, from);
        if (overlapping.length > 0) return {a, b, from, overlapping};
      }
    }
  }
  throw new Error("no two tools whose swapped serials would show");
}

/** Runs of the pair that, once the names are swapped, begin before another run of the same name has ended. */
function overlaps(runs: readonly GrownRun[], a: string, b: string, from: number): GrownRun[] {
  const named = runs
    .filter(({tool}) => tool === a || tool === b)
    .map((run) => ({run, name: inSwap(run, from) ? (run.tool === a ? b : a) : run.tool}));
  return named
    .filter(({run, name}) =>
      named.some(
        (other) => other.run !== run && other.name === name && other.run.start < run.start && run.start < other.run.end,
      ),
    )
    .map(({run}) => run);
}

/** A run between two rebuilds that nobody logged: its row is taken away, and the hours on the parts jump. */
export function loseRun(
  runs: Planter<GrownRun>,
  rebuilds: Planter<GrownInspection>,
  records: {readonly runs: readonly GrownRun[]; readonly inspections: readonly GrownInspection[]},
  hoursColumn: string,
): void {
  const lost = runs.pick(
    (run) => run.circulating > 80 && run.outcome === "completed" && rebuildAfter(run) !== undefined,
  );
  const row = rebuilds.rowOf(rebuildAfter(lost.truth)!);
  const what =
    `a run of ${lost.truth.circulating} circulating hours of ${lost.truth.tool} ` +
    `before this rebuild is not in the run log; the hours on the parts hold it`;
  runs.sheet.rows.splice(runs.sheet.rows.indexOf(lost.row), 1);
  rebuilds.reserve(row);
  rebuilds.mark(row, {id: "unlogged-run", defect: "story", what}, hoursColumn);

  /** the first row of the next rebuild, if other runs stand before it too and its young liner was counted and kept */
  function rebuildAfter({tool, end}: GrownRun): GrownInspection | undefined {
    const next = records.inspections.filter((one) => one.tool === tool && one.date >= end);
    const rebuild = next.filter((one) => one.rebuild === next[0]!.rebuild);
    const liner = rebuild.find((one) => one.component === "LINR");
    if (!liner?.hoursOnPart || liner.hoursOnPart > 900 || liner.action !== "kept") return undefined;
    const before = records.runs.filter(
      (run) => run.tool === tool && run.end <= liner.date && run.start > end - 60 * DAY,
    );
    return before.length > 1 ? rebuild[0] : undefined;
  }
}

/** A shop writes the serial of a part that still sits in another tool: one part, two tools. */
export function claimSerialTwice(
  planter: Planter<GrownInspection>,
  inspections: readonly GrownInspection[],
  parts: readonly Part[],
  serialColumn: string,
): void {
  for (const claim of inspections) {
    if (claim.component !== "SHFT" || claim.action !== "renewed" || claim.partBefore < 0) continue;
    const owner = inspections.find((one) => sitsAround(one, claim, inspections));
    const serial = owner && parts[owner.partAfter]!.serial;
    if (!owner || !serial) continue;
    const same = inspections.filter((one) => one.tool === claim.tool && one.partAfter === claim.partAfter);
    for (const one of same) {
      planter.reserve(planter.rowOf(one));
      planter.rowOf(one).cells[planter.sheet.column(serialColumn)] = serial;
    }
    const what = `${claim.tool} is given the shaft ${serial}, which stays in ${owner.tool} all the while`;
    planter.mark(planter.rowOf(claim), {id: "serial-claimed-twice", defect: "story", what}, serialColumn);
    return;
  }
  throw new Error("no shaft whose serial a second tool could claim");
}

/** Whether `one` fitted its part before the claim and the same part is still seen in its tool after it. */
function sitsAround(one: GrownInspection, claim: GrownInspection, inspections: readonly GrownInspection[]): boolean {
  if (one.component !== claim.component || one.tool === claim.tool || one.date >= claim.date) return false;
  return inspections.some(
    (later) =>
      later.tool === one.tool &&
      later.partBefore === one.partAfter &&
      later.action === "kept" &&
      later.date > claim.date,
  );
}

function isoDay(time: number): string {
  return new Date(time).toISOString().slice(0, 10);
}
