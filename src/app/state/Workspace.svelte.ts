/** The workspace that is open, and how another one is opened in its place. */
import type {Finding} from "../../../shared/findings.ts";
import type {FileLines} from "../../charts/behind.ts";
import {NO_EDITS} from "../../workspace/edits.ts";
import {isText, MAPPING_FILE, roleOf, workspaceName} from "../../workspace/fileRoles.ts";
import {OWN} from "../../workspace/Keeping.ts";
import type {SheetTold} from "../../workspace/rowsTold.ts";
import type {ImportView, LogSource, LogSummary} from "../worker/protocol.ts";
import type {WorkerPool} from "../worker/WorkerPool.ts";
import {hasFile, inOrder, othersOf, sourceOpened, unpackGiven} from "./givenFiles.ts";
import type {FolderEdits, Keeper} from "./Keeper.svelte.ts";
import type {WriteAnswer} from "./KeptFiles.ts";
import {Notices} from "./Notices.svelte.ts";
import {tellChangedBelow, tellReplaced} from "./tellings.ts";
import {TextKeeping} from "./TextKeeping.svelte.ts";
import {WorkspaceFiles} from "./WorkspaceFiles.svelte.ts";

export interface Trouble {
  readonly message: string;
  readonly findings: readonly Finding[];
}

export interface Reading {
  /** what is being read now, in words */
  readonly text: string;
  /** of the files, 0 to 1; null where nobody can tell */
  readonly share: number | null;
}

export abstract class Workspace {
  readonly #pool: WorkerPool;
  #manifest = "";
  /** whether the reader's own files that are open are those that are kept */
  isKept = $state(true);
  /** whether the folder served beside the page is the demo fleet's */
  folderIsDemo = $state(true);
  /** what was chosen last, to be read again with answers */
  #chosen: LogSource | null = null;
  /** what is open */
  #source: LogSource | null = null;
  /** counts what was opened: only the last counts */
  #turn = 0;
  /** a file that changed while logs were being opened */
  #unheeded: string | null = null;

  /** null when nothing is being read */
  reading = $state.raw<Reading | null>(null);
  summary = $state.raw<LogSummary | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  /** how the files chosen last were read, refused ones too */
  importView = $state.raw<ImportView | null>(null);
  /** the files of the workspace that is open: text(name), write(name, text), remove(name), names */
  readonly files = new WorkspaceFiles((name, same) => this.#change(name, same));
  /** keeps the reader's files and changes in the browser */
  readonly keeper: Keeper;
  readonly notices = new Notices();
  readonly #texts: TextKeeping;

  constructor(pool: WorkerPool, keeper: Keeper) {
    this.#pool = pool;
    this.keeper = keeper;
    this.#texts = new TextKeeping(this);
  }

  /** Where it was served from; null: the reader's own files; undefined: nothing is open. */
  get folder(): string | null | undefined {
    return this.summary?.folder;
  }

  /** Whether a file, or any, holds something that was written and stands on this page alone. Reactive. */
  isBehind(name?: string): boolean {
    return this.#texts.isBehind(name);
  }

  /** Other logs are open. */
  protected abstract forgetAnswers(): void;

  /** Opens what the reader keeps here, unless a folder of logs was asked for; else the folder served beside the page. */
  async start(manifest: string): Promise<boolean> {
    this.#manifest = manifest;
    const own = await this.keeper.ownFiles();
    if (await this.#open({from: "folder", manifest, ...(own.length > 0 ? {own} : {})})) return true;
    const {trouble} = this;
    if (own.length === 0 || !(await this.openFolder())) return false;
    this.notices.tell(`Your own logs could not be opened again. ${trouble?.message ?? ""} They are still kept.`);
    return true;
  }

  /** Opens the folder served beside the page, with the changes made to it here. */
  async openFolder(): Promise<boolean> {
    return this.#open({from: "folder", manifest: this.#manifest});
  }

  /** Opens the reader's own logs as they are kept. */
  async openOwn(): Promise<boolean> {
    return this.#open({from: "files", files: await this.keeper.ownFiles()});
  }

  /**
   * Opens files of the reader's own and keeps them in place of the logs kept before; settings, mapping, records and pages
   * kept before stay, unless they are among the files. Small text files alone are put into the workspace that is open.
   */
  async openFiles(given: readonly File[]): Promise<boolean> {
    const unpacked = await unpackGiven(this.#pool, given);
    if (unpacked.files === null) {
      this.trouble = {message: unpacked.refused, findings: []};
      return false;
    }
    const {files, told} = unpacked;
    if (this.summary !== null && files.every(({name}) => isText(workspaceName(name)))) {
      for (const file of files) void this.files.write(file.name, await file.text());
      return true;
    }
    const before = await this.keeper.ownFiles();
    const texts = before.filter(({name}) => isText(name) && !hasFile(files, name));
    if (!(await this.#open({from: "files", files: inOrder([...files, ...texts])}))) return false;
    await this.#keepOpen();
    for (const sentence of told) this.notices.tell(sentence);
    tellReplaced(files, before, this.notices, (others, withThose) => void this.#reopen(others, withThose));
    return true;
  }

  /** Puts back whatever was changed in a folder: it stands as it is served. */
  async discardEdits(): Promise<void> {
    const folder = this.summary?.folder ?? null;
    if (folder === null) return;
    await this.keeper.forgetEdits(folder);
    await this.openFolder();
  }

  /** Forgets everything kept as the reader's own, and opens the folder beside the page. */
  async forgetOwn(): Promise<void> {
    await this.keeper.forgetOwn();
    await this.openFolder();
  }

  /** Every file of the open workspace as it now stands, to be packed. The tables are not in it, the logs are. */
  async allFiles(): Promise<File[]> {
    const source = this.#source;
    if (source === null) return [];
    const others = source.from === "files" ? source.files.filter(({name}) => !isText(workspaceName(name))) : [];
    const texts = this.files.names.flatMap((name) => {
      const text = this.files.text(name);
      return text === null ? [] : [new File([text], name)];
    });
    return inOrder([...others, ...texts]);
  }

  /** Rows of the open logs as they stand in their files. @throws Error with a sentence for the reader */
  async rowsAt(places: readonly FileLines[]): Promise<readonly SheetTold[]> {
    if (this.#source === null) throw new Error("no logs are open");
    const told = await this.#pool.ask("rows", {source: this.#source, places}, {urgency: -1}).done;
    if (told.how === "answered") return told.answer;
    throw new Error(told.how === "failed" ? told.message : "other logs were opened meanwhile");
  }

  /** Every file of the open workspace as it now stands, in one file; null, and the reader told, when that fails. */
  async pack(): Promise<Blob | null> {
    if (this.#source === null) return null;
    const texts = Object.fromEntries(
      this.files.names.map((name) => [name, this.files.text(name)] as const).filter(isWritten),
    );
    const packed = await this.#pool.ask("pack", {source: this.#source, texts}).done;
    if (packed.how === "answered") return packed.answer;
    if (packed.how === "failed") this.notices.tell(`The files could not be packed: ${packed.message}.`);
    return null;
  }

  async #reopen(others: readonly File[], withThose: boolean): Promise<void> {
    const all = withThose ? [...(await this.allFiles()), ...others] : others;
    if (await this.#open({from: "files", files: inOrder(all)})) await this.#keepOpen();
  }

  /** Opens logs in place of those open now; when they are refused, what was open stays. */
  async #open(source: LogSource): Promise<boolean> {
    const turn = ++this.#turn;
    this.reading = {text: source.from === "files" ? "reading the chosen files …" : "reading the logs …", share: null};
    this.trouble = null;
    const say = (text: string, share: number | null): void => {
      if (turn === this.#turn) this.reading = {text, share};
    };
    const opened = await this.#pool.open(source, say);
    const kept = opened.opened ? await this.#keptEdits(opened.summary, source) : null;
    if (turn !== this.#turn) return false;
    if (!opened.opened && opened.stopped) {
      this.#opened();
      return false;
    }
    const chosen = opened.opened ? sourceOpened(source, opened.summary) : source;
    this.#chosen = chosen;
    this.importView = opened.opened ? opened.summary.view : (opened.view ?? null);
    if (!opened.opened || kept === null) {
      if (!opened.opened) this.trouble = {message: opened.message, findings: opened.findings};
      this.#opened();
      return false;
    }
    const {edits, over} = kept;
    // a mapping says how the logs are read: one that was kept apart from them is heeded by reading again
    if (Object.hasOwn(edits, MAPPING_FILE) && chosen.edits === undefined) return this.#open({...chosen, edits});
    const amended = chosen.edits === undefined && edits !== NO_EDITS ? await this.#pool.amend(edits, say) : null;
    if (turn !== this.#turn) return false;
    this.forgetAnswers();
    if (this.#source !== chosen) this.notices.clear();
    this.#source = chosen;
    this.summary = amended ?? opened.summary;
    if (this.summary.folder !== null) this.folderIsDemo = this.summary.invented;
    const scope = opened.summary.folder ?? OWN;
    if (scope !== this.files.scope) this.#texts.begin();
    this.files.begin(scope, opened.summary.texts, edits, othersOf(opened.summary, chosen));
    tellChangedBelow(over, this.files, this.notices);
    this.#opened();
    return true;
  }

  #opened(): void {
    this.reading = null;
    if (this.#unheeded !== null) this.heed(this.#unheeded);
  }

  async #keptEdits({folder}: LogSummary, {edits}: LogSource): Promise<FolderEdits> {
    if (edits !== undefined || folder === null) return {edits: edits ?? NO_EDITS, over: {}};
    return this.keeper.edits(folder);
  }

  /** Keeps what is open as the reader's own. */
  async #keepOpen(): Promise<void> {
    this.isKept = await this.keeper.keepOwn(await this.allFiles());
    if (this.isKept) this.#texts.begin();
  }

  /** A small text file was changed on the page: it is kept, and whatever depends on it is made anew. */
  #change(name: string, same: boolean): Promise<WriteAnswer> {
    if (this.summary === null) return Promise.resolve({how: "not kept"});
    if (same && !this.#texts.isBehind(name)) return Promise.resolve({how: "kept"});
    if (!same) this.heed(name);
    return this.#texts.keep(name);
  }

  /** What is kept now takes the place of what is open. */
  openAgain(): void {
    void (this.folder === null ? this.openOwn() : this.openFolder());
  }

  /** Brings a changed text to the workers; at once, or when what is being opened is open or refused. */
  heed(name: string): void {
    if (isPage(name)) return; // the page itself reads its pages
    this.#unheeded = this.reading === null ? null : name;
    if (this.#unheeded === null && this.#source !== null) void this.#bring(name, this.#source);
  }

  async #bring(name: string, source: LogSource): Promise<void> {
    const {edits} = this.files;
    if (name === MAPPING_FILE) {
      await this.#open({...source, edits});
      return;
    }
    const summary = await this.#pool.amend(edits, () => undefined);
    if (summary !== null) this.summary = summary;
  }

  /** Ends the reading under way; what was open stays open. */
  stopReading(): void {
    this.#pool.stopOpening();
  }

  /** Reads the files chosen last once more, with the answers of a mapping: the text of a `mapping.yaml`. */
  async answer(mapping: string): Promise<boolean> {
    const chosen = this.#chosen;
    if (chosen === null) return false;
    const isOpen = chosen === this.#source;
    const edits = {...(isOpen ? this.files.edits : chosen.edits), [MAPPING_FILE]: mapping};
    if (!(await this.#open({...chosen, edits}))) return false;
    if (isOpen || chosen.from === "folder") await this.#texts.keep(MAPPING_FILE);
    else await this.#keepOpen();
    return true;
  }
}

const isPage = (name: string): boolean => ["analysis", "contents"].includes(roleOf(name));

const isWritten = (entry: readonly [string, string | null]): entry is readonly [string, string] => entry[1] !== null;
