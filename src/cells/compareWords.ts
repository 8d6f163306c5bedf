/** Words and thresholds shared by the cells that compare groups. */
import type {Settings} from "../../shared/settings.ts";
import type {AskedField} from "./contract.ts";
import {clockOf, sayLevel, sayLimits, sayNumber} from "./say.ts";

/** Fewer failures than this carry no ranking (trade practice). */
export const LEAST_TO_RANK = 5;
/** Calls are made so that at most this share of them is false, in the long run. */
export const FALSE_SHARE = 0.1;
/** A failure within this many hours after a rebuild is early; common practice, editable. */
export const EARLY_H = 50;

/** `3.04 per 1,000 h (90 % limits 2.61 to 3.53)` from figures per unit of exposure. */
export function sayRate(rate: number, limits: readonly [number | null, number | null], settings: Settings): string {
  return `${sayNumber(rate * 1000)} per 1,000 ${clockOf(settings).unit} (${sayLevel(settings)} ${sayLimits([thousand(limits[0]), thousand(limits[1])])})`;
}

export const thousand = (value: number | null): number | null => (value === null ? null : value * 1000);

export const day = (time: number): string => (Number.isFinite(time) ? new Date(time).toISOString().slice(0, 10) : "?");

export const window = ({from, to}: {readonly from: number; readonly to: number}): string =>
  `${day(from)} to ${day(to)}`;

/** A choice among names. */
export function askOne(name: string, label: string, value: string, names: readonly string[], note = ""): AskedField {
  return {
    name,
    label,
    kind: "one",
    value,
    choices: names.map((choice) => ({value: choice, label: choice})),
    ...(note === "" ? {} : {note}),
  };
}

/** A day to choose; `taken` is the one in force when none was given. */
export function askDay(
  label: string,
  given: string | null,
  {taken, note}: {readonly taken: string; readonly note: string},
): AskedField {
  return {
    name: "on",
    label,
    kind: "text",
    value: given ?? taken,
    note: given === null ? note : "a day such as 2025-03-01",
  };
}

/** The day that parts before from after, the middle of the log for want of a better one. */
export const askChange = (given: string | null, middle: string): AskedField =>
  askDay("day of the change", given, {taken: middle, note: "the middle of the log; write a day such as 2025-03-01"});
