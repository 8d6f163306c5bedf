import {expect, it, vi} from "vitest";
import {CellErrands} from "../../src/app/state/CellErrands.ts";
import type {CellQuestion} from "../../src/app/worker/protocol.ts";
import type {Answered, Errand, ErrandOptions, WorkerPool} from "../../src/app/worker/WorkerPool.ts";

const QUESTION: CellQuestion = {kind: "pareto", body: "", closed: true, where: {}, units: "metric"};

/** A pool in which nothing is answered until the test says so. */
function handPool() {
  const asked: {options: ErrandOptions; settle(answered: Answered<"cell">): void; forget: () => void}[] = [];
  const pool: Pick<WorkerPool, "ask"> = {
    ask: (_kind, _question, options = {}) => {
      let settle: (answered: Answered<"cell">) => void = () => undefined;
      const done = new Promise<Answered<"cell">>((resolve) => (settle = resolve));
      const forget = vi.fn();
      asked.push({options, settle, forget});
      // only cells are asked here
      return {done, stop: vi.fn(), forget, urgency: vi.fn()} as Errand<never>;
    },
  };
  return {pool, asked};
}

const reports = () => ({begun: vi.fn(), progress: vi.fn(), ended: vi.fn()});

it("want(keys) forgets the others, and nothing is heard of them again", async () => {
  const {pool, asked} = handPool();
  const errands = new CellErrands(pool);
  const told = reports();
  errands.start("a", QUESTION, 0, told);
  errands.start("b", QUESTION, 1, reports());
  expect(errands.want(["b"])).toEqual(["a"]);
  expect(asked[0]?.forget).toHaveBeenCalled();
  // a cell that nobody waits for still reports until its worker is ended: the page must not take it for running
  asked[0]?.options.progress?.(1, 2);
  asked[0]?.settle({how: "failed", message: "late"});
  await Promise.resolve();
  expect(told.progress).not.toHaveBeenCalled();
  expect(told.ended).not.toHaveBeenCalled();
  expect([errands.has("a"), errands.has("b")]).toEqual([false, true]);
});

it("start(key) reports progress and the end, and then knows the key no more", async () => {
  const {pool, asked} = handPool();
  const errands = new CellErrands(pool);
  const told = reports();
  errands.start("a", QUESTION, 0, told);
  asked[0]?.options.progress?.(3, 9);
  asked[0]?.settle({how: "stopped"});
  await vi.waitFor(() => expect(told.ended).toHaveBeenCalledWith({how: "stopped"}));
  expect(told.progress).toHaveBeenCalledWith(3, 9);
  expect(errands.has("a")).toBe(false);
});

it("drop(key) forgets what was only foreseen, and nothing that the page waits for", () => {
  const {pool, asked} = handPool();
  const errands = new CellErrands(pool);
  errands.start("shown", QUESTION, 0, reports());
  errands.want(["shown"]);
  errands.start("foreseen", QUESTION, 1000, reports());
  expect([errands.drop("shown"), errands.drop("foreseen"), errands.drop("foreseen")]).toEqual([false, true, false]);
  expect(asked[0]?.forget).not.toHaveBeenCalled();
  expect(asked[1]?.forget).toHaveBeenCalledTimes(1);
  expect([errands.has("shown"), errands.has("foreseen")]).toEqual([true, false]);
});
