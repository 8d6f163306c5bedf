/**
 * Reads tests/reference/published.json and compares with it.
 * Each quantity there says how good it is; a test asks for no more, and its source stands in the file.
 */
import {readFileSync} from "node:fs";
import {expect} from "vitest";
import {lifeData} from "../../src/statistics/lifeData.ts";
import type {LifeData} from "../../src/statistics/types.ts";

type Json = number | string | boolean | null | readonly Json[] | {readonly [key: string]: Json};

export interface Entry {
  readonly id: string;
  readonly topic: string;
  readonly inputs: Json;
  readonly expected: Json;
}

const folder = new URL("../reference/", import.meta.url);

export const published = JSON.parse(readFileSync(new URL("published.json", folder), "utf8")) as readonly Entry[];

/** Fixtures of make_fixtures.R, by name. */
export const fixtures = (): Json => JSON.parse(readFileSync(new URL("fixtures.json", folder), "utf8")) as Json;

export function entry(id: string): Entry {
  const found = published.find((e) => e.id === id);
  if (!found) throw new Error(`published.json has no entry ${id}`);
  return found;
}

/** The value at a path of keys, e.g. at(entry.expected, "separate", "control", "shape"). */
export function at(json: Json, ...path: readonly (string | number)[]): Json {
  let here = json;
  for (const key of path) {
    const next = (here as {readonly [key: string]: Json} | null)?.[String(key)];
    if (next === undefined) throw new Error(`no ${path.join(".")} in the reference`);
    here = next;
  }
  return here;
}

export const number = (json: Json, ...path: readonly (string | number)[]): number => at(json, ...path) as number;
export const numbers = (json: Json, ...path: readonly (string | number)[]): readonly number[] =>
  at(json, ...path) as readonly number[];
export const cells = (json: Json, ...path: readonly (string | number)[]): readonly (number | null)[] =>
  at(json, ...path) as readonly (number | null)[];

/** Relative error allowed where the reference states none. */
const FALLBACK = 1e-6;

/** Compares with `{value, tolerance: {abs} | {rel}}`, a number or a list of numbers; the stated tolerance holds for each. */
export function expectQuantity(actual: Json | Float64Array, quantity: Json, label = ""): void {
  const stated = quantity as {value?: Json; tolerance?: {abs?: number; rel?: number}};
  const values = flat(stated.value ?? quantity);
  const got = flat(actual instanceof Float64Array ? [...actual] : actual);
  expect(got.length, `${label}: how many`).toBe(values.length);
  const {abs, rel} = stated.tolerance ?? {rel: FALLBACK};
  values.forEach((value, i) => {
    const allowed = abs ?? (rel ?? FALLBACK) * Math.max(Math.abs(value), 1e-300);
    const off = Math.abs(got[i]! - value);
    expect(off <= allowed, `${label}[${i}]: got ${got[i]}, reference ${value}, allowed ${allowed}`).toBe(true);
  });
}

function flat(json: Json): number[] {
  if (Array.isArray(json)) return (json as readonly Json[]).flatMap(flat);
  return [json as number];
}

/** Lives of an entry: `time` with `status` (1 failed), or `lower`, `upper` with `count`. */
export function livesOf(inputs: Json): LifeData {
  const given = inputs as {time?: number[]; status?: number[]; entry?: number[]; lower?: (number | null)[]};
  if (given.time) {
    const upper = given.time.map((age, i) => (given.status?.[i] === 1 ? age : null));
    return lifeData({lower: given.time, upper, entry: given.entry});
  }
  return lifeData({lower: cells(inputs, "lower"), upper: cells(inputs, "upper"), weight: numbers(inputs, "count")});
}
