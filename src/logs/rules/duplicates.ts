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

/** Sets aside what stands twice, and holds what says different things about one run or one finding. */
export function checkDuplicates(drafts: readonly Draft[]): void {
  const groups = new Map<string, RowRef[]>();
  for (const draft of drafts) {
    for (let row = 0; row < draft.rows; ++row) {
      if (!draft.used(row)) continue;
      const key = keyOf(draft, row);
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [{draft, row}]);
      else group.push({draft, row});
    }
  }
  for (const group of groups.values()) if (group.length > 1) sortOut(group);
}

function keyOf(draft: Draft, row: number): string {
  const day = draft.log === "rebuilds" ? draft.number("date", row) : "";
  const measured = draft.log === "rebuilds" ? draft.number("measured_mm", row) : "";
  return SAME[draft.log].map((name) => draft.text(name, row) ?? "").join("\u0001") + `\u0001${day}\u0001${measured}`;
}

/** Each row against the earlier ones of its group that are still used. */
function sortOut(group: readonly RowRef[]): void {
  for (let i = 1; i < group.length; ++i) {
    const later = group[i]!;
    for (let j = 0; j < i; ++j) {
      const earlier = group[j]!;
      if (!earlier.draft.used(earlier.row) || !later.draft.used(later.row)) continue;
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
