/** Lives as the statistics take them: which end is a failure depends on the question. */
import type {LifeData} from "../statistics/types.ts";
import type {LifeTable} from "./lifeTable.ts";

/** Which lives, and which ends of theirs count as failures. */
export interface LifeQuestion {
  /** rows of the life table; all where missing */
  readonly rows?: Int32Array;
  /** component code; all where missing */
  readonly component?: string;
  /** mode codes that count as failure; all where missing */
  readonly modes?: readonly string[];
  /**
   * Whether failures that the shop caused count. Default: only where `modes` names them, since an unnamed question is
   * about wear-out.
   */
  readonly serviceInduced?: "suspended" | "failed";
}

export interface LifeAnswer {
  readonly data: LifeData;
  /** row of the life table of each life in `data` */
  readonly rows: Int32Array;
  /** lives asked for that saw no exposure and so say nothing */
  readonly withoutExposure: number;
}

/**
 * Lives for a fit. A failure by another mode, or by one the shop caused when wear-out is asked, is a suspension at the age
 * at which the part came out: it was looked at then and had not failed in the way asked for.
 */
export function lifeDataFor(lives: LifeTable, question: LifeQuestion = {}): LifeAnswer {
  const counts = failureTest(lives, question);
  const {rows, withoutExposure} = questionRows(lives, question);
  const lower = new Float64Array(rows.length);
  const upper = new Float64Array(rows.length);
  const entry = new Float64Array(rows.length);
  rows.forEach((row, i) => {
    const failed = counts(row);
    lower[i] = failed ? lives.lower[row]! : suspendedAge(lives, row);
    upper[i] = failed ? lives.upper[row]! : Infinity;
    entry[i] = lives.entry[row]!;
  });
  return {data: {lower, upper, entry, weight: new Float64Array(rows.length).fill(1)}, rows, withoutExposure};
}

/** Whether the life in a row ended in a failure that the question counts. */
export function failureTest(lives: LifeTable, {modes, serviceInduced}: LifeQuestion): (row: number) => boolean {
  const asked =
    modes === undefined ? null : Uint8Array.from(lives.mode.words, (code) => (modes.includes(code) ? 1 : 0));
  const shopCounts = serviceInduced === undefined ? modes !== undefined : serviceInduced === "failed";
  return (row) => {
    if (lives.upper[row] === Infinity) return false;
    if (asked !== null && asked[lives.mode.codes[row]!] !== 1) return false;
    return shopCounts || lives.serviceInduced[row] === 0;
  };
}

/** Rows of the question, without lives of no exposure. */
export function questionRows(lives: LifeTable, {rows, component}: LifeQuestion): Omit<LifeAnswer, "data"> {
  const code = component === undefined ? null : lives.component.words.indexOf(component);
  const kept: number[] = [];
  let withoutExposure = 0;
  const ask = (row: number): void => {
    if (code !== null && lives.component.codes[row] !== code) return;
    // a part changed before its first run has age 0; its logarithm would spoil any fit
    const lived = Math.min(lives.upper[row]!, lives.ageAtEnd[row]!) > lives.entry[row]!;
    if (lived) kept.push(row);
    else withoutExposure++;
  };
  if (rows === undefined) for (let row = 0; row < lives.rows; row++) ask(row);
  else for (const row of rows) ask(row);
  return {rows: Int32Array.from(kept), withoutExposure};
}

/** Age up to which a life that did not fail as asked is known to have gone. */
export function suspendedAge(lives: LifeTable, row: number): number {
  return lives.upper[row] === Infinity ? lives.lower[row]! : lives.ageAtEnd[row]!;
}
