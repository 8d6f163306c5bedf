/** The workspace that is open: its logs, its files, where they are kept, and what the reader must be told of them. */
import type {Finding} from "../../../shared/findings.ts";
import type {FileLines} from "../../charts/behind.ts";
import {NO_EDITS, type Texts} from "../../workspace/edits.ts";
import {isPack, isText, MAPPING_FILE, roleOf, workspaceName} from "../../workspace/fileRoles.ts";
import {folderKeeping, OWN} from "../../workspace/Keeping.ts";
import type {SheetTold} from "../../workspace/rowsTold.ts";
import type {ImportView, LogSource, LogSummary} from "../worker/protocol.ts";
import type {WorkerPool} from "../worker/WorkerPool.ts";
import type {FolderEdits, Keeper, Told} from "./Keeper.svelte.ts";
import {Notices} from "./Notices.svelte.ts";
import {WorkspaceFiles} from "./WorkspaceFiles.svelte.ts";

export interface Trouble {
  readonly message: string;
  readonly findings: readonly Finding[];
}

export interface Reading {
  /** what is being read now, in words */
  readonly text: string;
  /** of the file, 0 to 1; null where nobody can tell */
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
  /** of a packed workspace that is being opened: what the reader must know */
  #told: string[] = [];
  /** a file that changed while logs were being opened */
  #unheeded: string | null = null;

  /** null when nothing is being read */
  reading = $state.raw<Reading | null>(null);
  summary = $state.raw<LogSummary | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  /** how the files chosen last were read, refused ones too */
  importView = $state.raw<ImportView | null>(null);
  /** the files of the workspace that is open: text(name), write(name, text), remove(name), names */
  readonly files = new WorkspaceFiles((name, before) => this.#change(name, before));
  /** keeps the reader's files and changes in the browser */
  readonly keeper: Keeper;
  readonly notices = new Notices();

  constructor(pool: WorkerPool, keeper: Keeper) {
    this.#pool = pool;
    this.keeper = keeper;
    keeper.ontold = (told) => void this.#hear(told);
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
    const files = await this.#unpacked(given);
    if (files === null) return false;
    if (this.summary !== null && files.every(({name}) => isText(workspaceName(name)))) {
      for (const file of files) this.files.write(file.name, await file.text());
      return true;
    }
    const before = await this.keeper.ownFiles();
    const texts = before.filter(({name}) => isText(name) && !hasFile(files, name));
    if (!(await this.#open({from: "files", files: inOrder([...files, ...texts])}))) return false;
    await this.#keepOpen();
    for (const sentence of this.#told.splice(0)) this.notices.tell(sentence);
    this.#tellReplaced(files, before);
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

  /** The files chosen, with those of packed workspaces in their place; null, and the reader told, when one cannot be used. */
  async #unpacked(given: readonly File[]): Promise<File[] | null> {
    const files: File[] = [];
    const told: string[] = [];
    for (const file of given) {
      if (!isPack(file.name)) {
        files.push(file);
        continue;
      }
      const unpacked = await this.#pool.ask("unpack", file).done;
      const refused = unpacked.how === "answered" ? unpacked.answer.refused : "it could not be read";
      if (unpacked.how !== "answered" || unpacked.answer.files === null) {
        this.trouble = {message: `${file.name} cannot be opened: ${refused ?? ""}.`, findings: []};
        return null;
      }
      if (unpacked.answer.files.length === 0) {
        const sentences = unpacked.answer.told.join(" ");
        this.trouble = {
          message: `${file.name} holds no log and nothing else of a workspace. ${sentences}`,
          findings: [],
        };
        return null;
      }
      told.push(...unpacked.answer.told);
      files.push(...unpacked.answer.files.map(({name, bytes}) => new File([bytes as Uint8Array<ArrayBuffer>], name)));
    }
    this.#told = told;
    return files;
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
    this.files.begin(opened.summary.folder ?? OWN, opened.summary.texts, edits, othersOf(opened.summary, chosen));
    this.#tellChangedBelow(over);
    this.#opened();
    return true;
  }

  #opened(): void {
    this.reading = null;
    if (this.#unheeded !== null) void this.#heed(this.#unheeded);
  }

  async #keptEdits({folder}: LogSummary, {edits}: LogSource): Promise<FolderEdits> {
    if (edits !== undefined || folder === null) return {edits: edits ?? NO_EDITS, over: {}};
    return this.keeper.edits(folder);
  }

  /** Keeps what is open as the reader's own. */
  async #keepOpen(): Promise<void> {
    this.isKept = await this.keeper.keepOwn(await this.allFiles());
  }

  /** A small text file was changed on the page: it is kept, and whatever depends on it is made anew. */
  #change(name: string, before: string | null): void {
    if (this.summary === null) return;
    void this.#keepText(name, before);
    void this.#heed(name);
  }

  /** Keeps a small text file as it now stands, unless another tab has written it meanwhile: then the reader decides. */
  async #keepText(name: string, before: string | null): Promise<void> {
    const folder = this.summary?.folder ?? null;
    if (folder === null && !this.isKept) return;
    const mine = this.files.text(name);
    const after = {text: mine, base: this.files.original(name)};
    const other = await this.keeper.keep(folder, name, {before, after});
    if (other === null) return;
    this.files.take(name, other.text);
    void this.#heed(name);
    this.notices.tell(
      `${name} was changed in another tab at the same time. What the other tab wrote stands; what you wrote here is not kept yet.`,
      [
        {
          label: "Put mine in its place",
          act: () => (mine === null ? this.files.remove(name) : this.files.write(name, mine)),
        },
      ],
    );
  }

  /** Brings a changed text to the workers; at once, or when what is being opened is open or refused. */
  async #heed(name: string): Promise<void> {
    if (isPage(name)) return; // the page itself reads its pages
    this.#unheeded = this.reading === null ? null : name;
    if (this.#unheeded !== null || this.#source === null) return;
    const {edits} = this.files;
    if (name === MAPPING_FILE) {
      await this.#open({...this.#source, edits});
      return;
    }
    const summary = await this.#pool.amend(edits, () => undefined);
    if (summary !== null) this.summary = summary;
  }

  /** Another tab has kept something: what it wrote stands here too, and the reader is told. */
  async #hear({workspace, names}: Told): Promise<void> {
    const folder = this.summary?.folder ?? null;
    if (this.summary === null || workspace !== (folder === null ? OWN : folderKeeping(folder))) return;
    if (names === null) {
      this.isKept = false;
      this.notices.tell(
        folder === null
          ? "Your own logs were replaced or forgotten in another tab. This tab still shows the earlier ones, and keeps no change of them."
          : "Your changes to these logs were thrown away in another tab. This tab still shows them.",
        [{label: "Open what is kept now", act: () => void (folder === null ? this.openOwn() : this.openFolder())}],
      );
      return;
    }
    for (const name of names) {
      const text = await this.keeper.text(folder, name);
      this.files.take(name, text === undefined ? (folder === null ? null : this.files.original(name)) : text);
      void this.#heed(name);
    }
    // a page tells of its own changes where it is read
    const told = names.filter((name) => !isPage(name));
    if (told.length > 0) this.notices.tell(`${told.join(", ")} was changed in another tab; this tab now shows it.`);
  }

  /** A changed file hides the folder's own: the reader is told when that one has changed since. */
  #tellChangedBelow(over: Texts): void {
    for (const [name, text] of Object.entries(over)) {
      const original = this.files.original(name);
      if (original === text || original === null) continue;
      this.notices.tell(`${name} in the folder has changed since you changed it on this page. Yours is in use.`, [
        {label: "Use the folder's instead", act: () => this.files.write(name, original)},
      ]);
    }
  }

  #tellReplaced(files: readonly File[], before: readonly File[]): void {
    const logs = before.filter(({name}) => !isText(name));
    if (logs.length === 0) return;
    const others = logs.filter(({name}) => !hasFile(files, name));
    const reopen = async (all: readonly File[]): Promise<void> => {
      if (await this.#open({from: "files", files: inOrder(all)})) await this.#keepOpen();
    };
    this.notices.tell(`These took the place of the logs kept before: ${logs.map(({name}) => name).join(", ")}.`, [
      ...(others.length === 0 || others.length < logs.length
        ? []
        : [
            {
              label: "Use the earlier ones as well",
              act: () => void this.allFiles().then((all) => reopen([...all, ...others])),
            },
          ]),
      {label: "Go back to the earlier ones", act: () => void reopen(before)},
    ]);
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
    const before = isOpen ? this.files.text(MAPPING_FILE) : null;
    const edits = {...(isOpen ? this.files.edits : chosen.edits), [MAPPING_FILE]: mapping};
    if (!(await this.#open({...chosen, edits}))) return false;
    if (isOpen || chosen.from === "folder") await this.#keepText(MAPPING_FILE, before);
    else await this.#keepOpen();
    return true;
  }
}

/** Files of the workspace besides the small text files. */
function othersOf(summary: LogSummary, source: LogSource): readonly string[] {
  const names = source.from === "files" ? source.files.map(({name}) => name) : summary.files.map(({name}) => name);
  return names.filter((name) => !isText(workspaceName(name)));
}

/** What was opened in fact: the reader's own files come before an invented folder. */
function sourceOpened(source: LogSource, {folder}: LogSummary): LogSource {
  if (source.from === "files" || source.own === undefined) return source;
  return folder === null ? {from: "files", files: source.own} : {from: "folder", manifest: source.manifest};
}

const isPage = (name: string): boolean => ["analysis", "contents"].includes(roleOf(name));

const isWritten = (entry: readonly [string, string | null]): entry is readonly [string, string] => entry[1] !== null;

/** In the order of their names, so that the same files always give the same logs. */
const inOrder = (files: readonly File[]): File[] => [...files].sort((a, b) => (a.name < b.name ? -1 : 1));

const hasFile = (files: readonly File[], name: string): boolean =>
  files.some((file) => workspaceName(file.name) === name);
