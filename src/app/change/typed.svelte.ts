/**
 * What someone types into a text field whose text belongs to the page: put into the page a moment after the last key, and
 * at once when the field is left. While the page says what was put, the field keeps the letters as they were typed; when
 * the page says something else, e.g. after a step back, the field shows that.
 */
export interface TypedOptions {
  /** the page's text now */
  now(): string;
  /** tells the page that something is typed which it does not have yet, and how to put it there; null: nothing is */
  typing(put: (() => void) | null): void;
  /** puts a text into the page */
  put(text: string): void;
  readonly waitMs: number;
  /** true for a text that must wait until the field is left */
  waits?(text: string): boolean;
}

export class Typed {
  readonly #options: TypedOptions;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #typed = $state.raw<{
    readonly text: string;
    /** the page's text after it was put; null: not yet */ readonly as: string | null;
  } | null>(null);

  constructor(options: TypedOptions) {
    this.#options = options;
  }

  get text(): string {
    const now = this.#options.now();
    return this.#typed !== null && (this.#typed.as === null || this.#typed.as === now) ? this.#typed.text : now;
  }

  type(text: string): void {
    this.#typed = {text, as: null};
    this.#options.typing(() => this.put());
    clearTimeout(this.#timer);
    if (this.#options.waits?.(text) !== true) this.#timer = setTimeout(() => this.put(), this.#options.waitMs);
  }

  put(): void {
    clearTimeout(this.#timer);
    this.#options.typing(null);
    if (this.#typed === null || this.#typed.as !== null) return;
    const {text} = this.#typed;
    this.#options.put(text);
    this.#typed = {text, as: this.#options.now()};
  }
}
