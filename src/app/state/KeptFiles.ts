/** The small text files kept with the open logs, as the pages need them: read at once, written when they can be. */
export interface KeptFiles {
  /** another one when other logs with other files are opened; null while none are; reactive */
  readonly scope: string | null;
  /** of every file kept, e.g. `analyses/60-mine.md`; reactive */
  readonly names: readonly string[];
  /** null when there is none; reactive */
  text(name: string): string | null;
  write(name: string, text: string): Promise<WriteAnswer>;
  remove(name: string): Promise<WriteAnswer>;
}

/** What became of a change. `other`: another tab has changed the page too, and what it wrote stands there. */
export type WriteAnswer =
  {readonly how: "kept"} | {readonly how: "not kept"} | {readonly how: "refused"; readonly other: string};
