/** Which lives a page looks at. Empty or missing means all. */

export interface LivesWhere {
  readonly fleet?: readonly string[];
  /** ISO dates, both ends included */
  readonly from?: string;
  readonly to?: string;
  /** component codes */
  readonly component?: readonly string[];
  /** mud codes */
  readonly mud?: readonly string[];
  /** regime codes */
  readonly regime?: readonly string[];
}

const DAY = 86_400_000;

/** First and last moment of the window, ms since 1970 UTC; infinite where it is open. */
export interface Window {
  readonly from: number;
  readonly to: number;
}

/** @throws RangeError for a date that is none */
export function windowOf({from, to}: LivesWhere): Window {
  return {
    from: given(from) ? moment("from", from) : -Infinity,
    to: given(to) ? moment("to", to) + (to.length > 10 ? 0 : DAY - 1) : Infinity,
  };
}

/** Whether a word is wanted: an empty list wants all. */
export function wanted(list: readonly string[] | undefined, words: readonly string[]): Uint8Array | null {
  if (list === undefined || list.length === 0) return null;
  return Uint8Array.from(words, (word) => (list.includes(word) ? 1 : 0));
}

/** True when nothing is filtered. */
export function isEverything(where: LivesWhere): boolean {
  const lists = [where.fleet, where.component, where.mud, where.regime];
  return !given(where.from) && !given(where.to) && lists.every((list) => list === undefined || list.length === 0);
}

function given(date: string | undefined): date is string {
  return date !== undefined && date !== "";
}

function moment(end: string, date: string): number {
  const time = Date.parse(date);
  if (Number.isNaN(time))
    throw new RangeError(`the window's ${end} must be an ISO date such as 2024-01-31, got ${date}`);
  return time;
}
