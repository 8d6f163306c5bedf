/** Which columns of a run log look like the running totals of meters, for which tools, and how sure that is. */
import type {Draft} from "../draft.ts";
import {risesOf, riseScore, type Rises} from "./screen.ts";

/** `sure`: the numbers cannot be the hours of runs; `likely`: they rise beyond chance; `told`: someone has said so. */
export type Weight = "sure" | "likely" | "told";

/** A column that looks like running totals, or was said to be. */
export interface TotalsSeen {
  readonly draft: Draft;
  readonly column: string;
  readonly weight: Weight;
  /** code in the draft's tool column → whether its numbers look so */
  readonly tools: Uint8Array;
  /** whether as good as all rows are of such tools, so that the others are likely to be written alike */
  readonly whole: boolean;
  readonly rises: Rises;
  /** the numbers as they were read, row by row */
  readonly values: Float64Array;
}

/** Rises beyond chance in a whole file: less than one file in a million gives as many. */
const SCORE = 5;
/** Three runs on a meter that began at 0 reach twice its first reading and more; hours that creep up do not. */
const LEAST_GROWTH = 2;
/** One tool by itself: so many runs that only rise, to so many times the first. */
const FEWEST_RUNS = 6;
const GROWTH = 3;
/** More hours than passed, in so many rows of a tool and such a share of them, and falls in no more than this share. */
const FEWEST_TELLING = 2;
const TELLING_SHARE = 0.05;
const MOST_FALLS = 0.25;
/** Tools with fewer runs show nothing by themselves. */
const TELLING_RUNS = 3;
const WHOLE_SHARE = 0.8;

/** Null: nothing speaks for running totals. */
export function totalsIn(draft: Draft, column: string): TotalsSeen | null {
  const rises = risesOf(draft, column);
  if (rises === null) return null;
  const {rows, falls, telling} = rises;
  const tools = rows.length;
  const steps = (tool: number): number => Math.max(0, rows[tool]! - 1);
  const seldomFalls = (tool: number): boolean => falls[tool]! <= steps(tool) * MOST_FALLS;
  const pick = (keep: (tool: number) => boolean): Uint8Array =>
    Uint8Array.from({length: tools}, (_, tool) => (keep(tool) ? 1 : 0));
  const sure = pick(
    (tool) => telling[tool]! >= FEWEST_TELLING && telling[tool]! >= rows[tool]! * TELLING_SHARE && seldomFalls(tool),
  );
  const seen = (weight: Weight, picked: Uint8Array): TotalsSeen => {
    let [shown, clear] = [0, 0];
    for (let tool = 0; tool < tools; ++tool) {
      if (rows[tool]! < TELLING_RUNS) continue;
      clear += rows[tool]!;
      if (picked[tool] === 1) shown += rows[tool]!;
    }
    const values = draft.numbers.get(column)!.slice();
    return {draft, column, weight, tools: picked, whole: shown >= clear * WHOLE_SHARE, rises, values};
  };
  if (sure.includes(1)) {
    // beside tools that are sure, one that never falls is likely to be written alike
    const all = pick((tool) => sure[tool] === 1 || (rows[tool]! >= TELLING_RUNS && falls[tool] === 0));
    return seen("sure", all);
  }
  if (riseScore(rises, Array(tools).keys()) >= SCORE) {
    const seldom = pick((tool) => rows[tool]! >= TELLING_RUNS && seldomFalls(tool));
    const grows = pick((tool) => seldom[tool] === 1 && rises.most[tool]! > LEAST_GROWTH * rises.least[tool]!);
    if (sumOf(grows) > sumOf(seldom) / 2) return seen("likely", seldom);
  }
  const rising = pick(
    (tool) =>
      rows[tool]! >= FEWEST_RUNS &&
      rises.rises[tool] === steps(tool) &&
      rises.most[tool]! > GROWTH * rises.least[tool]!,
  );
  return rising.includes(1) ? seen("likely", rising) : null;
}

const sumOf = (flags: Uint8Array): number => flags.reduce((sum, flag) => sum + flag, 0);
