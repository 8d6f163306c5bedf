/** What a page's text was, so that every change can be taken back and made again. Values are never changed in place. */

/** Changes of one name closer together than this are one step: a sentence is taken back, not a letter. */
const ONE_STEP_MS = 1200;

interface Step<T> {
  readonly before: T;
  readonly after: T;
  /** what was done, in words, e.g. `moved a cell` */
  readonly what: string;
  readonly name: string | null;
  readonly at: number;
}

export class History<T> {
  readonly #most: number;
  readonly #same: (a: T, b: T) => boolean;
  #done: readonly Step<T>[] = [];
  #undone: readonly Step<T>[] = [];
  #now: T;

  /** @param most steps remembered; the oldest are forgotten */
  constructor(start: T, {most = 300, same = Object.is}: {most?: number; same?: (a: T, b: T) => boolean} = {}) {
    this.#now = start;
    this.#most = most;
    this.#same = same;
  }

  get now(): T {
    return this.#now;
  }

  /** What taking back would take back; null when there is nothing. */
  get last(): string | null {
    return this.#done.at(-1)?.what ?? null;
  }

  get next(): string | null {
    return this.#undone.at(-1)?.what ?? null;
  }

  /**
   * @param name joins changes made in quick succession into one step; null never joins
   * @param at milliseconds on any clock
   */
  change(after: T, what: string, name: string | null, at: number): void {
    if (this.#same(after, this.#now)) return;
    const last = this.#done.at(-1);
    const joins = last !== undefined && name !== null && last.name === name && at - last.at < ONE_STEP_MS;
    const step: Step<T> = {before: joins ? last.before : this.#now, after, what, name, at};
    this.#done = [...(joins ? this.#done.slice(0, -1) : this.#done), step].slice(-this.#most);
    this.#undone = [];
    this.#now = after;
  }

  undo(): T | null {
    const step = this.#done.at(-1);
    if (step === undefined) return null;
    this.#done = this.#done.slice(0, -1);
    this.#undone = [...this.#undone, {...step, name: null}];
    this.#now = step.before;
    return this.#now;
  }

  redo(): T | null {
    const step = this.#undone.at(-1);
    if (step === undefined) return null;
    this.#undone = this.#undone.slice(0, -1);
    this.#done = [...this.#done, {...step, name: null}];
    this.#now = step.after;
    return this.#now;
  }
}
