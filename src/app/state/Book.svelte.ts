/** What the whole page shares: the logs that are open, the filters, the answers. */
import {SvelteMap} from "svelte/reactivity";
import type {Finding} from "../../../shared/findings.ts";
import type {Settings} from "../../../shared/settings.ts";
import type {Presentation, Where} from "../../cells/contract.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import {NO_EDITS, type Edits} from "../../workspace/edits.ts";
import {OWN} from "../../workspace/Keeping.ts";
import {isText, MAPPING_FILE, roleOf, workspaceName} from "../../workspace/fileRoles.ts";
import {askedBy} from "../../notebook/cellKeys.ts";
import type {
  CellAnswer,
  CellProblem,
  CellQuestion,
  ImportView,
  InView,
  KindCard,
  LogSource,
  LogSummary,
} from "../worker/protocol.ts";
import {AHEAD, type Errand, type WorkerPool} from "../worker/WorkerPool.ts";
import {CellErrands} from "./CellErrands.ts";
import type {Keeper} from "./Keeper.svelte.ts";
import {readAddress, writeAddress, type PageAddress} from "./pageAddress.ts";
import {openTabs, type KeptElsewhere} from "./tabs.ts";
import {WorkspaceFiles} from "./WorkspaceFiles.svelte.ts";

export type CellState =
  | {readonly status: "waiting"}
  | {readonly status: "running"; readonly since: number; readonly done: number; readonly of: number}
  | {readonly status: "answered"; readonly presentation: Presentation; readonly took: number}
  | {readonly status: "mistaken"; readonly problem: CellProblem; /** the text that is at fault */ readonly body: string}
  | {readonly status: "stopped"};

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

/** Cells out of sight wait behind those in sight. */
const OUT_OF_SIGHT = AHEAD / 2;
/** Answers kept; the oldest go first. */
const MOST_ANSWERS = 600;

export class Book {
  readonly #pool: WorkerPool;
  readonly #errands: CellErrands;
  readonly #keeper: Keeper;
  readonly #tell: (kept: KeptElsewhere) => void;
  #view: Errand<"view"> | null = null;
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
  address = $state.raw<PageAddress>(readAddress(location.hash));
  inView = $state.raw<InView | null>(null);
  readonly answers = new SvelteMap<string, CellState>();
  /** the kinds of cell there are, once someone has asked for them */
  kinds = $state.raw<readonly KindCard[]>([]);

  readonly units: Settings["units"] = $derived(this.address.units ?? this.summary?.settings.units ?? "metric");

  /** the files of the workspace that is open: text(name), write(name, text), remove(name), names */
  readonly files = new WorkspaceFiles((name) => this.#change(name));

  /** @param keeper keeps the reader's files and changes in the browser */
  constructor(pool: WorkerPool, keeper: Keeper) {
    this.#pool = pool;
    this.#keeper = keeper;
    this.#errands = new CellErrands(pool);
    this.#tell = openTabs((kept) => this.#hear(kept));
    addEventListener("hashchange", () => (this.address = readAddress(location.hash)));
  }

  /** Opens what the reader keeps here, or else the folder served beside the page. */
  async start(manifest: string): Promise<boolean> {
    const kept = await this.#keeper.own();
    if (kept.length > 0 && (await this.#open({from: "files", files: kept}))) return true;
    return this.openFolder(manifest);
  }

  async openFolder(manifest: string): Promise<boolean> {
    return this.#open({from: "folder", manifest});
  }

  /**
   * Opens files of the reader's own and keeps them in place of the logs kept before; settings, mapping, records and pages
   * kept before stay, unless they are among the files. Small text files alone are put into the workspace that is open.
   */
  async openFiles(files: readonly File[]): Promise<boolean> {
    if (this.summary !== null && files.every(({name}) => isText(workspaceName(name)))) {
      for (const file of files) this.files.write(file.name, await file.text());
      return true;
    }
    const texts = (await this.#keeper.own()).filter(
      ({name}) => isText(name) && !files.some((file) => workspaceName(file.name) === name),
    );
    // in the order in which they are read again, so that the same files always give the same logs
    const all = [...files, ...texts].sort((a, b) => (a.name < b.name ? -1 : 1));
    if (!(await this.#open({from: "files", files: all}))) return false;
    await this.#keeper.keepOwn(all);
    return true;
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
    const edits = opened.opened ? await this.#keptEdits(opened.summary, source) : NO_EDITS;
    if (turn !== this.#turn) return false;
    if (!opened.opened && opened.stopped) {
      this.#opened();
      return false;
    }
    this.#chosen = source;
    this.importView = opened.opened ? opened.summary.view : (opened.view ?? null);
    if (!opened.opened) {
      this.reading = null;
      this.trouble = {message: opened.message, findings: opened.findings};
      this.#opened();
      return false;
    }
    // a mapping says how the logs are read: one that was kept apart from them is heeded by reading again
    if (Object.hasOwn(edits, MAPPING_FILE) && source.edits === undefined) return this.#open({...source, edits});
    const summary = source.edits === undefined && edits !== NO_EDITS ? await this.#pool.amend(edits, say) : null;
    if (turn !== this.#turn) return false;
    this.#errands.clear();
    this.answers.clear();
    this.#source = source;
    this.summary = summary ?? opened.summary;
    this.files.begin(scopeOf(opened.summary), opened.summary.texts, edits, othersOf(opened.summary, source));
    this.#opened();
    return true;
  }

  #opened(): void {
    this.reading = null;
    if (this.#unheeded !== null) void this.#heed(this.#unheeded);
  }

  async #keptEdits({folder}: LogSummary, {edits}: LogSource): Promise<Edits> {
    return edits ?? (folder === null ? NO_EDITS : this.#keeper.edits(folder));
  }

  /** A small text file was changed on the page: it is kept, and whatever depends on it is made anew. */
  #change(name: string): void {
    if (this.summary === null) return;
    void this.#keepText(name);
    this.#tell({scope: scopeOf(this.summary), name, text: this.files.text(name)});
    if (!isPage(name)) void this.#heed(name); // the page itself reads its pages
  }

  /** Another tab changed and kept a file of the same logs. */
  #hear({scope, name, text}: KeptElsewhere): void {
    if (this.summary === null || scope !== scopeOf(this.summary) || !isText(name)) return;
    if (this.files.hear(name, text) && !isPage(name)) void this.#heed(name);
  }

  /** Keeps a small text file as it now stands. */
  async #keepText(name: string): Promise<void> {
    const {edits} = this.files;
    await this.#keeper.keep(this.summary?.folder ?? null, name, this.files.text(name), Object.hasOwn(edits, name));
  }

  /** Brings a changed text to the workers; at once, or when what is being opened is open or refused. */
  async #heed(name: string): Promise<void> {
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
    if (isOpen || chosen.from === "folder") await this.#keepText(MAPPING_FILE);
    else await this.#keeper.keepOwn([...chosen.files, new File([mapping], MAPPING_FILE)]);
    return true;
  }

  /** Goes to a page, keeping the filters; choices made on a page stay with it unless given along. */
  hrefOf(page: string, picks: Picks = {}): string {
    return writeAddress({...this.address, page, picks});
  }

  filter(where: Where): void {
    this.#go({...this.address, where});
  }

  /** Chooses on the page; an empty value takes the choice back, no name takes all back. */
  pick(name: string | null, value = ""): void {
    const {[name ?? ""]: _, ...rest} = this.address.picks;
    this.#go({...this.address, picks: name === null ? {} : value === "" ? rest : {...rest, [name]: value}});
  }

  chooseUnits(units: Settings["units"]): void {
    this.#go({...this.address, units: units === this.summary?.settings.units ? null : units});
  }

  /**
   * Identifies an answer: same logs, settings, records, filters, kind and parameters give the same one. Where the cell
   * stands, and remarks in its body, are no part of it.
   */
  keyOf({kind, body, closed, picks, where, units}: CellQuestion): string {
    const records = (this.summary?.reads[kind] ?? []).map((record) => this.summary?.recordIds[record]);
    return JSON.stringify([this.summary?.id, ...records, kind, askedBy(body), closed, picks, where, units]);
  }

  /** The cells of the page that is read, in its order. What is no longer wanted is dropped. */
  want(questions: readonly CellQuestion[]): void {
    const keys = questions.map((question) => this.keyOf(question));
    for (const key of this.#errands.want(keys)) this.answers.delete(key);
    questions.forEach((question, place) => this.#ask(keys[place]!, question, place));
  }

  /** Cells of pages that may be opened next; asked when nothing else waits. */
  prepare(questions: readonly CellQuestion[]): void {
    questions.forEach((question, place) => this.#ask(this.keyOf(question), question, AHEAD + place));
  }

  stop(key: string): void {
    this.#errands.stop(key);
  }

  resume(question: CellQuestion): void {
    const key = this.keyOf(question);
    this.answers.delete(key);
    this.#ask(key, question, 0);
  }

  /** The reader's eye is on this cell, or has left it. */
  look(key: string, place: number, seen: boolean): void {
    this.#errands.urgency(key, seen ? place : place + OUT_OF_SIGHT);
  }

  /** Fetches the kinds of cell, for the forms of a page under change. */
  async learnKinds(): Promise<void> {
    if (this.kinds.length > 0) return;
    const answered = await this.#pool.ask("kinds", null, {urgency: -1}).done;
    if (answered.how === "answered") this.kinds = answered.answer;
  }

  /** Counts what the filters leave. */
  async count(where: Where): Promise<void> {
    this.#view?.forget();
    const errand = this.#pool.ask("view", where, {urgency: -1});
    this.#view = errand;
    const answered = await errand.done;
    if (this.#view === errand && answered.how === "answered") this.inView = answered.answer;
  }

  #go(address: PageAddress): void {
    history.replaceState(null, "", writeAddress(address));
    this.address = address;
  }

  #ask(key: string, question: CellQuestion, place: number): void {
    this.#errands.urgency(key, place);
    const known = this.answers.get(key);
    // the line of a mistake is that of the text it was found in
    const stale = known?.status === "mistaken" && known.body !== question.body;
    if (this.#errands.has(key) || (known !== undefined && !stale)) return;
    this.answers.set(key, {status: "waiting"});
    let since = 0;
    this.#errands.start(key, question, place, {
      begun: () => {
        since = performance.now();
        this.answers.set(key, {status: "running", since, done: 0, of: 0});
      },
      progress: (done, of) => this.answers.set(key, {status: "running", since, done, of}),
      ended: (answered) => {
        if (answered.how === "stopped") this.answers.set(key, {status: "stopped"});
        else if (answered.how === "failed") this.answers.set(key, mistaken(answered.message, question.body));
        else this.#keep(key, answered.answer, question.body);
      },
    });
  }

  #keep(key: string, answer: CellAnswer, body: string): void {
    if (answer.answered) {
      this.answers.set(key, {status: "answered", presentation: answer.presentation, took: answer.took});
    } else this.answers.set(key, {status: "mistaken", problem: answer.problem, body});
    for (const old of this.answers.keys()) {
      if (this.answers.size <= MOST_ANSWERS) break;
      if (!this.#errands.keeps(old)) this.answers.delete(old);
    }
  }
}

/** Files of the workspace besides the small text files. */
function othersOf(summary: LogSummary, source: LogSource): readonly string[] {
  const names = source.from === "files" ? source.files.map(({name}) => name) : summary.files.map(({name}) => name);
  return names.filter((name) => !isText(workspaceName(name)));
}

const isPage = (name: string): boolean => ["analysis", "contents"].includes(roleOf(name));

/** Whose files are open: a folder's, or the reader's own. */
const scopeOf = ({folder}: LogSummary): string => folder ?? OWN;

function mistaken(message: string, body: string): CellState {
  return {
    status: "mistaken",
    body,
    problem: {
      line: null,
      message: `it broke off: ${message}`,
      remedy: "the rest of the page is not touched; narrow the filters, or load the logs again.",
    },
  };
}
