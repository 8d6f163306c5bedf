/** Rows that stand twice: in one file, or in exports that overlap. */
import type {Draft} from "../draft.ts";
import {listed} from "../listed.ts";
import type {RowRef} from "../RowRefs.ts";
import {DAY_MS} from "../values/readDate.ts";
import {sameNumbers} from "./sameNumbers.ts";

/** Columns by which two rows speak of the same thing; the last of a run is compared by day. */
const SAME = {
  runs: ["tool", "run"],
  lives: [],
  rebuilds: ["tool", "rebuild", "component", "position", "action", "found", "mode", "part_serial", "measure"],
} as const;

/**
 * Sets aside what stands twice, and holds what says different things about one run or one finding. Rows are put together
 * by a hash of their keys, so that a row that stands alone costs one number.
 */
export function checkDuplicates(drafts: readonly Draft[]): void {
  const groups = groupsOf(drafts);
  const overlaps = new Overlaps(drafts);
  for (const group of groups.values()) sortOut(group, overlaps);
  overlaps.tell();
}

/** Used rows whose hash another one has too, in the order of files and rows. */
function groupsOf(drafts: readonly Draft[]): ReadonlyMap<number, readonly RowRef[]> {
  const total = drafts.reduce((sum, {rows}) => sum + rows, 0);
  const hashes = new Uint32Array(total);
  const used = new Uint8Array(total);
  const numbering = drafts.length > 1 ? new Numbering() : null;
  const starts: number[] = [];
  let start = 0;
  for (const draft of drafts) {
    starts.push(start);
    hashRows(draft, numbering, hashes.subarray(start, start + draft.rows));
    for (let row = 0; row < draft.rows; ++row) used[start + row] = draft.used(row) ? 1 : 0;
    start += draft.rows;
  }
  const refAt = (at: number): RowRef => {
    const of = starts.findLastIndex((first) => first <= at);
    return {draft: drafts[of]!, row: at - starts[of]!};
  };
  const groups = new Map<number, RowRef[]>();
  for (const [first, later] of sameNumbers(hashes, used)) {
    const group = groups.get(first);
    if (group === undefined) groups.set(first, [refAt(first), refAt(later)]);
    else group.push(refAt(later));
  }
  return groups;
}

/** Numbers words across all drafts of a log. */
class Numbering {
  readonly #numbers = new Map<string, number>();

  of(words: readonly string[]): Int32Array {
    return Int32Array.from(words, (word) => {
      const known = this.#numbers.get(word);
      if (known !== undefined) return known;
      this.#numbers.set(word, this.#numbers.size + 1);
      return this.#numbers.size;
    });
  }
}

/** Gives rows of the same keys the same number; rows of other keys hardly ever share one. Column by column. */
function hashRows(draft: Draft, numbering: Numbering | null, hashes: Uint32Array): void {
  const dates = draft.log === "rebuilds" ? draft.numbers.get("date") : undefined;
  if (dates !== undefined)
    for (let row = 0; row < hashes.length; ++row) hashes[row] = mixed(0, Math.floor(dates[row]! / DAY_MS));
  for (const name of SAME[draft.log]) {
    const texts = draft.texts.get(name);
    const numbers = numbering?.of(texts?.words ?? []) ?? null; // the words of one column differ as they are
    for (let row = 0; row < hashes.length; ++row) {
      const code = texts?.codes[row] ?? -1;
      hashes[row] = mixed(hashes[row]!, code < 0 ? 0 : (numbers?.[code] ?? code + 1));
    }
  }
}

/** The finalizer of MurmurHash3 (Appleby, public domain), with a number more mixed in. */
function mixed(hash: number, number: number): number {
  let bits = Math.imul(hash ^ number, 0x85ebca6b);
  bits = Math.imul(bits ^ (bits >>> 13), 0xc2b2ae35);
  return bits ^ (bits >>> 16);
}

/** True where two rows speak of the same thing. */
function sameKeys(a: RowRef, b: RowRef): boolean {
  const rebuilds = a.draft.log === "rebuilds";
  return (
    SAME[a.draft.log].every((name) => a.draft.text(name, a.row) === b.draft.text(name, b.row)) &&
    (!rebuilds ||
      ["date", "measured_mm"].every((name) => Object.is(a.draft.number(name, a.row), b.draft.number(name, b.row))))
  );
}

/** Each row against the earlier ones of its group that are still used. */
function sortOut(group: readonly RowRef[], overlaps: Overlaps): void {
  const sameTime = timesOf(group);
  for (let i = 1; i < group.length; ++i) {
    const later = group[i]!;
    for (let j = 0; j < i; ++j) {
      // first what costs least: a number that comes back on every job makes large groups
      if (!sameTime(j, i)) continue;
      const earlier = group[j]!;
      if (!later.draft.used(later.row)) break;
      if (!earlier.draft.used(earlier.row) || !sameKeys(earlier, later)) continue;
      const other = differing(earlier, later);
      const across = earlier.draft.sheet.file !== later.draft.sheet.file;
      if (other.length === 0) {
        if (across) overlaps.add(earlier, later);
        else
          later.draft.tell("duplicate", later.row, {
            message: `the row says exactly what ${placeOf(earlier, later)} says`,
          });
      } else {
        // within a file the first row stands; of two exports the one that reaches further knows better
        const [used, held] =
          across && overlaps.isNewer(later.draft, earlier.draft) ? [later, earlier] : [earlier, later];
        const first = other[0]!;
        const [there, here] = [used, held].map(({draft, row}) => draft.raw(first, row) ?? "nothing");
        const message = `the row speaks of what ${placeOf(used, held)} speaks of, but differs in ${other.join(", ")} (${there!} there, ${here!} here)`;
        held.draft.tell(across ? "changed-between-files" : "near-duplicate", held.row, {
          column: first,
          message,
          beside: [used],
        });
      }
    }
  }
}

/** Rows that two exports share: told once for each pair of files, so that a re-import does not bury all else. */
class Overlaps {
  readonly #order: readonly Draft[];
  readonly #reach: ReadonlyMap<Draft, number>;
  readonly #lines = new Map<Draft, Map<Draft, number[]>>();

  constructor(drafts: readonly Draft[]) {
    this.#order = drafts;
    this.#reach = new Map(drafts.map((draft) => [draft, reachOf(draft)]));
  }

  /** True where a file's last date is later than the other's, or the same and it was given later. */
  isNewer(a: Draft, b: Draft): boolean {
    const difference = (this.#reach.get(a) ?? 0) - (this.#reach.get(b) ?? 0);
    return difference > 0 || (difference === 0 && this.#order.indexOf(a) > this.#order.indexOf(b));
  }

  /** Sets one of two equal rows aside: the one whose file has fewer columns, else the later one. */
  add(earlier: RowRef, later: RowRef): void {
    const [kept, set] = earlier.draft.cellOf.size < later.draft.cellOf.size ? [later, earlier] : [earlier, later];
    set.draft.mark(set.row, "set aside");
    const byFile = this.#lines.get(set.draft) ?? new Map<Draft, number[]>();
    this.#lines.set(set.draft, byFile);
    const lines = byFile.get(kept.draft) ?? [];
    byFile.set(kept.draft, lines);
    lines.push(set.draft.sheet.line[set.row] ?? 0);
  }

  tell(): void {
    for (const [draft, byFile] of this.#lines) {
      for (const [{sheet}, lines] of byFile) {
        const many = lines.length === 1 ? "1 row says" : `${lines.length} rows say`;
        const message = `${many} exactly what ${sheet.file} says and ${lines.length === 1 ? "is" : "are"} not counted again: ${listed(lines)}`;
        draft.note("overlap", {message});
      }
    }
  }
}

/** The last date of a file, ms since 1970. */
function reachOf(draft: Draft): number {
  let last = -Infinity;
  for (const ms of draft.numbers.get(draft.log === "rebuilds" ? "date" : "end") ?? []) if (ms > last) last = ms;
  return last;
}

/** Runs are numbered anew on each job: the same number is the same run only when it starts or ends on the same day. */
function timesOf(group: readonly RowRef[]): (i: number, j: number) => boolean {
  if (group[0]?.draft.log === "rebuilds") return () => true;
  const [starts, ends] = ["start", "end"].map((name) =>
    Float64Array.from(group, ({draft, row}) => draft.number(name, row)),
  );
  return (i, j) => Math.abs(ends![i]! - ends![j]!) < DAY_MS || Math.abs(starts![i]! - starts![j]!) < DAY_MS;
}

/** Columns in which two rows differ, as they were understood; of two files, columns that both have. */
function differing(a: RowRef, b: RowRef): string[] {
  const across = a.draft.sheet.file !== b.draft.sheet.file;
  return Object.entries(a.draft.specs)
    .filter(([name, {type}]) => {
      if (across && (!a.draft.cellOf.has(name) || !b.draft.cellOf.has(name))) return false;
      if (type === "text") return a.draft.text(name, a.row) !== b.draft.text(name, b.row);
      if (type === "flag") return (a.draft.flags.get(name)?.[a.row] ?? -1) !== (b.draft.flags.get(name)?.[b.row] ?? -1);
      return !Object.is(a.draft.number(name, a.row), b.draft.number(name, b.row));
    })
    .map(([name]) => name);
}

/** The line of a row, with its file where that is another one. */
export function placeOf({draft, row}: RowRef, from: RowRef): string {
  const line = `line ${draft.sheet.line[row] ?? 0}`;
  return draft.sheet.file === from.draft.sheet.file ? line : `${line} of ${draft.sheet.file}`;
}
