/**
 * A few equal workers that hold the tables and answer questions, most urgent first.
 *
 * A cell computes without a pause, so a worker in the middle of one hears nothing: stopping it means ending the
 * worker. Its replacement takes the tables from a worker that has them, without the page in between.
 */
import type {
  FromWorker,
  ImportView,
  LogSource,
  LogSummary,
  Question,
  QuestionKind,
  Questions,
  ToWorker,
} from "./protocol.ts";
import {NO_EDITS, type Edits} from "../../workspace/edits.ts";
import type {Finding} from "../../../shared/findings.ts";

/** The part of Worker that the pool uses. */
export interface WorkerLike {
  postMessage(message: ToWorker, transfer?: Transferable[]): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export type Opened =
  | {readonly opened: true; readonly summary: LogSummary}
  | {
      readonly opened: false;
      readonly message: string;
      readonly findings: readonly Finding[];
      readonly view?: ImportView;
      /** it was stopped on request: nothing is wrong */
      readonly stopped?: true;
    };

export type Answered<K extends QuestionKind> =
  | {readonly how: "answered"; readonly answer: Questions[K]["answer"]}
  | {readonly how: "failed"; readonly message: string}
  | {readonly how: "stopped"};

/** A question under way. */
export interface Errand<K extends QuestionKind> {
  readonly done: Promise<Answered<K>>;
  /** ends it, at once, wherever it stands */
  stop(): void;
  /** nobody waits for it any more: it is dropped if it has not begun, and ended if it holds others up */
  forget(): void;
  /** smaller is more urgent */
  urgency(value: number): void;
}

export interface ErrandOptions {
  readonly urgency?: number;
  begun?(): void;
  progress?(done: number, of: number): void;
}

interface Job extends ErrandOptions {
  readonly id: number;
  readonly question: Question;
  urgency: number;
  settle(answered: Answered<QuestionKind>): void;
}

/** Unpacking looks at the file it is given and at nothing else. */
const needsNoTables = ({question}: Job): boolean => question.kind === "unpack";

interface Post {
  worker: WorkerLike;
  /** whether it has the tables, and if not, how it comes by them */
  state: "bare" | "reading" | "taking" | "ready";
  /** whose tables it waits for, while taking */
  donor: Post | null;
  job: Job | null;
  /** how often its worker died since one last said anything */
  falls: number;
}

/** Small text files that have changed, on their way into every worker. */
interface Amending {
  readonly message: Extract<ToWorker, {type: "amend"}>;
  reading(text: string, share: number | null): void;
  settle(summary: LogSummary | null): void;
}

interface Opening {
  readonly reader: Post;
  /** what the reader goes back to when the logs are refused */
  readonly before: "ready" | "bare";
  reading(text: string, share: number | null): void;
  settle(opened: Opened): void;
}

/** Questions at least this far from urgent are asked ahead of need: they never take the last free worker. */
export const AHEAD = 1000;

/** How long a forgotten question may still hold a worker that others wait for; a new worker takes some time to start. */
const PATIENCE_MS = 1000;

/** After so many deaths in a row a post stays empty: its script cannot be loaded or cannot start. */
const MOST_FALLS = 3;

export class WorkerPool {
  readonly #make: () => WorkerLike;
  readonly #posts: Post[] = [];
  readonly #waiting: Job[] = [];
  /** what is open, to be read again when no worker is left that has it */
  #source: LogSource | null = null;
  /** what is being opened */
  #offered: LogSource | null = null;
  #nextId = 1;
  #opening: Opening | null = null;
  #amending: Amending | null = null;

  constructor(make: () => WorkerLike, size = 2) {
    this.#make = make;
    for (let i = 0; i < size; i++) {
      this.#posts.push(this.#staff({worker: make(), state: "bare", donor: null, job: null, falls: 0}));
    }
  }

  /** Reads logs; what was open stays open when they are refused. */
  open(source: LogSource, reading: (text: string, share: number | null) => void): Promise<Opened> {
    if (this.#opening) {
      const {reader, settle} = this.#opening;
      settle({opened: false, message: "other logs were chosen meanwhile", findings: []});
      this.#replace(reader); // it may already hold what nobody wants any more
    }
    const reader =
      this.#posts.find(({state, job}) => state === "ready" && job === null) ??
      this.#posts.find(({job}) => job === null) ??
      this.#posts[0]!;
    const before = reader.state === "ready" && reader.job === null ? "ready" : "bare";
    if (before === "bare" && (reader.job !== null || reader.state !== "bare")) this.#renew(reader);
    return new Promise((resolve) => {
      this.#opening = {
        reader,
        before,
        reading,
        settle: (opened) => {
          this.#opening = null;
          resolve(opened);
        },
      };
      reader.state = "reading";
      this.#send(reader, {type: "load", source});
      this.#offered = source;
    });
  }

  /** Ends the reading under way, if there is one, wherever it stands; what was open stays open. */
  stopOpening(): void {
    if (!this.#opening) return;
    const {reader, settle} = this.#opening;
    settle({opened: false, message: "the reading was stopped", findings: [], stopped: true});
    this.#replace(reader);
    this.#deal();
  }

  /**
   * Changes the small text files beside the open logs. Every worker hears of it in turn, so whatever is asked from now on
   * is answered from the changed ones; questions under way are answered as they were asked.
   *
   * @returns the summary after it; null when other logs or a later change took its place
   */
  amend(edits: Edits, reading: (text: string, share: number | null) => void): Promise<LogSummary | null> {
    this.#amending?.settle(null);
    if (this.#source === null) return Promise.resolve(null);
    this.#source = {...this.#source, edits};
    const message = {type: "amend", edits, serial: this.#nextId++} as const;
    return new Promise((resolve) => {
      this.#amending = {
        message,
        reading,
        settle: (summary) => {
          this.#amending = null;
          resolve(summary);
        },
      };
      for (const post of this.#posts) if (post !== this.#opening?.reader) this.#send(post, message);
    });
  }

  /** Asks; the answer comes when a worker is free and nothing more urgent waits. */
  ask<K extends QuestionKind>(kind: K, ask: Questions[K]["ask"], options: ErrandOptions = {}): Errand<K> {
    let settle: (answered: Answered<K>) => void = () => undefined;
    const done = new Promise<Answered<K>>((resolve) => (settle = resolve));
    const job: Job = {
      ...options,
      id: this.#nextId++,
      question: {kind, ask} as Question,
      urgency: options.urgency ?? 0,
      settle: settle as Job["settle"],
    };
    this.#waiting.push(job);
    this.#deal();
    return {
      done,
      stop: () => this.#stop(job),
      forget: () => this.#forget(job),
      urgency: (value) => {
        job.urgency = value;
      },
    };
  }

  /** The reader's new tables are everyone's; questions about the old ones are void. */
  #spread(reader: Post): void {
    this.#amending?.settle(null);
    this.#source = this.#offered;
    reader.state = "ready";
    const waiting = this.#waiting.splice(0);
    this.#waiting.push(...waiting.filter(needsNoTables));
    for (const job of waiting) if (!needsNoTables(job)) job.settle({how: "stopped"});
    for (const post of this.#posts) {
      if (post === reader) continue;
      // one in the middle of something could come out of it with the old tables
      if ((post.job !== null && !needsNoTables(post.job)) || post.state === "reading") {
        post.job?.settle({how: "stopped"});
        post.job = null;
        this.#renew(post);
      }
      this.#supply(post, reader);
    }
  }

  #staff(post: Post): Post {
    const {worker} = post;
    worker.onmessage = ({data}) => {
      if (post.worker !== worker) return;
      post.falls = 0;
      this.#hear(post, data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      if (post.worker === worker) this.#fall(post, event.message || "the worker ended without saying why");
    };
    return post;
  }

  #hear(post: Post, message: FromWorker): void {
    const opening = this.#opening?.reader === post ? this.#opening : null;
    switch (message.type) {
      case "reading":
        (opening ?? this.#amending)?.reading(message.text, message.share ?? null);
        return;
      case "loaded":
        post.state = "ready";
        if (opening) {
          this.#spread(post);
          opening.settle({opened: true, summary: message.summary});
        }
        break;
      case "refused":
        post.state = opening?.before ?? "bare";
        if (opening) {
          const {message: sentence, findings, view} = message;
          opening.settle({opened: false, message: sentence, findings, ...(view === undefined ? {} : {view})});
          if (post.state === "bare") this.#refill(post);
          // it heard nothing of what changed while it read
          else if (this.#source) this.#send(post, {type: "amend", edits: this.#source.edits ?? NO_EDITS, serial: 0});
        }
        break;
      case "taken":
        post.state = "ready";
        post.donor = null;
        break;
      case "amended":
        if (this.#amending?.message.serial === message.serial) this.#amending.settle(message.summary);
        return;
      case "progress":
        if (post.job?.id === message.id) post.job.progress?.(message.done, message.of);
        return;
      case "answer":
        this.#finish(post, message.id, {how: "answered", answer: message.answer});
        break;
      case "failed":
        this.#finish(post, message.id, {how: "failed", message: message.message});
        break;
    }
    this.#deal();
  }

  #finish(post: Post, id: number, answered: Answered<QuestionKind>): void {
    if (post.job?.id !== id) return;
    const {job} = post;
    post.job = null;
    job.settle(answered);
  }

  /** A worker died of an error of its own. */
  #fall(post: Post, message: string): void {
    const {job} = post;
    const opening = this.#opening?.reader === post ? this.#opening : null;
    post.job = null;
    post.falls += 1;
    opening?.settle({opened: false, message: `the logs could not be read: ${message}`, findings: []});
    if (post.falls < MOST_FALLS) this.#replace(post);
    else this.#vacate(post);
    job?.settle({how: "failed", message});
    if (this.#posts.every(({falls}) => falls >= MOST_FALLS)) {
      for (const waiting of this.#waiting.splice(0)) waiting.settle({how: "failed", message});
    }
    this.#deal();
  }

  #stop(job: Job): void {
    const post = this.#posts.find((each) => each.job === job);
    if (post) {
      post.job = null;
      this.#replace(post);
    } else if (!this.#withdraw(job)) return;
    job.settle({how: "stopped"});
    this.#deal();
  }

  #forget(job: Job): void {
    if (this.#withdraw(job)) {
      job.settle({how: "stopped"});
      return;
    }
    setTimeout(() => this.#endForgotten(job), PATIENCE_MS);
  }

  /** Ends what nobody waits for when it holds others up, unless no other worker could go on meanwhile. */
  #endForgotten(job: Job): void {
    const post = this.#posts.find((each) => each.job === job);
    if (post === undefined || this.#waiting.length === 0) return;
    if (this.#posts.some((each) => each !== post && each.state === "ready")) this.#stop(job);
    else setTimeout(() => this.#endForgotten(job), PATIENCE_MS);
  }

  #withdraw(job: Job): boolean {
    const at = this.#waiting.indexOf(job);
    if (at < 0) return false;
    this.#waiting.splice(at, 1);
    return true;
  }

  /** A fresh worker at the same post, and the tables for it. */
  #replace(post: Post): void {
    this.#renew(post);
    this.#refill(post);
  }

  /** A fresh worker without tables. A question under way goes back among those that wait. */
  #renew(post: Post): void {
    this.#vacate(post);
    post.worker = this.#make();
    this.#staff(post);
    // its tables may come from a worker that had not heard of it yet
    if (this.#amending) this.#send(post, this.#amending.message);
  }

  #vacate(post: Post): void {
    post.worker.terminate();
    if (post.job !== null) this.#waiting.unshift(post.job);
    post.state = "bare";
    post.job = null;
    post.donor = null;
    // those it was about to give its tables to must look elsewhere
    for (const each of this.#posts) if (each.donor === post) this.#refill(each);
  }

  #refill(post: Post): void {
    const donor = this.#posts.find((each) => each !== post && each.state === "ready");
    if (donor) this.#supply(post, donor);
    else if (this.#source) {
      post.donor = null;
      post.state = "reading";
      this.#send(post, {type: "load", source: this.#source});
    }
  }

  #supply(post: Post, donor: Post): void {
    post.state = "taking";
    post.donor = donor;
    const {port1, port2} = new MessageChannel();
    this.#send(donor, {type: "give", port: port1}, [port1]);
    this.#send(post, {type: "take", port: port2}, [port2]);
  }

  #send(post: Post, message: ToWorker, transfer: Transferable[] = []): void {
    post.worker.postMessage(message, transfer);
  }

  #deal(): void {
    for (const post of this.#posts) {
      if (post.job !== null) continue;
      if (post.state === "bare") this.#dealBare(post);
      if (post.state !== "ready" || this.#waiting.length === 0) continue;
      const next = this.#waiting.reduce((best, job) => (job.urgency < best.urgency ? job : best));
      const isLast = !this.#posts.some((each) => each !== post && each.state === "ready" && each.job === null);
      if (next.urgency >= AHEAD && isLast) return;
      this.#give(post, next);
    }
  }

  /** A worker without tables can do what needs none, so that a zip file may be the first that is ever opened. */
  #dealBare(post: Post): void {
    const next = post.falls < MOST_FALLS ? this.#waiting.find(needsNoTables) : undefined;
    if (next !== undefined) this.#give(post, next);
  }

  #give(post: Post, job: Job): void {
    this.#withdraw(job);
    post.job = job;
    job.begun?.();
    this.#send(post, {type: "question", id: job.id, question: job.question});
  }
}
