/** Answers the page's questions from open logs. Keeps what several cells share, for the filters last used. */
import type {Settings} from "../../../shared/settings.ts";
import type {CellEffects, CellInputs, Memo, Where} from "../../cells/contract.ts";
import {cutLives, LIFE_ENDINGS, type LifeTable} from "../../lives/index.ts";
import {createMemo, evaluateCell} from "../../notebook/index.ts";
import {cellInputs} from "../../workspace/cellInputs.ts";
import type {OpenLogs} from "../../workspace/openLogs.ts";
import type {CellAnswer, CellQuestion, InView} from "./protocol.ts";

interface Scene {
  readonly inputs: CellInputs;
  readonly memo: Memo;
}

/** Filters whose cut lives are kept; going back to the last few costs nothing. */
const MOST_SCENES = 6;

/** Computations kept that several cells, or several filters, share. */
const MOST_SHARED = 40;

export class Answerer {
  readonly #logs: OpenLogs;
  readonly #cuts: Map<string, LifeTable>;
  readonly #scenes = new Map<string, Scene>();
  readonly #memos: Map<string, Memo>;

  /** @param before what answered till now: it shares what its logs have in common with these */
  constructor(logs: OpenLogs, before?: Answerer) {
    const sameLives = before !== undefined && before.#logs.lives === logs.lives;
    this.#logs = logs;
    this.#cuts = sameLives ? before.#cuts : new Map();
    // what is remembered depends on tables and settings; a record that changed is in no key
    this.#memos = sameLives && before.#logs.id === logs.id ? before.#memos : new Map();
  }

  cell(question: CellQuestion, effects: CellEffects): CellAnswer {
    const from = performance.now();
    const {inputs, memo} = this.#scene(question.where, question.units);
    const result = evaluateCell({...question, bodyLine: 1}, inputs, {...effects, memo});
    if ("presentation" in result) {
      return {answered: true, presentation: result.presentation, took: performance.now() - from};
    }
    const {line, message, remedy} = result.problem;
    return {answered: false, problem: {line, message: `${message}.`, remedy: remedy === "" ? null : `${remedy}.`}};
  }

  view(where: Where): InView {
    return inViewOf(this.#cut(where));
  }

  #scene(where: Where, units: Settings["units"]): Scene {
    return kept(this.#scenes, JSON.stringify([where, units]), () => {
      const logs = {...this.#logs, settings: {...this.#logs.settings, units}};
      const inputs = cellInputs(logs, where, this.#cut(where));
      return {inputs, memo: kept(this.#memos, units, () => createMemo(MOST_SHARED))};
    });
  }

  #cut(where: Where): LifeTable {
    return kept(this.#cuts, JSON.stringify(where), () => cutLives(this.#logs.lives, this.#logs.runs, where));
  }
}

const FAILURES = new Set(
  LIFE_ENDINGS.flatMap((ending, code) => (ending === "failed in run" || ending === "found at teardown" ? [code] : [])),
);

export function inViewOf(lives: LifeTable): InView {
  let failures = 0;
  for (const ending of lives.ending) if (FAILURES.has(ending)) failures++;
  let exposure = 0;
  for (const hours of lives.exposure.hours) exposure += hours;
  return {lives: lives.rows, failures, exposure};
}

function kept<T>(memory: Map<string, T>, key: string, make: () => T): T {
  const known = memory.get(key);
  if (known !== undefined) {
    memory.delete(key); // to the young end
    memory.set(key, known);
    return known;
  }
  const made = make();
  memory.set(key, made);
  for (const old of memory.keys()) {
    if (memory.size <= MOST_SCENES) break;
    memory.delete(old);
  }
  return made;
}
