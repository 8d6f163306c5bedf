/** What changed between the logs a page was kept on and those that are open, and which of its answers moved. */
import type {KeptAnswer, Stands} from "./stands.ts";

export interface GroundChange {
  /** e.g. `runs.csv` or `settings: level` */
  readonly what: string;
  /** in words; null: it was not there */
  readonly before: string | null;
  readonly now: string | null;
}

export type Ground = Pick<Stands, "version" | "files" | "settings">;

/** Everything that differs in what answers stand on, what was there before first; empty when nothing does. */
export function changedGround(before: Ground, now: Ground): GroundChange[] {
  const changes: GroundChange[] = [];
  const add = (what: string, old: string | null, young: string | null): void => {
    if (old !== young) changes.push({what, before: old, now: young});
  };
  for (const name of namesOf(
    before.files.map(({name}) => name),
    now.files.map(({name}) => name),
  )) {
    const [old, young] = [before.files, now.files].map((files) => files.find((file) => file.name === name));
    if (old?.digest === young?.digest && old?.rows === young?.rows) continue;
    const [was, is] = [old, young].map((file) => (file === undefined ? null : rowsOf(file.rows)));
    if (was === is) changes.push({what: name, before: `${was} as they were`, now: `${is}, with other content`});
    else add(name, was ?? null, is ?? null);
  }
  for (const name of namesOf(
    before.settings.map(({name}) => name),
    now.settings.map(({name}) => name),
  )) {
    const [was, is] = [before, now].map(
      ({settings}) => settings.find((setting) => setting.name === name)?.value ?? null,
    );
    add(`settings: ${name}`, was ?? null, is ?? null);
  }
  add("Wearbook", before.version, now.version);
  return [...changes.filter(({before: was}) => was !== null), ...changes.filter(({before: was}) => was === null)];
}

export type AnswerChange =
  | {readonly how: "same"}
  /** the sentence is another */
  | {readonly how: "moved"; readonly before: string; readonly now: string}
  /** the sentence stands, numbers in its figures or tables do not */
  | {readonly how: "below"; readonly before: string}
  /** nothing was kept of this cell */
  | {readonly how: "new"};

export function compareAnswer(before: KeptAnswer | undefined, now: KeptAnswer): AnswerChange {
  if (before === undefined) return {how: "new"};
  if (before.says !== now.says) return {how: "moved", before: before.says, now: now.says};
  return before.numbers === now.numbers ? {how: "same"} : {how: "below", before: before.says};
}

const rowsOf = (rows: number | null): string =>
  rows === null ? "content" : `${rows.toLocaleString("en")} ${rows === 1 ? "row" : "rows"}`;

const namesOf = (a: readonly string[], b: readonly string[]): string[] => [...new Set([...a, ...b])].sort();
