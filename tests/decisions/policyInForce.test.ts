/** Which decision is in force, its revision, what it does to prices, and whether a change worked. */
import {describe, expect, it} from "vitest";
import {NO_DECISIONS, type IntervalDecision} from "../../shared/register.ts";
import {decisionEffect, decidedScopes, inForce, revisions} from "../../src/decisions/index.ts";
import {policyIn} from "../../src/decisions/fleetCosts.ts";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {inputsOf, type LifeRow} from "../cells/inputs.ts";

const decided = (over: Partial<IntervalDecision>): IntervalDecision => ({
  component: "SEAL",
  mud: "KCL",
  regime: "medium",
  fleet: null,
  decision: "accepted",
  interval_h: 150,
  recommended_h: 150,
  before_h: 400,
  date: "2024-06-01",
  initials: "KV",
  reason: "",
  data_to: null,
  filters: "",
  failures_per_1000h: {before: 2, foretold: 1},
  ...over,
});
const register = (...decisions: IntervalDecision[]) => ({...NO_DECISIONS, decisions, today: "2025-01-01"});
const scope = {component: "SEAL", mud: "KCL", regime: "medium", fleet: null};

describe("inForce(register, scope, day)", () => {
  const book = register(
    decided({}),
    decided({date: "2024-09-01", decision: "declined", interval_h: null}),
    decided({date: "2024-08-01", decision: "amended", interval_h: 200}),
    decided({date: "2024-07-01", fleet: "Basalt", interval_h: null}),
    decided({date: "2026-01-01", interval_h: 90}),
  );

  it("is the latest accepted or amended one; a decline leaves it, one of the future waits", () => {
    expect(inForce(book, scope)).toMatchObject({interval_h: 200, decision: "amended", revision: 2});
    expect(inForce(book, scope, "2024-07-31")).toMatchObject({interval_h: 150, revision: 1});
    expect(inForce(book, scope, "2024-05-31")).toBeNull();
    expect(inForce(book, {...scope, regime: "high"})).toBeNull();
  });

  it("a fleet's own decision goes before the one for every fleet", () => {
    expect(inForce(book, {...scope, fleet: "Basalt"})).toMatchObject({interval_h: null, date: "2024-07-01"});
    expect(inForce(book, {...scope, fleet: "Alder"})).toMatchObject({interval_h: 200});
  });

  it("numbers the revisions of a scope by date and lists each scope once", () => {
    expect(revisions(book).map(({revision}) => revision)).toEqual([1, 3, 2, 1, 4]);
    expect(decidedScopes(book)).toEqual([scope, {...scope, fleet: "Basalt"}]);
  });

  it("is today's policy in prices, in place of the settings'", () => {
    const settings = {
      ...DEFAULT_SETTINGS,
      components: {
        ...DEFAULT_SETTINGS.components,
        SEAL: {...DEFAULT_SETTINGS.components["SEAL"]!, current_interval_h: 400},
      },
    };
    expect(policyIn(settings, {...scope, fleet: "Alder"}, book)).toMatchObject({current: 200});
    expect(policyIn(settings, {...scope, fleet: "Basalt"}, book)).toMatchObject({current: null});
    expect(policyIn(settings, {...scope, regime: "low", fleet: "Alder"}, book)).toMatchObject({
      current: 400,
      decided: null,
    });
  });
});

describe("decisionEffect(decision, others, logs, level)", () => {
  /** Lives of 500 h, each in a month of its own, failing as told. */
  const lives = (failing: readonly boolean[]): {rows: LifeRow[]; runs: {hours: number; end: string}[]} => ({
    runs: failing.map((_, i) => ({hours: 500, end: new Date(Date.UTC(2023, i, 15)).toISOString().slice(0, 10)})),
    rows: failing.map((failed, i): LifeRow => {
      const month = (day: number) => new Date(Date.UTC(2023, i, day)).toISOString().slice(0, 10);
      return {
        lower: 500,
        ...(failed ? {upper: 500, mode: "SEAL-ABR"} : {}),
        spent: [{mud: "KCL", regime: "medium", hours: 500, run: i}],
        began: month(2),
        ended: month(16),
      };
    }),
  });
  const effect = (failing: readonly boolean[], day: string) => {
    const {rows, runs} = lives(failing);
    const inputs = inputsOf({
      lives: rows,
      runs: runs.map((run) => ({...run})),
      failures: [],
      decisions: [decided({date: day})],
    });
    // the failures of a log built from rows: one for each life that failed
    const failures = inputsOf({
      failures: rows.flatMap((row, i) =>
        row.upper === undefined ? [] : [{component: "SEAL", mode: "SEAL-ABR", date: row.ended!, run: i}],
      ),
    }).failures;
    const failedRows = rows.flatMap((row, i) => (row.upper === undefined ? [] : [i]));
    const table = {...inputs.all, failures: {...failures, life: Int32Array.from(failedRows)}};
    const [decision] = revisions(inputs.register);
    return decisionEffect(decision!, revisions(inputs.register), {lives: table, runs: inputs.runs}, 0.9);
  };
  const months = (before: number, after: number, failsBefore: number, failsAfter: number) => [
    ...Array.from({length: before}, (_, i) => i < failsBefore),
    ...Array.from({length: after}, (_, i) => i < failsAfter),
  ];
  const dayAfter = (count: number) => new Date(Date.UTC(2023, count, 1)).toISOString().slice(0, 10);

  it("shows a fall that is there, with counts and the expectation at the rate before", () => {
    const found = effect(months(20, 20, 18, 2), dayAfter(20));
    expect(found).toMatchObject({
      before: {failures: 18, exposure: 10_000},
      after: {failures: 2, exposure: 10_000},
      expected: 18,
      verdict: "fewer",
      foretold: 0.5,
    });
    expect(found.ratio).toBeCloseTo(2 / 18, 6);
    expect(found.limits[1]).toBeLessThan(1);
  });

  it("says that it is too early when not even no failure would show one, and how long to wait", () => {
    const found = effect(months(12, 1, 4, 0), dayAfter(12));
    expect(found.verdict).toBe("too early");
    // (6000 / (6000 + s)) ** 4 = 0.05 at s = 6000 · (0.05 ** -0.25 − 1), of which 500 h are spent
    expect(found.wait).toBeCloseTo(6000 * (0.05 ** -0.25 - 1) - 500, 3);
  });

  it("shows no change where there is none, and nothing without exposure after", () => {
    expect(effect(months(20, 20, 6, 5), dayAfter(20)).verdict).toBe("not shown");
    expect(effect(months(6, 0, 3, 0), dayAfter(6)).verdict).toBe("nothing to compare");
  });
});
