/** Keeps whoever waits for a long import informed, and lets them stop it: at every so many rows, never in between. */

export interface Progress {
  readonly file: string;
  /** rows of the file read so far */
  readonly rows: number;
}

/** Rows between two reports: some milliseconds of work. */
const EVERY = 5000;

export class Watch {
  readonly #tell: ((progress: Progress) => void) | undefined;
  readonly #signal: AbortSignal | undefined;
  #file = "";
  #rows = 0;

  constructor(tell: ((progress: Progress) => void) | undefined, signal: AbortSignal | undefined) {
    this.#tell = tell;
    this.#signal = signal;
  }

  /** @throws the signal's reason, when it was aborted */
  file(name: string): void {
    this.#signal?.throwIfAborted();
    this.#file = name;
    this.#rows = 0;
  }

  /** Counts a row; now and then gives a promise that lets the rest of the world act, and fails once it was aborted. */
  row(): Promise<void> | null {
    if (++this.#rows % EVERY !== 0) return null;
    this.#tell?.({file: this.#file, rows: this.#rows});
    return this.#signal === undefined && this.#tell === undefined ? null : this.pause();
  }

  /** For formats that are read by column: a share of the file stands for that share of its rows. */
  async share(done: number, rows: number): Promise<void> {
    this.#tell?.({file: this.#file, rows: Math.round(done * rows)});
    if (this.#signal !== undefined || this.#tell !== undefined) await this.pause();
  }

  /** @throws the signal's reason, when it was aborted: whatever else went wrong then does not matter */
  rethrowStop(): void {
    this.#signal?.throwIfAborted();
  }

  /** @throws the signal's reason, when it was aborted */
  async pause(): Promise<void> {
    // a message or a click can only arrive between two tasks
    await new Promise((resolve) => setTimeout(resolve, 0));
    this.#signal?.throwIfAborted();
  }
}
