/** Why a browser did not keep files, in words, and what to do about it. */

type Reason = "older tab" | "newer tab" | "terminated" | "replaced elsewhere";

/** The page's own reasons; the browser has further ones. */
export class NotKept extends Error {
  readonly reason: Reason;

  constructor(reason: Reason) {
    super(reason);
    this.name = "NotKept";
    this.reason = reason;
  }
}

const OWN_REASONS: Readonly<Record<Reason, string>> = {
  "older tab": "Another tab still has an older version of this page open. Close it and load this page again.",
  "newer tab": "A newer version of this page was opened in another tab. Load this page again to go on with it.",
  terminated: "The browser has closed the place where this page keeps files. Load the page again to try once more.",
  "replaced elsewhere": "Other logs were put in place of these in another tab.",
};

/** By the name of the browser's error, as the Indexed Database standard gives them. */
const BROWSER_REASONS: Readonly<Record<string, string>> = {
  QuotaExceededError: "The browser's room for this page is full. Free space on the disk, or forget logs kept here.",
  NotReadableError: "A file has changed or gone since it was chosen. Choose it again.",
  NotFoundError: "A file has changed or gone since it was chosen. Choose it again.",
  DataCloneError: "A file has changed or gone since it was chosen. Choose it again.",
  SecurityError: "The browser's settings do not let this page keep files.",
  InvalidStateError: "The browser does not let this page keep files; private windows often do not.",
  ReferenceError: "This browser has no place where a page can keep files.",
  TypeError: "This browser has no place where a page can keep files.",
  VersionError: "A newer version of this page has kept files here. Open that version, or load the page again.",
};

/** One or two sentences for the reader: what happened, what it means, what to do. */
export function whyNotKept(error: unknown): string {
  const consequence =
    "The page goes on working, but what is not kept is forgotten when it is closed or loaded again: save everything as one file before that.";
  if (error instanceof NotKept) return `${OWN_REASONS[error.reason]} ${consequence}`;
  const name = error instanceof Error ? error.name : "";
  const known = Object.hasOwn(BROWSER_REASONS, name) ? BROWSER_REASONS[name] : undefined;
  const said = error instanceof Error ? error.message : String(error);
  return `${known ?? `The browser could not keep the files (${said}).`} ${consequence}`;
}
