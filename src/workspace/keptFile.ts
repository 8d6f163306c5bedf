/** A file as the browser keeps it, and how one kept by an earlier version becomes one of this. */

/** A log is kept as the file it came as; text as text; null: a file that the folder holds was taken away. */
export type Content = Blob | string | null;

export interface KeptFile {
  readonly workspace: string;
  readonly name: string;
  readonly content: Content;
  /** when it was put here, ISO; null: nobody noted it */
  readonly changed: string | null;
  /** what the folder held under this name when it was changed here; null: nothing, or nobody noted it */
  readonly over: string | null;
}

/** Raised with every change of what is kept. */
export const VERSION = 2;

/** What version 1 kept: no dates, and nothing of what a change stood over. */
interface KeptFile1 {
  readonly workspace: string;
  readonly name: string;
  readonly content: Content;
}

/** @param from the version that kept it; each step leads from one version to the next */
export function migrated(kept: unknown, from: number): KeptFile {
  let file = kept as KeptFile;
  if (from < 2) {
    const {workspace, name, content} = kept as KeptFile1;
    file = {workspace, name, content, changed: null, over: null};
  }
  return file;
}
