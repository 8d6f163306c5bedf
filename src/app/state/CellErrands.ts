/** Questions about cells that are under way, by the key of their answer. */
import type {CellQuestion} from "../worker/protocol.ts";
import type {Answered, Errand, WorkerPool} from "../worker/WorkerPool.ts";

/** Nothing is reported of what was forgotten. */
export interface ErrandReports {
  begun(): void;
  progress(done: number, of: number): void;
  ended(answered: Answered<"cell">): void;
}

export class CellErrands {
  readonly #pool: Pick<WorkerPool, "ask">;
  readonly #running = new Map<string, Errand<"cell">>();
  #wanted: ReadonlySet<string> = new Set();

  constructor(pool: Pick<WorkerPool, "ask">) {
    this.#pool = pool;
  }

  /** From now on only these are waited for; gives the keys of those forgotten. */
  want(keys: readonly string[]): string[] {
    this.#wanted = new Set(keys);
    const forgotten = [...this.#running.keys()].filter((key) => !this.#wanted.has(key));
    for (const key of forgotten) {
      this.#running.get(key)?.forget();
      this.#running.delete(key);
    }
    return forgotten;
  }

  /** Forgets one that the page does not wait for; says whether there was one. */
  drop(key: string): boolean {
    if (this.#wanted.has(key)) return false;
    this.#running.get(key)?.forget();
    return this.#running.delete(key);
  }

  /** True for an answer that the page shows or waits for. */
  keeps(key: string): boolean {
    return this.#wanted.has(key) || this.#running.has(key);
  }

  has(key: string): boolean {
    return this.#running.has(key);
  }

  start(key: string, question: CellQuestion, urgency: number, reports: ErrandReports): void {
    const wanted = (): boolean => this.#running.get(key) === errand;
    const errand: Errand<"cell"> = this.#pool.ask("cell", question, {
      urgency,
      // it begins at once when a worker is free, before anyone could have forgotten it
      begun: reports.begun,
      progress: (done, of) => wanted() && reports.progress(done, of),
    });
    this.#running.set(key, errand);
    void errand.done.then((answered) => {
      if (!wanted()) return;
      this.#running.delete(key);
      reports.ended(answered);
    });
  }

  stop(key: string): void {
    this.#running.get(key)?.stop();
  }

  urgency(key: string, value: number): void {
    this.#running.get(key)?.urgency(value);
  }

  clear(): void {
    this.#running.clear();
  }
}
