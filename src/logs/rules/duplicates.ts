/** Rows that stand twice: in one file, or in exports that overlap. */
import type {Draft} from "../draft.ts";
import type {RowRef} from "../mergeDrafts.ts";
import {DAY_MS} from "../values/readDate.ts";

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
  const firsts = new Map<number, RowRef>();
  const groups = new Map<number, RowRef[]>();
  const numbering = new Numbering();
  for (const draft of drafts) {
    const hash = rowHash(draft, numbering);
    for (let row = 0; row < draft.rows; ++row) {
      if (!draft.used(row)) continue;
      const key = hash(row);
      const first = firsts.get(key);
      if (first === undefined) firsts.set(key, {draft, row});
      else {
        const group = groups.get(key);
        if (group === undefined) groups.set(key, [first, {draft, row}]);
        else group.push({draft, row});
      }
    }
  }
  for (const group of groups.values()) sortOut(group);
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

/** A number that rows of the same keys share; rows of other keys hardly ever do. */
function rowHash(draft: Draft, numbering: Numbering): (row: number) => number {
  const columns = SAME[draft.log].map((name) => {
    const texts = draft.texts.get(name);
    return {codes: texts?.codes ?? null, numbers: numbering.of(texts?.words ?? [])};
  });
  const dates = draft.log === "rebuilds" ? draft.numbers.get("date") : undefined;
  return (row) => {
    let hash = dates === undefined ? 7 : Math.floor(dates[row]! / DAY_MS);
    for (const {codes, numbers} of columns) {
      const code = codes?.[row] ?? -1;
      // below 2^32 times a million: the product stays an exact integer
      hash = (hash * 1_000_003 + (code < 0 ? 0 : numbers[code]!)) % 4_294_967_291;
    }
    return hash;
  };
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
function sortOut(group: readonly RowRef[]): void {
  for (let i = 1; i < group.length; ++i) {
    const later = group[i]!;
    for (let j = 0; j < i; ++j) {
      const earlier = group[j]!;
      if (!earlier.draft.used(earlier.row) || !later.draft.used(later.row) || !sameKeys(earlier, later)) continue;
      const other = differing(earlier, later);
      const place = placeOf(earlier, later);
      if (other.length === 0) {
        later.draft.tell("duplicate", later.row, {message: `the row says exactly what ${place} says`});
      } else if (later.draft.log === "rebuilds" || sameTime(earlier, later)) {
        const first = other[0]!;
        const [was, is] = [earlier, later].map(({draft, row}) => draft.raw(first, row) ?? "nothing");
        const message = `the row speaks of what ${place} speaks of, but differs in ${other.join(", ")} (${was!} there, ${is!} here)`;
        later.draft.tell("near-duplicate", later.row, {column: first, message});
      }
    }
  }
}

/** Runs are numbered anew on each job: the same number is the same run only when it starts or ends on the same day. */
function sameTime(a: RowRef, b: RowRef): boolean {
  return (["start", "end"] as const).some((name) => {
    const [first, second] = [a, b].map(({draft, row}) => draft.number(name, row));
    return Math.abs(first! - second!) < DAY_MS;
  });
}

/** Columns in which two rows differ, as they were understood. */
function differing(a: RowRef, b: RowRef): string[] {
  return Object.entries(a.draft.specs)
    .filter(([name, {type}]) => {
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
