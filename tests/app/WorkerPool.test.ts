import {describe, expect, it, vi} from "vitest";
import type {FromWorker, LogSource, LogSummary, ToWorker} from "../../src/app/worker/protocol.ts";
import {AHEAD, WorkerPool, type WorkerLike} from "../../src/app/worker/WorkerPool.ts";

/** A worker that does what the test says, when it says so. */
class HandWorker implements WorkerLike {
  readonly heard: ToWorker[] = [];
  ended = false;
  onmessage: WorkerLike["onmessage"] = null;
  onerror: WorkerLike["onerror"] = null;

  postMessage(message: ToWorker): void {
    this.heard.push(message);
  }

  terminate(): void {
    this.ended = true;
  }

  say(message: FromWorker): void {
    this.onmessage?.(new MessageEvent("message", {data: message}));
  }

  die(message: string): void {
    // Node has no ErrorEvent; the pool reads two members of it
    this.onerror?.(Object.assign(new Event("error", {cancelable: true}), {message}) as ErrorEvent);
  }

  get lastId(): number {
    const last = this.heard.findLast((message) => message.type === "question");
    if (last?.type !== "question") throw new Error("this worker was asked nothing");
    return last.id;
  }

  typesHeard(): string[] {
    return this.heard.map(({type}) => type);
  }
}

const SOURCE: LogSource = {from: "folder", manifest: "http://127.0.0.1/data/logs.json"};
// the pool passes the summary on unread
const SUMMARY = {id: "one"} as LogSummary;
const ANSWER = {answered: false, problem: {line: 1, message: "no", remedy: null}} as const;
const QUESTION = {kind: "pareto", body: "", closed: true, where: {}, units: "metric"} as const;

function makePool() {
  const workers: HandWorker[] = [];
  const pool = new WorkerPool(() => {
    const worker = new HandWorker();
    workers.push(worker);
    return worker;
  });
  return {pool, workers};
}

async function openPool() {
  const made = makePool();
  const opened = made.pool.open(SOURCE, () => undefined);
  made.workers[0]?.say({type: "loaded", summary: SUMMARY});
  await opened;
  made.workers[1]?.say({type: "taken"});
  return made;
}

describe("WorkerPool.ask(unpack)", () => {
  const UNPACKED = {files: [], told: [], refused: null} as const;

  it("is answered before any logs are open, and goes on when they have been opened meanwhile", async () => {
    const {pool, workers} = makePool();
    void pool.open(SOURCE, () => undefined);
    const asked = pool.ask("unpack", new Blob([]));
    expect(workers.map((worker) => worker.typesHeard())).toEqual([["load"], ["question"]]);
    workers[0]?.say({type: "loaded", summary: SUMMARY});
    workers[1]?.say({type: "answer", id: workers[1].lastId, answer: UNPACKED});
    expect(await asked.done).toEqual({how: "answered", answer: UNPACKED});
    expect(workers).toHaveLength(2);
  });

  it("waits for a free worker while logs are being opened, and is not lost when they are", async () => {
    const {pool, workers} = makePool();
    void pool.open(SOURCE, () => undefined);
    const asked = [new Blob([]), new Blob([])].map((blob) => pool.ask("unpack", blob));
    workers[0]?.say({type: "loaded", summary: SUMMARY});
    for (const worker of workers) worker.say({type: "answer", id: worker.lastId, answer: UNPACKED});
    expect((await Promise.all(asked.map(({done}) => done))).map(({how}) => how)).toEqual(["answered", "answered"]);
  });

  it("is answered where no logs can be opened at all", async () => {
    const {pool, workers} = makePool();
    const opened = pool.open(SOURCE, () => undefined);
    workers[0]?.say({type: "refused", message: "nothing there.", findings: []});
    expect((await opened).opened).toBe(false);
    const asked = pool.ask("unpack", new Blob([]));
    workers[0]?.say({type: "answer", id: workers[0].lastId, answer: UNPACKED});
    expect((await asked.done).how).toBe("answered");
  });
});

describe("WorkerPool.open(source)", () => {
  it("lets one worker read, and hands its tables to the other without reading again", async () => {
    const {pool, workers} = makePool();
    const texts: string[] = [];
    const opened = pool.open(SOURCE, (text) => texts.push(text));
    workers[0]?.say({type: "reading", text: "reading runs.csv …"});
    workers[0]?.say({type: "loaded", summary: SUMMARY});
    expect(await opened).toEqual({opened: true, summary: SUMMARY});
    expect(texts).toEqual(["reading runs.csv …"]);
    expect(workers.map((worker) => worker.typesHeard())).toEqual([["load", "give"], ["take"]]);
  });

  it("ends a reading that someone stops, and leaves what was open with the workers", async () => {
    const {pool, workers} = await openPool();
    const opened = pool.open({from: "files", files: []}, () => undefined);
    pool.stopOpening();
    expect(await opened).toMatchObject({opened: false, stopped: true});
    expect(workers[0]?.ended).toBe(true);
    expect(workers[2]?.typesHeard()).toEqual(["take"]);
    const asked = pool.ask("cell", QUESTION);
    workers[1]?.say({type: "answer", id: workers[1].lastId, answer: ANSWER});
    expect((await asked.done).how).toBe("answered");
    pool.stopOpening(); // nothing is being read: nothing happens
    expect(workers).toHaveLength(3);
  });

  it("keeps the old tables when new files are refused", async () => {
    const {pool, workers} = await openPool();
    const opened = pool.open({from: "files", files: []}, () => undefined);
    workers[0]?.say({type: "refused", message: "no log", findings: []});
    expect(await opened).toEqual({opened: false, message: "no log", findings: []});
    const errand = pool.ask("cell", QUESTION);
    workers[0]?.say({type: "answer", id: workers[0].lastId, answer: ANSWER});
    expect(await errand.done).toEqual({how: "answered", answer: ANSWER});
  });

  it("answers no question about the old logs from the new ones", async () => {
    const {pool, workers} = await openPool();
    const one = pool.ask("cell", QUESTION);
    const opened = pool.open(SOURCE, () => undefined);
    workers[1]?.say({type: "loaded", summary: SUMMARY});
    await opened;
    expect(await one.done).toEqual({how: "stopped"});
    expect(workers[0]?.ended).toBe(true);
  });

  it("asks again what a refused opening interrupted", async () => {
    const {pool, workers} = await openPool();
    const errands = [pool.ask("cell", QUESTION), pool.ask("cell", QUESTION)];
    const opened = pool.open(SOURCE, () => undefined);
    const reader = workers[2];
    expect(workers[0]?.ended).toBe(true); // both were busy: one had to give way
    expect(reader?.typesHeard()).toEqual(["load"]);
    reader?.say({type: "refused", message: "no log", findings: []});
    expect(await opened).toMatchObject({opened: false});
    workers[1]?.say({type: "answer", id: workers[1].lastId, answer: ANSWER});
    workers[1]?.say({type: "answer", id: workers[1].lastId, answer: ANSWER});
    expect(await Promise.all(errands.map(({done}) => done))).toEqual([
      {how: "answered", answer: ANSWER},
      {how: "answered", answer: ANSWER},
    ]);
    expect(reader?.heard.at(-1)?.type).toBe("take");
  });

  it("takes a replacement's old tables for no answer to what is being opened", async () => {
    const {pool, workers} = await openPool();
    const [one, two] = [pool.ask("cell", QUESTION), pool.ask("cell", QUESTION)];
    one.stop();
    two.stop();
    expect(workers[2]?.typesHeard()).toEqual(["take", "load"]); // 1 went before it could give
    expect(workers[3]?.typesHeard()).toEqual(["load"]);
    const opened = pool.open({from: "files", files: []}, () => undefined);
    const reader = workers[4];
    workers[3]?.say({type: "loaded", summary: {...SUMMARY, id: "old"}});
    reader?.say({type: "loaded", summary: {...SUMMARY, id: "new"}});
    expect(await opened).toMatchObject({opened: true, summary: {id: "new"}});
    expect(workers[3]?.heard.at(-1)?.type).toBe("take");
  });

  it("hears no more of logs that others were chosen over", async () => {
    const {pool, workers} = await openPool();
    const first = pool.open({from: "files", files: []}, () => undefined);
    const second = pool.open({from: "files", files: []}, () => undefined);
    expect(await first).toMatchObject({opened: false, message: "other logs were chosen meanwhile"});
    expect(workers[0]?.ended).toBe(true);
    workers[1]?.say({type: "loaded", summary: {...SUMMARY, id: "second"}});
    expect(await second).toMatchObject({summary: {id: "second"}});
  });

  it("says so when the worker that reads dies", async () => {
    const {pool, workers} = makePool();
    const opened = pool.open(SOURCE, () => undefined);
    workers[0]?.die("out of memory");
    expect(await opened).toMatchObject({opened: false, message: "the logs could not be read: out of memory"});
  });

  it("does not start a dying worker for ever", async () => {
    const {pool, workers} = makePool();
    void pool.open(SOURCE, () => undefined);
    const errand = pool.ask("cell", QUESTION);
    for (let i = 0; i < 12; i++) workers.at(-1)?.die("script not found");
    for (const worker of workers) worker.die("script not found");
    expect(await errand.done).toEqual({how: "failed", message: "script not found"});
    expect(workers.length).toBeLessThanOrEqual(6);
  });
});

describe("WorkerPool.amend(edits)", () => {
  const EDITS = {"settings.yaml": "level: 0.8"};

  it("tells every worker, and gives the summary of the first that is done", async () => {
    const {pool, workers} = await openPool();
    const amended = pool.amend(EDITS, () => undefined);
    expect(workers.map(({heard}) => heard.at(-1))).toMatchObject([
      {type: "amend", edits: EDITS},
      {type: "amend", edits: EDITS},
    ]);
    const summary = {...SUMMARY, id: "two"};
    workers[1]?.say({type: "amended", summary, serial: serialOf(workers[1])});
    expect(await amended).toEqual(summary);
  });

  it("a question under way goes on, and one asked after it comes after it", async () => {
    const {pool, workers} = await openPool();
    const errand = pool.ask("cell", QUESTION);
    void pool.amend(EDITS, () => undefined);
    workers[0]?.say({type: "answer", id: workers[0].lastId, answer: ANSWER});
    expect(await errand.done).toMatchObject({how: "answered"});
    pool.ask("cell", QUESTION);
    expect(workers[0]?.typesHeard().slice(-2)).toEqual(["amend", "question"]);
  });

  it("a worker that replaces another hears of it too, and reads the logs again with the change", async () => {
    const {pool, workers} = await openPool();
    const amended = pool.amend(EDITS, () => undefined);
    workers[0]?.die("out of memory");
    workers[1]?.die("out of memory");
    const [, , , last] = workers;
    expect(last?.typesHeard()).toEqual(["amend", "load"]);
    expect(last?.heard.at(-1)).toMatchObject({source: {...SOURCE, edits: EDITS}});
    last?.say({type: "amended", summary: SUMMARY, serial: serialOf(last)});
    expect(await amended).toEqual(SUMMARY);
  });

  it("gives nothing once other logs are open, or a later change has come", async () => {
    const {pool, workers} = await openPool();
    const first = pool.amend(EDITS, () => undefined);
    const second = pool.amend({}, () => undefined);
    expect(await first).toBeNull();
    void pool.open({from: "files", files: []}, () => undefined);
    workers[0]?.say({type: "loaded", summary: SUMMARY});
    expect(await second).toBeNull();
  });

  it("a worker whose new logs were refused hears of what changed meanwhile", async () => {
    const {pool, workers} = await openPool();
    void pool.open({from: "files", files: []}, () => undefined);
    void pool.amend(EDITS, () => undefined);
    workers[0]?.say({type: "refused", message: "no log", findings: []});
    expect(workers[0]?.heard.at(-1)).toMatchObject({type: "amend", edits: EDITS});
  });
});

const serialOf = (worker: HandWorker): number => {
  const heard = worker.heard.findLast((message) => message.type === "amend");
  return heard?.type === "amend" ? heard.serial : -1;
};

describe("WorkerPool.ask(kind, ask)", () => {
  it("gives the most urgent question to the next free worker", async () => {
    const {pool, workers} = await openPool();
    pool.ask("cell", QUESTION);
    pool.ask("cell", QUESTION);
    pool.ask("cell", {...QUESTION, kind: "late"}, {urgency: 5});
    pool.ask("cell", {...QUESTION, kind: "soon"}, {urgency: 1});
    workers[1]?.say({type: "answer", id: workers[1].lastId, answer: ANSWER});
    expect(workers[1]?.heard.at(-1)).toMatchObject({question: {ask: {kind: "soon"}}});
  });

  it("a slow cell holds only its own worker", async () => {
    const {pool, workers} = await openPool();
    pool.ask("cell", {...QUESTION, kind: "slow"});
    for (let i = 0; i < 3; i++) {
      const quick = pool.ask("cell", QUESTION);
      workers[1]?.say({type: "answer", id: workers[1].lastId, answer: ANSWER});
      expect(await quick.done).toMatchObject({how: "answered"});
    }
  });

  it("reports progress of its own question only", async () => {
    const {pool, workers} = await openPool();
    const progress = vi.fn();
    pool.ask("cell", QUESTION, {progress});
    const id = workers[0]?.lastId ?? -1;
    workers[0]?.say({type: "progress", id, done: 3, of: 10});
    workers[0]?.say({type: "progress", id: id + 1, done: 4, of: 10});
    expect(progress.mock.calls).toEqual([[3, 10]]);
  });

  it("stop() ends the worker, and its replacement takes the tables from the other one", async () => {
    const {pool, workers} = await openPool();
    const errand = pool.ask("cell", QUESTION);
    errand.stop();
    expect(await errand.done).toEqual({how: "stopped"});
    expect(workers[0]?.ended).toBe(true);
    expect(workers[1]?.heard.at(-1)?.type).toBe("give");
    expect(workers[2]?.typesHeard()).toEqual(["take"]);
    workers[2]?.say({type: "taken"});
    pool.ask("cell", {...QUESTION, kind: "next"});
    expect(workers[2]?.heard.at(-1)).toMatchObject({type: "question", question: {ask: {kind: "next"}}});
  });

  it("reads the source again when every worker with tables was stopped", async () => {
    const {pool, workers} = await openPool();
    const [one, two] = [pool.ask("cell", QUESTION), pool.ask("cell", QUESTION)];
    one.stop(); // 2 waits for 1's tables, but 1 ends before it can give them
    two.stop();
    expect(workers.map(({ended}) => ended)).toEqual([true, true, false, false]);
    expect(workers[2]?.heard.at(-1)?.type).toBe("load");
    expect(workers[3]?.heard.at(-1)?.type).toBe("load");
    workers[3]?.say({type: "loaded", summary: SUMMARY});
    const errand = pool.ask("cell", QUESTION);
    workers[3]?.say({type: "answer", id: workers[3].lastId, answer: ANSWER});
    expect(await errand.done).toMatchObject({how: "answered"});
  });

  it("forget() drops what has not begun, and ends what holds others up", async () => {
    vi.useFakeTimers();
    try {
      const {pool, workers} = await openPool();
      const [slow, other] = [pool.ask("cell", QUESTION), pool.ask("cell", QUESTION)];
      const waiting = pool.ask("cell", QUESTION);
      waiting.forget();
      expect(await waiting.done).toEqual({how: "stopped"});
      slow.forget();
      vi.advanceTimersByTime(5000);
      expect(workers[0]?.ended).toBe(false); // nobody waits
      other.forget();
      pool.ask("cell", {...QUESTION, kind: "wanted"});
      vi.advanceTimersByTime(5000);
      expect(workers[1]?.ended).toBe(true);
    } finally {
      vi.useRealTimers();
    }
  });

  it("never ends the last worker with tables for one that waits", async () => {
    vi.useFakeTimers();
    try {
      const {pool, workers} = await openPool();
      const [one, two] = [pool.ask("cell", QUESTION), pool.ask("cell", QUESTION)];
      pool.ask("cell", QUESTION);
      one.forget();
      two.forget();
      vi.advanceTimersByTime(1500);
      expect(workers.slice(0, 2).map(({ended}) => ended)).toEqual([true, false]);
      expect(workers[2]?.typesHeard()).toEqual(["take"]);
    } finally {
      vi.useRealTimers();
    }
  });

  it("what is asked ahead of need leaves one worker free", async () => {
    const {pool, workers} = await openPool();
    pool.ask("cell", {...QUESTION, kind: "ahead"}, {urgency: AHEAD});
    pool.ask("cell", {...QUESTION, kind: "further"}, {urgency: AHEAD + 1});
    expect(workers.map((worker) => worker.heard.filter(({type}) => type === "question").length)).toEqual([1, 0]);
    pool.ask("cell", {...QUESTION, kind: "now"});
    expect(workers[1]?.heard.at(-1)).toMatchObject({question: {ask: {kind: "now"}}});
  });

  it("a worker that dies of a cell fails that cell and is replaced", async () => {
    const {pool, workers} = await openPool();
    const errand = pool.ask("cell", QUESTION);
    workers[0]?.die("boom");
    expect(await errand.done).toEqual({how: "failed", message: "boom"});
    expect(workers[2]?.typesHeard()).toEqual(["take"]);
  });
});
