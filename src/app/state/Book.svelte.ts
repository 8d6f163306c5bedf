/** What the whole page shares: the logs that are open, the filters, the answers. */
import {SvelteMap} from "svelte/reactivity";
import type {Finding} from "../../../shared/findings.ts";
import type {Settings} from "../../../shared/settings.ts";
import type {Presentation, Where} from "../../cells/contract.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import type {CellAnswer, CellQuestion, ImportView, InView, LogSource, LogSummary} from "../worker/protocol.ts";
import {AHEAD, type Errand, type WorkerPool} from "../worker/WorkerPool.ts";
import {CellErrands} from "./CellErrands.ts";
import {readAddress, writeAddress, type PageAddress} from "./pageAddress.ts";

export type CellState =
  | {readonly status: "waiting"}
  | {readonly status: "running"; readonly since: number; readonly done: number; readonly of: number}
  | {readonly status: "answered"; readonly presentation: Presentation; readonly took: number}
  | {readonly status: "mistaken"; readonly message: string; readonly remedy: string | null}
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
  #view: Errand<"view"> | null = null;
  /** what was chosen last, to be read again with answers */
  #chosen: LogSource | null = null;

  /** null when nothing is being read */
  reading = $state.raw<Reading | null>(null);
  summary = $state.raw<LogSummary | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  /** how the files chosen last were read, refused ones too */
  importView = $state.raw<ImportView | null>(null);
  address = $state.raw<PageAddress>(readAddress(location.hash));
  inView = $state.raw<InView | null>(null);
  readonly answers = new SvelteMap<string, CellState>();

  readonly units: Settings["units"] = $derived(this.address.units ?? this.summary?.settings.units ?? "metric");

  constructor(pool: WorkerPool) {
    this.#pool = pool;
    this.#errands = new CellErrands(pool);
    addEventListener("hashchange", () => (this.address = readAddress(location.hash)));
  }

  /** Opens logs in place of those open now; when they are refused, what was open stays. */
  async open(source: LogSource): Promise<boolean> {
    this.reading = {text: source.from === "files" ? "reading the chosen files …" : "reading the logs …", share: null};
    this.trouble = null;
    const opened = await this.#pool.open(source, (text, share) => (this.reading = {text, share}));
    this.reading = null;
    if (!opened.opened && opened.stopped) return false;
    this.#chosen = source;
    this.importView = opened.opened ? opened.summary.view : (opened.view ?? null);
    if (!opened.opened) {
      this.trouble = {message: opened.message, findings: opened.findings};
      return false;
    }
    this.#errands.clear();
    this.answers.clear();
    this.summary = opened.summary;
    return true;
  }

  /** Ends the reading under way; what was open stays open. */
  stopReading(): void {
    this.#pool.stopOpening();
  }

  /** Reads the files chosen last once more, with the answers of a mapping: the text of a `mapping.yaml`. */
  async answer(mapping: string): Promise<boolean> {
    return this.#chosen === null ? false : this.open({...this.#chosen, mapping});
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

  /** Identifies an answer: same logs, settings, filters, kind and parameters give the same one. */
  keyOf({kind, body, bodyLine, picks, where, units}: CellQuestion): string {
    return JSON.stringify([this.summary?.id, kind, body, bodyLine, picks, where, units]);
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
    if (this.#errands.has(key) || this.answers.has(key)) return;
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
        else if (answered.how === "failed") this.answers.set(key, mistaken(answered.message));
        else this.#keep(key, answered.answer);
      },
    });
  }

  #keep(key: string, answer: CellAnswer): void {
    if (answer.answered) {
      this.answers.set(key, {status: "answered", presentation: answer.presentation, took: answer.took});
    } else this.answers.set(key, {status: "mistaken", message: answer.message, remedy: answer.remedy});
    for (const old of this.answers.keys()) {
      if (this.answers.size <= MOST_ANSWERS) break;
      if (!this.#errands.keeps(old)) this.answers.delete(old);
    }
  }
}

function mistaken(message: string): CellState {
  return {
    status: "mistaken",
    message: `This cell broke off: ${message}`,
    remedy: "The rest of the page is not touched. Narrow the filters, or load the logs again.",
  };
}
