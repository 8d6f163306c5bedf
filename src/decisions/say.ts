/** How figures stand in a sentence. */
import type {Limits} from "../statistics/types.ts";

/** Three significant digits, whole above 100. */
export function plain(value: number): string {
  if (!Number.isFinite(value)) return "no bound";
  const digits = Math.abs(value) >= 100 ? Math.round(value) : Number(value.toPrecision(3));
  return digits.toLocaleString("en-US", {maximumFractionDigits: 6});
}

export function hours(value: number): string {
  return `${Math.round(value).toLocaleString("en-US")} h`;
}

export function percent(share: number): string {
  const value = 100 * share;
  return `${Number(value.toPrecision(value > 99 ? 4 : value >= 10 ? 3 : 2))} %`;
}

/** `1.2 to 3.4`, `at least 1.2`, `at most 3.4`, or `not bounded`. */
export function range([lower, upper]: Limits, say: (value: number) => string): string {
  if (lower === null && upper === null) return "not bounded";
  if (upper === null) return `at least ${say(lower!)}`;
  if (lower === null) return `at most ${say(upper)}`;
  return `${say(lower)} to ${say(upper)}`;
}

/** `1 failure`, `3 failures`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${Math.round(count).toLocaleString("en-US")} ${count === 1 ? one : many}`;
}
