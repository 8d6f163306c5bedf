/** What the whole page shares: the logs that are open, the filters, the answers. */
import {SvelteMap} from "svelte/reactivity";
import type {Settings} from "../../../shared/settings.ts";
import type {Presentation, Where} from "../../cells/contract.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import {askedBy} from "../../notebook/cellKeys.ts";
import type {CellAnswer, CellProblem, CellQuestion, InView, KindCard} from "../worker/protocol.ts";
import {AHEAD, type Errand, type WorkerPool} from "../worker/WorkerPool.ts";
import {CellErrands} from "./CellErrands.ts";
import type {Keeper} from "./Keeper.svelte.ts";
import {readAddress, writeAddress, type MarkAddress, type PageAddress} from "./pageAddress.ts";
import {Workspace} from "./Workspace.svelte.ts";

export type CellState =
  | {readonly status: "waiting"}
  | {readonly status: "running"; readonly since: number; readonly done: number; readonly of: number}
  | {readonly status: "answered"; readonly presentation: Presentation; readonly took: number}
  | {readonly status: "mistaken"; readonly problem: CellProblem; /** the text that is at fault */ readonly body: string}
  | {readonly status: "stopped"};

/** Cells out of sight wait behind those in sight. */
const OUT_OF_SIGHT = AHEAD / 2;
/** Answers kept; the oldest go first. */
const MOST_ANSWERS = 600;

export class Book extends Workspace {
  readonly #pool: WorkerPool;
  readonly #errands: CellErrands;
  #view: Errand<"view"> | null = null;
  #foreseen: readonly string[] = [];
  /** the rows that are looked at were opened from the page: closing them goes back to it */
  #rowsPushed = false;
  address = $state.raw<PageAddress>(readAddress(location.hash));
  inView = $state.raw<InView | null>(null);
  readonly answers = new SvelteMap<string, CellState>();
  /** the kinds of cell there are, once someone has asked for them */
  kinds = $state.raw<readonly KindCard[]>([]);

  readonly units: Settings["units"] = $derived(this.address.units ?? this.summary?.settings.units ?? "metric");

  constructor(pool: WorkerPool, keeper: Keeper) {
    super(pool, keeper);
    this.#pool = pool;
    this.#errands = new CellErrands(pool);
    addEventListener("hashchange", () => {
      this.address = readAddress(location.hash);
      if (this.address.rows === null) this.#rowsPushed = false;
    });
  }

  /** Other logs are open: no answer holds any more. */
  protected override forgetAnswers(): void {
    this.#errands.clear();
    this.answers.clear();
  }

  /** Goes to a page, keeping the filters; choices made on a page stay with it unless given along. */
  hrefOf(page: string, picks: Picks = {}): string {
    return writeAddress({...this.address, page, picks, rows: null});
  }

  /** Looks at the rows behind a mark; the way back of the browser closes them again. */
  showRows(mark: MarkAddress): void {
    const address = {...this.address, rows: mark};
    history.pushState(null, "", writeAddress(address));
    this.#rowsPushed = true;
    this.address = address;
  }

  hideRows(): void {
    if (this.address.rows === null) return;
    if (this.#rowsPushed) history.back();
    else this.#go({...this.address, rows: null});
  }

  filter(where: Where): void {
    this.#go({...this.address, where});
  }

  /** Chooses on the page; an empty value takes the choice back, no name takes all back. */
  pick(name: string | null, value = ""): void {
    const {[name ?? ""]: _, ...rest} = this.address.picks;
    this.#go({...this.address, picks: name === null ? {} : value === "" ? rest : {...rest, [name]: value}});
  }

  /** Reads the page as it was read when it was kept. */
  readAs({where, picks, units}: Pick<PageAddress, "where" | "picks"> & {readonly units: Settings["units"]}): void {
    this.#go({...this.address, where, picks});
    this.chooseUnits(units);
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

  /** Cells of this page as a choice that is being looked at would have them; the choice looked at before is let go. */
  foresee(questions: readonly CellQuestion[]): void {
    const keys = questions.map((question) => this.keyOf(question));
    for (const key of this.#foreseen) if (!keys.includes(key) && this.#errands.drop(key)) this.answers.delete(key);
    this.#foreseen = keys;
    this.prepare(questions);
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
    // other logs were opened meanwhile
    else if (answered.how === "stopped") await this.learnKinds();
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
