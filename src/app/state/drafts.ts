/**
 * What was typed and is not yet kept, for as long as the tab lives: written at once with every change, so that a reload in
 * the middle of a word loses nothing.
 */
export interface Draft {
  /** the kept text it began from; null for a page that was not there */
  readonly base: string | null;
  readonly text: string;
  /** the browser said that it has it; what stands kept later, other than `base`, was made upon it */
  readonly kept?: true;
}

const keyOf = (scope: string, name: string): string => `wearbook.draft/${scope}/${name}`;

export function keepDraft(scope: string, name: string, draft: Draft | null): void {
  try {
    if (draft === null) sessionStorage.removeItem(keyOf(scope, name));
    else sessionStorage.setItem(keyOf(scope, name), JSON.stringify(draft));
  } catch {
    // a browser that keeps nothing, or has no room: the page itself still keeps every change in time
  }
}

export function draftOf(scope: string, name: string): Draft | null {
  try {
    const given: unknown = JSON.parse(sessionStorage.getItem(keyOf(scope, name)) ?? "null");
    return isDraft(given) ? given : null;
  } catch {
    return null;
  }
}

const isDraft = (given: unknown): given is Draft =>
  typeof given === "object" &&
  given !== null &&
  "text" in given &&
  typeof given.text === "string" &&
  "base" in given &&
  (given.base === null || typeof given.base === "string");
