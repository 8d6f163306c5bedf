/** Parsers of flag values: each says what it found and what it takes. */
import {InvalidArgumentError} from "commander";

/** `fleet,mud` → ["fleet", "mud"] */
export function columnList(text: string): string[] {
  const names = text
    .split(",")
    .map((name) => name.trim())
    .filter((name) => name !== "");
  if (names.length === 0) throw new InvalidArgumentError("Give one or more column names, comma between.");
  return names;
}

/** `--pick job=AW-0001`, given once for each choice; the last of a name counts. */
export function pickList(text: string, before: Readonly<Record<string, string>> = {}): Record<string, string> {
  const [, name = "", value = ""] = /^([a-z]\w*)=(.+)$/.exec(text.trim()) ?? [];
  if (name === "")
    throw new InvalidArgumentError(`--pick takes name=value, such as job=AW-0001, got ${JSON.stringify(text)}.`);
  return {...before, [name]: value.trim()};
}

export const positive =
  (flag: string) =>
  (text: string): number => {
    const value = Number(text);
    if (!(value > 0 && Number.isFinite(value))) {
      throw new InvalidArgumentError(`${flag} takes a number above 0, got ${JSON.stringify(text)}.`);
    }
    return value;
  };

export const fraction =
  (flag: string) =>
  (text: string): number => {
    const value = Number(text);
    if (!(value > 0 && value < 1)) {
      throw new InvalidArgumentError(
        `${flag} takes a number between 0 and 1, such as 0.9, got ${JSON.stringify(text)}.`,
      );
    }
    return value;
  };

export const ageList =
  (flag: string) =>
  (text: string): number[] =>
    columnList(text).map(positive(flag));

/** A day as ISO 8601 writes it, and one that the calendar has. */
export const day =
  (flag: string) =>
  (text: string): string => {
    const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(text) : NaN;
    if (!Number.isFinite(time) || new Date(time).toISOString().slice(0, 10) !== text) {
      throw new InvalidArgumentError(`${flag} takes a day such as 2024-01-31, got ${JSON.stringify(text)}.`);
    }
    return text;
  };
