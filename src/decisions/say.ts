/** How figures stand in a sentence. */
import type {ExposureClock} from "../../shared/settings.ts";
import type {Limits} from "../statistics/types.ts";

/** Three significant digits, whole above 100. */
export function plain(value: number): string {
  if (!Number.isFinite(value)) return "no bound";
  return Math.abs(value) >= 100 ? whole(value) : String(Number(value.toPrecision(3)));
}

/** How an age or an exposure is said in the clock of the settings: `1,250 h`, `40 runs`. */
export function ageSayer(clock: ExposureClock): (value: number) => string {
  const unit = unitOf(clock);
  return (value) => `${whole(value)} ${unit}`;
}

/** The unit of the clock, as it stands behind a figure. */
export function unitOf(clock: ExposureClock): string {
  return clock === "pulses" || clock === "runs" ? clock : "h";
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
  return `${whole(count)} ${count === 1 ? one : many}`;
}

/** `12,345`. Written out, since the formatter of the language is slow and a sheet has thousands of figures. */
function whole(value: number): string {
  return String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ",");
}
