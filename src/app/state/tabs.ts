/** Tells the other tabs of this browser what one of them kept, so that nobody changes a page that is no longer so. */

export interface KeptElsewhere {
  /** whose files: those of the same logs */
  readonly scope: string;
  readonly name: string;
  /** null: it was taken away */
  readonly text: string | null;
}

const CHANNEL = "wearbook kept files";

/** @returns tells the others; a browser without channels tells nobody, and the page still asks before it keeps */
export function openTabs(heard: (kept: KeptElsewhere) => void): (kept: KeptElsewhere) => void {
  if (typeof BroadcastChannel === "undefined") return () => undefined;
  const channel = new BroadcastChannel(CHANNEL);
  channel.onmessage = ({data}: MessageEvent<unknown>) => {
    if (isKept(data)) heard(data);
  };
  return (kept) => channel.postMessage(kept);
}

const isKept = (data: unknown): data is KeptElsewhere =>
  typeof data === "object" &&
  data !== null &&
  "scope" in data &&
  typeof data.scope === "string" &&
  "name" in data &&
  typeof data.name === "string" &&
  "text" in data &&
  (data.text === null || typeof data.text === "string");
