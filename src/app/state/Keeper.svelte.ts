/** Keeps the reader's files behind the page. A browser that keeps nothing still works: then a sentence says so. */
import {NO_EDITS, type Edits, type Texts} from "../../workspace/edits.ts";
import {isText, workspaceName} from "../../workspace/fileRoles.ts";
import {folderKeeping, openKeeping, OWN, type Change, type Keeping} from "../../workspace/Keeping.ts";
import type {Content, KeptFile} from "../../workspace/keptFile.ts";
import {whyNotKept} from "../../workspace/whyNotKept.ts";
import {KeptContents} from "./KeptContents.ts";

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

/** What became of a change of one small text file. */
export type KeepAnswer =
  | {readonly how: "kept"}
  /** `trouble` says why; the text stands on the page alone */
  | {readonly how: "not kept"}
  /** another tab has written the file since this one knew it: `other` stands there; null: it took the file away */
  | {readonly how: "refused"; readonly other: string | null; /** what both began from */ readonly base: string | null};

export class Keeper {
  readonly #keeping: Promise<Keeping | null>;
  readonly #channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("wearbook");
  readonly #known = new KeptContents();

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
    const files = await this.#read(OWN);
    this.#known.knowAll(OWN, files);
    this.own = ownLogs(files);
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
    const files = await this.#read(folderKeeping(folder));
    this.#known.knowAll(folderKeeping(folder), files);
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
    const workspace = folderKeeping(folder);
    await this.#try((keeping) => keeping.replace(workspace, []));
    this.#known.knowAll(workspace, await this.#read(workspace));
    this.#tell({workspace, names: null});
  }

  /**
   * Keeps a change of one small text file: of the reader's own files (`folder` null) in its place, of a folder as a change
   * over what it holds.
   *
   * @param served its text in the folder; null: none
   */
  async keep(folder: string | null, name: string, text: string | null, served: string | null): Promise<KeepAnswer> {
    const workspace = workspaceOf(folder);
    const over = folder === null ? null : served;
    // a folder's file that stands as it is served is no change; an own file that was taken away is not kept
    const content: Content | undefined = text === over ? undefined : text;
    const kept = this.#known
      .of(workspace, name)
      .then((before) => this.#change(workspace, {name, content, before, over}));
    this.#known.know(
      workspace,
      name,
      kept.then(({left}) => left),
    );
    const {how, left, before} = await kept;
    if (how === "kept") this.#tell({workspace, names: [name]});
    return how === "refused" ? {how, other: textOf(left, over), base: textOf(before, over)} : {how};
  }

  /** @returns what the change leaves in the browser, and what stood there as far as this tab knew */
  async #change(workspace: string, change: Change): Promise<Left> {
    const {before, content} = change;
    const tried = await this.#try(async (keeping) => ({refused: await keeping.change(workspace, change)}));
    if (tried === null) return {how: "not kept", left: before, before};
    if (tried.refused === null) return {how: "kept", left: content, before};
    return {how: "refused", left: tried.refused.other, before};
  }

  /**
   * The text that is kept under a name; undefined when none is.
   *
   * @param take told it in the same moment in which this tab counts as knowing it
   */
  async text(folder: string | null, name: string, take: (text: string | null | undefined) => void): Promise<void> {
    const files = await this.#read(workspaceOf(folder));
    const content = files.find((file) => file.name === name)?.content;
    this.#known.know(workspaceOf(folder), name, Promise.resolve(content));
    take(content instanceof Blob ? undefined : content);
  }

  async #read(workspace: string): Promise<KeptFile[]> {
    return (await this.#try((keeping) => keeping.read(workspace))) ?? [];
  }

  #tell(told: Told): void {
    this.#channel?.postMessage(told);
  }

  async #hear(told: Told): Promise<void> {
    if (told.workspace === OWN && told.names === null) this.own = ownLogs(await this.#read(OWN));
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

function ownLogs(files: readonly KeptFile[]): OwnLogs | null {
  const logs = files.filter(({name}) => !isText(name));
  const changed = logs.map((log) => log.changed ?? "").sort();
  return logs.length === 0 ? null : {names: logs.map(({name}) => name), changed: changed.at(-1) || null};
}

interface Left {
  readonly how: KeepAnswer["how"];
  readonly left: Content | undefined;
  readonly before: Content | undefined;
}

const workspaceOf = (folder: string | null): string => (folder === null ? OWN : folderKeeping(folder));

const textOf = (content: Content | undefined, served: string | null): string | null =>
  content instanceof Blob ? null : content === undefined ? served : content;
