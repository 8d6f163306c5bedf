/**
 * A few equal workers that hold the tables and answer questions, most urgent first.
 *
 * A cell computes without a pause, so a worker in the middle of one hears nothing: stopping it means ending the
 * worker. Its replacement takes the tables from a worker that has them, without the page in between.
 */
import type {FromWorker, LogSource, LogSummary, Question, QuestionKind, Questions, ToWorker} from "./protocol.ts";
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
  | {readonly opened: false; readonly message: string; readonly findings: readonly Finding[]};

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
  forgotten: boolean;
  settle(answered: Answered<QuestionKind>): void;
}

interface Post {
  worker: WorkerLike;
  tables: boolean;
  job: Job | null;
  /** whose tables it waits for */
  donor: Post | null;
  /** how often its worker died since one last said anything */
  falls: number;
}

/** How long a forgotten question may still hold a worker that others wait for. */
const PATIENCE_MS = 250;

/** After so many deaths in a row a post stays empty: its script cannot be loaded or cannot start. */
const MOST_FALLS = 3;

export class WorkerPool {
  readonly #make: () => WorkerLike;
  readonly #posts: Post[] = [];
  readonly #waiting: Job[] = [];
  #source: LogSource | null = null;
  #nextId = 1;
  #opening: {settle(opened: Opened): void; reading(text: string): void} | null = null;

  constructor(make: () => WorkerLike, size = 2) {
    this.#make = make;
    for (let i = 0; i < size; i++) {
      this.#posts.push(this.#staff({worker: make(), tables: false, job: null, donor: null, falls: 0}));
    }
  }

  /** Reads logs; what was open stays open when they are refused. */
  open(source: LogSource, reading: (text: string) => void): Promise<Opened> {
    this.#opening?.settle({opened: false, message: "another set of logs was chosen meanwhile", findings: []});
    const reader = this.#posts.find((post) => post.job === null) ?? this.#posts[0]!;
    if (reader.job !== null) this.#replace(reader);
    return new Promise((resolve) => {
      this.#opening = {
        reading,
        settle: (opened) => {
          this.#opening = null;
          if (opened.opened) this.#take(source, reader);
          resolve(opened);
          this.#deal();
        },
      };
      reader.tables = false; // takes no question while it reads
      this.#send(reader, {type: "load", source});
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
      forgotten: false,
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

  end(): void {
    this.#dropAll();
    for (const {worker} of this.#posts) worker.terminate();
  }

  /** The reader's new tables are everyone's; questions about the old ones are void. */
  #take(source: LogSource, reader: Post): void {
    this.#source = source;
    for (const post of this.#posts) post.tables = post === reader;
    this.#dropAll();
    for (const post of this.#posts) if (post !== reader && post.donor !== reader) this.#supply(post, reader);
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
    switch (message.type) {
      case "reading":
        this.#opening?.reading(message.text);
        return;
      case "loaded":
        if (this.#opening) this.#opening.settle({opened: true, summary: message.summary});
        else post.tables = true; // a replacement that read the source again
        break;
      case "refused":
        post.tables = this.#source !== null;
        this.#opening?.settle({opened: false, message: message.message, findings: message.findings});
        break;
      case "taken":
        post.tables = true;
        post.donor = null;
        break;
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
    const reading = this.#opening !== null && job === null && !post.tables && post.donor === null;
    post.falls += 1;
    if (post.falls < MOST_FALLS) this.#replace(post);
    else this.#vacate(post);
    job?.settle({how: "failed", message});
    if (reading)
      this.#opening?.settle({opened: false, message: `the logs could not be read: ${message}`, findings: []});
    if (this.#posts.every((each) => each.falls >= MOST_FALLS)) {
      for (const waiting of this.#waiting.splice(0)) waiting.settle({how: "failed", message});
    }
    this.#deal();
  }

  #stop(job: Job): void {
    const post = this.#posts.find((each) => each.job === job);
    if (post) this.#replace(post);
    else if (!this.#withdraw(job)) return;
    job.settle({how: "stopped"});
    this.#deal();
  }

  #forget(job: Job): void {
    if (this.#withdraw(job)) {
      job.settle({how: "stopped"});
      return;
    }
    job.forgotten = true;
    setTimeout(() => {
      const running = this.#posts.some((post) => post.job === job);
      if (running && this.#waiting.length > 0) this.#stop(job);
    }, PATIENCE_MS);
  }

  #withdraw(job: Job): boolean {
    const at = this.#waiting.indexOf(job);
    if (at < 0) return false;
    this.#waiting.splice(at, 1);
    return true;
  }

  #dropAll(): void {
    for (const job of this.#waiting.splice(0)) job.settle({how: "stopped"});
    for (const post of this.#posts) {
      const {job} = post;
      if (job === null) continue;
      this.#replace(post);
      job.settle({how: "stopped"});
    }
  }

  /** A fresh worker at the same post, supplied with the tables. */
  #replace(post: Post): void {
    this.#vacate(post);
    post.worker = this.#make();
    this.#staff(post);
    this.#refill(post);
    // those it was about to give its tables to must look elsewhere
    for (const each of this.#posts) if (each.donor === post) this.#refill(each);
  }

  #vacate(post: Post): void {
    post.worker.terminate();
    post.tables = false;
    post.job = null;
    post.donor = null;
  }

  #refill(post: Post): void {
    const donor = this.#posts.find((each) => each !== post && each.tables);
    if (donor) this.#supply(post, donor);
    else if (this.#source) {
      post.donor = null;
      this.#send(post, {type: "load", source: this.#source});
    }
  }

  #supply(post: Post, donor: Post): void {
    post.tables = false;
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
      if (!post.tables || post.job !== null || this.#waiting.length === 0) continue;
      const next = this.#waiting.reduce((best, job) => (job.urgency < best.urgency ? job : best));
      this.#withdraw(next);
      post.job = next;
      next.begun?.();
      this.#send(post, {type: "question", id: next.id, question: next.question});
    }
  }
}
