/** How one shop writes its logs: its headers, units, words and dates. */
import type {GrownInspection, GrownRun} from "../grow.ts";
import type {Part} from "../parts.ts";
import type {Random} from "../Random.ts";
import type {SheetFormat} from "../Sheet.ts";

export interface Column<Row> {
  readonly header: string;
  readonly write: (row: Row, scene: Scene) => string;
}

/** What a clerk has at hand besides the row. */
export interface Scene {
  readonly parts: readonly Part[];
  /** for the clerk's own inconstancy: which of two words, whether a cell is filled */
  readonly dice: Random;
}

export interface Habit {
  readonly format: SheetFormat;
  readonly runs: readonly Column<GrownRun>[];
  readonly rebuilds: readonly Column<GrownInspection>[];
}

export const column = <Row>(header: string, write: Column<Row>["write"]): Column<Row> => ({header, write});

export const GALLON_L = 3.785411784;
export const PPG_KGM3 = 119.8264;
export const YIELD_PA = 0.478803;
export const FOOT_M = 0.3048;
export const INCH_MM = 25.4;
export const PPB_KGM3 = 2.853;

/** A number with that many decimals; nothing for null. */
export function fixed(value: number | null, digits: number): string {
  return value === null ? "" : value.toFixed(digits);
}

/** The shortest text of a number rounded to that many decimals. */
export function short(value: number | null, digits: number): string {
  return value === null ? "" : String(Number(value.toFixed(digits)));
}

/** Year, month, day, hour, minute of a time, padded, UTC. */
export function clock(time: number): {y: string; m: string; d: string; hm: string; month: number; day: number} {
  const date = new Date(time);
  const two = (n: number): string => String(n).padStart(2, "0");
  const month = date.getUTCMonth() + 1;
  const day = date.getUTCDate();
  const hm = `${two(date.getUTCHours())}:${two(date.getUTCMinutes())}`;
  return {y: String(date.getUTCFullYear()), m: two(month), d: two(day), hm, month, day};
}

/** The word of a table, or the key itself where it has none. */
export function word(words: Readonly<Record<string, string>>, key: string | null): string {
  return key === null ? "" : (words[key] ?? key);
}

/** The part that is in the slot after the row. */
export const partAfter = ({partAfter: id}: GrownInspection, {parts}: Scene): Part => parts[id]!;

/** What the part that went in cost, $; nothing when none went in. */
export function costOf({action}: GrownInspection, price: number): string {
  if (action === "kept") return "";
  if (action === "swapped for a used part") return String(Math.round(price * 0.3));
  return String(action === "reworked" ? Math.round(price * 0.6) : price);
}
