/** The modes of rebuild rows: as given, as supplied where they are missing, and where they contradict the row. */
import {RULES} from "./lifeRules.ts";
import type {LogReading} from "./LogReading.ts";
import {FOUND_AS} from "./verdict.ts";

export class RowModes {
  /** mode codes: those of the rebuild log, then those supplied here */
  readonly words: string[];
  readonly #reading: LogReading;
  readonly #suppliedModes = new Map<string, number>();

  constructor(reading: LogReading) {
    this.#reading = reading;
    this.words = [...reading.rebuilds.columns.mode.words];
  }

  /** Tells where found, mode and ended_run of a row do not go together. */
  sayContradictions(row: number, s: number): void {
    const {mode, ended_run, found: words} = this.#reading.rebuilds.columns;
    const found = this.#reading.verdicts.found[row]!;
    const code = mode.codes[row]!;
    const nothing = code >= 0 && this.#reading.verdicts.modes.nothingFound[code] === 1;
    const sound = found === FOUND_AS.good || found === FOUND_AS.notInspected;
    if (sound && ended_run[row] === 1)
      this.#reading.findings.add(RULES.endedButGood, this.#reading.rebuilds, row, {column: "ended_run"});
    if (code < 0) return;
    const text = {column: "mode", found: mode.words[code] ?? null};
    if (sound && !nothing) this.#reading.findings.add(RULES.goodWithMode, this.#reading.rebuilds, row, text);
    if (nothing && (words.words[words.codes[row]!] === "failed" || words.words[words.codes[row]!] === "worn")) {
      this.#reading.findings.add(RULES.nothingFound, this.#reading.rebuilds, row, text);
    }
    const component = this.#reading.verdicts.modes.component[code];
    const own = this.#reading.rebuilds.columns.component.words[this.#reading.schedule.slots.component[s]!];
    if (component !== null && component !== own)
      this.#reading.findings.add(RULES.modeOfOther, this.#reading.rebuilds, row, text);
  }

  /** The mode of a bad row; where none is given, the component's own "worn, no detail" or "unknown". */
  modeOf(row: number, s: number): number {
    const given = this.#reading.rebuilds.columns.mode.codes[row]!;
    if (given >= 0) return given;
    const component = this.#reading.rebuilds.columns.component.words[this.#reading.schedule.slots.component[s]!] ?? "";
    return this.suppliedMode(`${component}-${this.#reading.verdicts.found[row] === FOUND_AS.worn ? "GEN" : "UNK"}`);
  }

  /** Code of a mode that no row gives. */
  suppliedMode(code: string): number {
    let known = this.#suppliedModes.get(code);
    if (known === undefined) {
      known = this.words.indexOf(code);
      if (known < 0) known = this.words.push(code) - 1;
      this.#suppliedModes.set(code, known);
    }
    return known;
  }

  /** 1 where the shop caused it: by its mode, or because the row says damaged at service. */
  serviceInduced(row: number, mode: number): number {
    return this.#reading.verdicts.found[row] === FOUND_AS.damaged
      ? 1
      : (this.#reading.verdicts.modes.serviceInduced[mode] ?? 0);
  }

  /** Whether the vocabulary calls for a new part; a mode it does not know does. */
  wantsRenewal(mode: number): boolean {
    return (this.#reading.verdicts.modes.wantsRenewal[mode] ?? 1) === 1;
  }
}
