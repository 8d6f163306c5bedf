/** Every way to damage what a reader may give. Each draws on a seeded random, so that a seed tells the file again. */
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {LOG_WAYS} from "./damageLogs.ts";
import {PACK_WAYS} from "./damagePacks.ts";
import {PARQUET_WAYS} from "./damageParquet.ts";
import {PAGE_WAYS} from "./damagePages.ts";
import {YAML_WAYS} from "./damageYaml.ts";
import {ZIP_WAYS} from "./damageZip.ts";
import {pick} from "./draws.ts";

/** What the files are given as. */
export type Given = "logs" | "workspace" | "page" | "pack";

export type Ways = Readonly<Record<string, (random: Random) => readonly LogFile[]>>;

export interface Damaged {
  readonly way: string;
  readonly given: Given;
  readonly files: readonly LogFile[];
}

const ALL: readonly (readonly [Given, Ways])[] = [
  ["logs", LOG_WAYS],
  ["logs", ZIP_WAYS],
  ["logs", PARQUET_WAYS],
  ["workspace", YAML_WAYS],
  ["page", PAGE_WAYS],
  ["pack", PACK_WAYS],
];

type Way = readonly [way: string, given: Given, damage: Ways[string]];

const WAYS: readonly Way[] = ALL.flatMap(([given, ways]) =>
  Object.entries(ways).map(([way, damage]): Way => [way, given, damage]),
);

export const WAY_NAMES: readonly string[] = WAYS.map(([way]) => way);

/** Something damaged in one of the ways; in the one named, where one is. */
export function damaged(random: Random, name?: string): Damaged {
  const drawn = WAYS[pick(random, WAYS.length)]!;
  const [way, given, damage] = WAYS.find(([each]) => each === name) ?? drawn;
  return {way, given, files: damage(random)};
}
