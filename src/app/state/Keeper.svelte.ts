/** Keeps the reader's files behind the page. A browser that keeps nothing still works: then a sentence says so. */
import {NO_EDITS, type Edits} from "../../workspace/edits.ts";
import {folderKeeping, openKeeping, OWN, type Content, type Keeping} from "../../workspace/Keeping.ts";
import {isText, workspaceName} from "../../workspace/fileRoles.ts";

export class Keeper {
  readonly #keeping: Promise<Keeping | null>;

  /** why nothing is kept, or not all; null when all is well */
  trouble = $state<string | null>(null);

  constructor(open: () => Promise<Keeping> = openKeeping) {
    this.#keeping = open().catch((error: unknown) => this.#fail(error));
  }

  /** The reader's own files; none when none are kept. */
  async own(): Promise<File[]> {
    const files = await this.#try((keeping) => keeping.read(OWN));
    return [...(files ?? [])].flatMap(([name, content]) => (content === null ? [] : [new File([content], name)]));
  }

  /** Puts files in place of all that were kept as the reader's own, in one step. */
  async keepOwn(files: readonly File[]): Promise<void> {
    const entries: [string, Content][] = [];
    for (const file of files) {
      const name = workspaceName(file.name);
      entries.push([name, isText(name) ? await file.text() : file]);
    }
    await this.#try((keeping) => keeping.replace(OWN, entries));
  }

  /** The changes kept for a folder. */
  async edits(folder: string): Promise<Edits> {
    const files = await this.#try((keeping) => keeping.read(folderKeeping(folder)));
    if (files === null || files.size === 0) return NO_EDITS;
    return Object.fromEntries(
      [...files].filter((entry): entry is [string, string | null] => !(entry[1] instanceof Blob)),
    );
  }

  /**
   * Keeps one small text file: of the reader's own files (`folder` null) in its place, of a folder as a change.
   *
   * @param changed whether it differs from what the folder holds
   */
  async keep(folder: string | null, name: string, text: string | null, changed: boolean): Promise<void> {
    const forgotten = folder === null ? text === null : !changed;
    const workspace = folder === null ? OWN : folderKeeping(folder);
    await this.#try((keeping) => keeping.change(workspace, [[name, forgotten ? undefined : text]]));
  }

  async #try<T>(use: (keeping: Keeping) => Promise<T>): Promise<T | null> {
    const keeping = await this.#keeping;
    if (keeping === null) return null;
    try {
      return await use(keeping);
    } catch (error) {
      return this.#fail(error);
    }
  }

  #fail(error: unknown): null {
    const reason = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
    this.trouble = `This browser does not keep files for this page (${reason}). The page works as usual, but closing or reloading it forgets your logs and changes.`;
    return null;
  }
}
