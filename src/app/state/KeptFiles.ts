/** The small text files kept with the open logs, as the pages need them: read at once, written when they can be. */
export interface KeptFiles {
  /** another one when other logs with other files are opened; null while none are; reactive */
  readonly scope: string | null;
  /** of every file kept, e.g. `analyses/60-mine.md`; reactive */
  readonly names: readonly string[];
  /** null when there is none; reactive */
  text(name: string): string | null;
  write(name: string, text: string): void | Promise<void>;
  remove(name: string): void | Promise<void>;
}
