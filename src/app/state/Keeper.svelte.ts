/** Keeps the reader's files behind the page. A browser that keeps nothing still works: then a sentence says so. */
import {NO_EDITS, type Edits, type Texts} from "../../workspace/edits.ts";
import {isText, workspaceName} from "../../workspace/fileRoles.ts";
import {folderKeeping, openKeeping, OWN, type Keeping} from "../../workspace/Keeping.ts";
import type {Content, KeptFile} from "../../workspace/keptFile.ts";
import {whyNotKept} from "../../workspace/whyNotKept.ts";

/** What one tab tells the others. */
export interface Told {
  readonly workspace: string;
  /** the text files that were written; null: all files were replaced */
  readonly names: readonly string[] | null;
}

export interface FolderEdits {
  readonly edits: Edits;
  /** what the folder held when they were made */
  readonly over: Texts;
}

/** The reader's own logs, as the page names them. */
export interface OwnLogs {
  readonly names: readonly string[];
  /** ISO; null: nobody noted it */
  readonly changed: string | null;
}

export class Keeper {
  readonly #keeping: Promise<Keeping | null>;
  readonly #channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("wearbook");

  /** why nothing is kept, or not all; null when all is well */
  trouble = $state<string | null>(null);
  /** the logs kept as the reader's own; null when there are none */
  own = $state.raw<OwnLogs | null>(null);
  /** whether the browser has promised not to clear them by itself; null: not asked */
  lasting = $state<boolean | null>(null);
  /** told when another tab has kept something */
  ontold: ((told: Told) => void) | null = null;

  constructor(open: () => Promise<Keeping> = openKeeping) {
    this.#keeping = open().then(
      (keeping) => {
        keeping.onlost = (reason) => this.#fail(reason);
        return keeping;
      },
      (error: unknown) => this.#fail(error),
    );
    if (this.#channel) this.#channel.onmessage = ({data}: MessageEvent<Told>) => void this.#hear(data);
  }

  /** The reader's own files; none when none are kept. */
  async ownFiles(): Promise<File[]> {
    const files = (await this.#try((keeping) => keeping.read(OWN))) ?? [];
    const logs = files.filter(({name}) => !isText(name));
    const changed = logs.map((log) => log.changed ?? "").sort();
    this.own = logs.length === 0 ? null : {names: logs.map(({name}) => name), changed: changed.at(-1) || null};
    if (this.own === null) return [];
    return files.flatMap(({name, content}) => (content === null ? [] : [new File([content], name)]));
  }

  /** Puts files in place of all that were kept as the reader's own, in one step; false when they could not be kept. */
  async keepOwn(files: readonly File[]): Promise<boolean> {
    // the browser is asked once, and says no or nothing where it does not matter
    void navigator.storage?.persist?.().then((lasting) => (this.lasting = lasting));
    const kept = await this.#try(async (keeping) => {
      const entries: [string, Content][] = [];
      for (const file of files) {
        const name = workspaceName(file.name);
        entries.push([name, isText(name) ? await file.text() : file]);
      }
      await keeping.replace(OWN, entries);
      return true;
    });
    if (kept === null) return false;
    this.trouble = null;
    await this.ownFiles();
    this.#tell({workspace: OWN, names: null});
    return true;
  }

  /** Forgets the reader's own files, all of them. */
  async forgetOwn(): Promise<void> {
    await this.#try((keeping) => keeping.replace(OWN, []));
    await this.ownFiles();
    this.#tell({workspace: OWN, names: null});
  }

  /** The changes kept for a folder. */
  async edits(folder: string): Promise<FolderEdits> {
    const files = (await this.#try((keeping) => keeping.read(folderKeeping(folder)))) ?? [];
    if (files.length === 0) return {edits: NO_EDITS, over: {}};
    const isTextFile = (file: KeptFile): file is KeptFile & {content: string | null} => !(file.content instanceof Blob);
    const texts = files.filter(isTextFile);
    return {
      edits: Object.fromEntries(texts.map(({name, content}) => [name, content])),
      over: Object.fromEntries(texts.flatMap(({name, over}) => (over === null ? [] : [[name, over]]))),
    };
  }

  /** Forgets the changes to a folder: it stands again as it is served. */
  async forgetEdits(folder: string): Promise<void> {
    await this.#try((keeping) => keeping.replace(folderKeeping(folder), []));
    this.#tell({workspace: folderKeeping(folder), names: null});
  }

  /**
   * Keeps a change of one small text file: of the reader's own files (`folder` null) in its place, of a folder as a change
   * over what it holds.
   *
   * @returns what another tab wrote in the meantime, which then stands; null when the change is kept or cannot be
   */
  async keep(folder: string | null, name: string, {before, after}: TextChange): Promise<{text: string | null} | null> {
    const workspace = folder === null ? OWN : folderKeeping(folder);
    const base = folder === null ? null : (after.base ?? null);
    // a folder's file that stands as it is served is no change; an own file that was taken away is not kept
    const kept = (text: string | null): Content | undefined => (text === base ? undefined : text);
    const answer = await this.#try((keeping) =>
      keeping.change(workspace, {name, content: kept(after.text), before: kept(before), over: base}),
    );
    if (answer !== null) return {text: textOf(answer.other, base)};
    this.#tell({workspace, names: [name]});
    return null;
  }

  /** The text that is kept under a name; undefined when none is. */
  async text(folder: string | null, name: string): Promise<string | null | undefined> {
    const files = await this.#try((keeping) => keeping.read(folder === null ? OWN : folderKeeping(folder)));
    const content = files?.find((file) => file.name === name)?.content;
    return content instanceof Blob ? undefined : content;
  }

  #tell(told: Told): void {
    this.#channel?.postMessage(told);
  }

  async #hear(told: Told): Promise<void> {
    if (told.workspace === OWN && told.names === null) await this.ownFiles();
    this.ontold?.(told);
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
    this.trouble = whyNotKept(error);
    return null;
  }
}

export interface TextChange {
  /** the text till now; null: there was no file */
  readonly before: string | null;
  readonly after: {readonly text: string | null; /** as a folder holds it */ readonly base?: string | null};
}

const textOf = (content: Content | undefined, base: string | null): string | null =>
  content instanceof Blob ? null : content === undefined ? base : content;
