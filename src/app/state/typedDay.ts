/** A day as people type it into the filters: whole, or only its month or year. */
import {isDay} from "../../notebook/days.ts";

/**
 * The ISO day meant by a typed text; null for an emptied field; undefined for what is no day.
 * A month or a year alone means its first day at the lower end of a filter and its last day at the upper.
 *
 * @example typedDay("2024-02", "to") // "2024-02-29"
 */
export function typedDay(text: string, end: "from" | "to"): string | null | undefined {
  const trimmed = text.trim().replace(/[./]/g, "-");
  if (trimmed === "") return null;
  const match = /^(\d{4})(?:-(\d{1,2}))?(?:-(\d{1,2}))?$/.exec(trimmed);
  if (!match) return undefined;
  const [, year = "", month, day] = match;
  const at = month === undefined ? (end === "from" ? 1 : 12) : Number(month);
  const last = new Date(Date.UTC(Number(year), at, 0)).getUTCDate();
  const on = day === undefined ? (end === "from" ? 1 : last) : Number(day);
  const iso = `${year}-${String(at).padStart(2, "0")}-${String(on).padStart(2, "0")}`;
  return isDay(iso) ? iso : undefined;
}
