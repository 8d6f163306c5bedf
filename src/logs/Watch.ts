/**
 * Keeps whoever waits for a long import informed, and lets them stop it. Nothing is told and nothing pauses more often
 * than a person could see; without anyone who waits it costs a comparison every so many rows.
 */

export interface Progress {
  readonly file: string;
  /** rows of the file read so far; null: all are read, and the rows are being checked */
  readonly rows: number | null;
  /** how much of the file is read, 0 to 1, where it can be told */
  readonly share?: number;
}

/** Rows between two looks at the clock. */
const EVERY = 1000;

/** Milliseconds between two reports. */
const PACE = 80;

export class Watch {
  readonly #tell: ((progress: Progress) => void) | undefined;
  readonly #signal: AbortSignal | undefined;
  #file = "";
  #rows = 0;
  #looked = 0;
  #last = performance.now();

  constructor(tell: ((progress: Progress) => void) | undefined, signal: AbortSignal | undefined) {
    this.#tell = tell;
    this.#signal = signal;
  }

  /** @throws the signal's reason, when it was aborted */
  file(name: string): void {
    this.#signal?.throwIfAborted();
    this.#file = name;
    this.#rows = 0;
    this.#looked = 0;
  }

  /** Counts a row; now and then gives a promise that lets the rest of the world act, and fails once it was aborted. */
  row(): Promise<void> | null {
    return this.rows(1);
  }

  /** Counts rows, as `row` does. */
  rows(count: number, share?: number): Promise<void> | null {
    this.#rows += count;
    if (this.#rows - this.#looked < EVERY) return null;
    this.#looked = this.#rows;
    return this.#step(this.#rows, share);
  }

  /** For formats that are read by column: a share of the file stands for that share of its rows. */
  share(done: number, rows: number): Promise<void> | null {
    return this.#step(Math.round(done * rows), done);
  }

  /** Between two checks of all rows. */
  checking(): Promise<void> | null {
    return this.#step(null);
  }

  /** @throws the signal's reason, when it was aborted: whatever else went wrong then does not matter */
  rethrowStop(): void {
    this.#signal?.throwIfAborted();
  }

  #step(rows: number | null, share?: number): Promise<void> | null {
    if (this.#tell === undefined && this.#signal === undefined) return null;
    const now = performance.now();
    if (now - this.#last < PACE) return null;
    this.#last = now;
    this.#tell?.({file: this.#file, rows, ...(share === undefined ? {} : {share})});
    return this.#pause();
  }

  async #pause(): Promise<void> {
    // a message or a click can only arrive between two tasks
    await new Promise((resolve) => setTimeout(resolve, 0));
    this.#signal?.throwIfAborted();
  }
}
