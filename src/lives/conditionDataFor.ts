/** Lives with what they saw of each condition, for the model of condition effects. */
import type {Words} from "../../shared/columnar.ts";
import {MUD_CODES, REGIMES} from "../../shared/vocabulary/index.ts";
import type {ConditionData} from "../statistics/conditionData.ts";
import {failureTest, questionRows, suspendedAge, type LifeQuestion} from "./lifeDataFor.ts";
import type {LifeTable} from "./lifeTable.ts";

export interface ConditionAnswer {
  readonly data: ConditionData;
  /** row of the life table of each life in `data` */
  readonly rows: Int32Array;
  /** mud code and regime code of each cell */
  readonly muds: readonly string[];
  readonly regimes: readonly string[];
  /** level of the further condition in each cell, where one was asked for */
  readonly further: readonly string[];
  readonly withoutExposure: number;
  /** lives that entered at an age above 0: nobody logged where those hours were spent, so the life's own mix is assumed */
  readonly assumedMix: number;
}

/** A condition besides mud and flow, e.g. the heat of a run: its level by row of the run table, missing read as `unknown`. */
export interface FurtherCondition {
  readonly name: string;
  readonly ofRun: Words;
}

/**
 * Cells are the combinations of mud and regime, and of the further condition if one is given, that the lives saw, in the
 * order of the vocabulary. Exposure before the entry, and beyond the log where the shop counted more hours than it, is
 * spread as the life's own logged exposure was.
 */
export function conditionDataFor(
  lives: LifeTable,
  question: LifeQuestion,
  further: FurtherCondition | null = null,
): ConditionAnswer {
  const {rows, withoutExposure} = questionRows(lives, question);
  const counts = failureTest(lives, question);
  const levels = further === null ? ONE_LEVEL : [...further.ofRun.words, UNKNOWN];
  const levelAt = (stretch: number): number => {
    if (further === null) return 0;
    const code = further.ofRun.codes[lives.exposure.run[stretch]!] ?? -1;
    return code < 0 ? levels.length - 1 : code;
  };
  const {cellOf, keyAt, ...cells} = cellsOf(lives, rows, levels, levelAt);
  const {muds, regimes} = cells;
  const K = muds.length;
  const n = rows.length;
  const atEntry = new Float64Array(n * K);
  const atLower = new Float64Array(n * K);
  const atUpper = new Float64Array(n * K);
  const lower = new Float64Array(n);
  const upper = new Float64Array(n);
  const entry = new Float64Array(n);
  const failedIn = new Int32Array(n).fill(-1);
  let assumedMix = 0;
  const {offsets, hours} = lives.exposure;
  const mix = new Float64Array(K);
  rows.forEach((row, i) => {
    const failed = counts(row);
    const from = offsets[row]!;
    const to = offsets[row + 1]!;
    const cellAt = (stretch: number): number => cellOf[keyAt(stretch)]!;
    lower[i] = failed ? lives.lower[row]! : suspendedAge(lives, row);
    upper[i] = failed ? lives.upper[row]! : Infinity;
    entry[i] = lives.entry[row]!;
    mix.fill(0);
    let seen = 0;
    for (let s = from; s < to; s++) {
      mix[cellAt(s)]! += hours[s]!;
      seen += hours[s]!;
    }
    if (entry[i]! > 0) assumedMix++;
    for (let k = 0; k < K; k++) {
      mix[k]! /= seen;
      atEntry[i * K + k] = atLower[i * K + k] = atUpper[i * K + k] = entry[i]! * mix[k]!;
    }
    const walk = (into: Float64Array, age: number): number => {
      let left = age - entry[i]!;
      let cell = -1;
      for (let s = from; s < to && left > 0; s++) {
        const spent = Math.min(hours[s]!, left);
        if (!(spent > 0)) continue;
        cell = cellAt(s);
        into[i * K + cell]! += spent;
        left -= spent;
      }
      // ages are sums of stretches to a millionth; more than that is what the shop counted beyond the log
      if (left > 1e-5) for (let k = 0; k < K; k++) into[i * K + k]! += left * mix[k]!;
      return cell;
    };
    const cell = walk(atLower, lower[i]!);
    if (upper[i]! < Infinity) {
      walk(atUpper, upper[i]!);
      if (upper[i] === lower[i]) failedIn[i] = cell;
    }
  });
  const factors = [factor("mud", muds), factor("regime", regimes)];
  if (further !== null) factors.push(factor(further.name, cells.further));
  const data: ConditionData = {
    lower,
    upper,
    entry,
    weight: new Float64Array(n).fill(1),
    cells: K,
    atEntry,
    atLower,
    atUpper,
    failedIn,
    factors,
  };
  return {data, rows, ...cells, withoutExposure, assumedMix};
}

const UNKNOWN = "unknown";
const ONE_LEVEL: readonly string[] = [""];

function factor(name: string, ofCell: readonly string[]): ConditionData["factors"][number] {
  const levels = [...new Set(ofCell)];
  return {name, levels, levelOf: Int32Array.from(ofCell, (level) => levels.indexOf(level))};
}

interface Cells {
  /** cell of each key, -1 for a combination that no life saw */
  readonly cellOf: Int32Array;
  /** key of the combination that a stretch of exposure was spent in */
  readonly keyAt: (stretch: number) => number;
  readonly muds: readonly string[];
  readonly regimes: readonly string[];
  readonly further: readonly string[];
}

/** The combinations of mud, regime and further level that the lives saw. */
function cellsOf(
  lives: LifeTable,
  rows: Int32Array,
  levels: readonly string[],
  levelAt: (stretch: number) => number,
): Cells {
  const {offsets, hours, mud, regime, muds, regimes} = lives.exposure;
  const keyAt = (stretch: number): number =>
    (mud[stretch]! * regimes.length + regime[stretch]!) * levels.length + levelAt(stretch);
  const seen = new Uint8Array(muds.length * regimes.length * levels.length);
  for (const row of rows) {
    for (let s = offsets[row]!; s < offsets[row + 1]!; s++) if (hours[s]! > 0) seen[keyAt(s)] = 1;
  }
  const place = (order: number): number => (order < 0 ? Infinity : order);
  const present = [...seen.keys()].filter((key) => seen[key] === 1);
  const mudOf = (key: number): string => muds[Math.floor(key / levels.length / regimes.length)]!;
  const regimeOf = (key: number): string => regimes[Math.floor(key / levels.length) % regimes.length]!;
  present.sort(
    (a, b) =>
      place(MUD_CODES.indexOf(mudOf(a))) - place(MUD_CODES.indexOf(mudOf(b))) ||
      (REGIMES[regimeOf(a)]?.order ?? 7) - (REGIMES[regimeOf(b)]?.order ?? 7) ||
      a - b,
  );
  const cellOf = new Int32Array(seen.length).fill(-1);
  present.forEach((key, cell) => (cellOf[key] = cell));
  return {
    cellOf,
    keyAt,
    muds: present.map(mudOf),
    regimes: present.map(regimeOf),
    further: present.map((key) => levels[key % levels.length]!),
  };
}
