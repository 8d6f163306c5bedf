import {describe, expect, it} from "vitest";
import {wordAt} from "../../shared/columnar.ts";
import {cutLives, exposureBy, failureEvents} from "../../src/lives/index.ts";
import {build, fit, look, plain, plainFailures, run} from "./built.ts";

const failed = {outcome: "failed downhole", lost_time_h: 12} as const;

/** one seal: 50 h in OBM, kept good, 40 h and 30 h in KCL, found worn; the next one has run 20 h in KCL */
const seal = build(
  [
    run("01-05", 50, {mud: "OBM", flow_range: "high"}),
    run("02-05", 40, {flow_range: "low"}),
    run("03-05", 30, {flow_range: "low"}),
    run("04-05", 20, {flow_range: "low", ...failed}),
  ],
  [
    fit("01-01"),
    look("01-06", {found: "good", action: "kept"}),
    look("03-06", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
    look("04-06", {found: "failed", mode: "SEAL-SWL", ended_run: true, action: "renewed"}),
  ],
);

describe("cutLives(lives, runs, window)", () => {
  it("hands back the very table when nothing is filtered", () => {
    expect(cutLives(seal.lives, seal.runs, {})).toBe(seal.lives);
    expect(cutLives(seal.lives, seal.runs, {fleet: [], from: "", mud: []})).toBe(seal.lives);
  });

  it("a life running when the window opens enters late, at the age it had", () => {
    const cut = cutLives(seal.lives, seal.runs, {from: "2024-02-01"});
    expect(plain(cut)[0]).toMatchObject({
      ending: "found at teardown",
      entry: 50,
      lower: 50,
      upper: 120,
      hours: [40, 30],
    });
  });

  it("a life running when the window closes is suspended there", () => {
    const cut = cutLives(seal.lives, seal.runs, {to: "2024-02-05"});
    expect(plain(cut)).toMatchObject([
      {ending: "cut by window", entry: 0, lower: 90, upper: Infinity, mode: null, hours: [50, 40]},
    ]);
  });

  it("a failure found at a teardown inside, last seen good outside, entered the window good", () => {
    const cut = cutLives(seal.lives, seal.runs, {from: "2024-03-01", to: "2024-03-31"});
    expect(plain(cut)).toMatchObject([
      {ending: "found at teardown", entry: 90, lower: 90, upper: 120, hours: [30]},
      {ending: "cut by window", entry: 0, lower: 0},
    ]);
    expect(plainFailures(failureEvents(cut))).toMatchObject([{what: "F5", life: 0}]);
  });

  it("a failure found at a teardown behind the window is none of its failures", () => {
    const cut = cutLives(seal.lives, seal.runs, {from: "2024-01-01", to: "2024-03-05"});
    expect(plain(cut)).toMatchObject([{ending: "cut by window", lower: 120, upper: Infinity}]);
    expect(failureEvents(cut).rows).toBe(0);
  });

  it("lives outside the window are left out, and so is what they lived", () => {
    const cut = cutLives(seal.lives, seal.runs, {from: "2024-03-20"});
    expect(plain(cut).map(({lower, upper}) => [lower, upper])).toEqual([
      [0, 20],
      [0, Infinity],
    ]);
  });

  it("own conditions are those of the window", () => {
    const own = (from: string | undefined): (string | null)[] => {
      const cut = cutLives(seal.lives, seal.runs, from === undefined ? {component: ["SEAL"]} : {from});
      return [wordAt(cut.mud, 0), wordAt(cut.regime, 0)];
    };
    expect(own(undefined)).toEqual(["mixed", "mixed"]);
    expect(own("2024-02-01")).toEqual(["KCL", "low"]);
  });

  it("refuses a date that is none, by name", () => {
    expect(() => cutLives(seal.lives, seal.runs, {from: "spring"})).toThrow(
      "the window's from must be an ISO date such as 2024-01-31, got spring",
    );
  });
});

describe("cutLives(lives, runs, selection)", () => {
  const two = build(
    [
      run("01-05", 50),
      run("01-05", 60, {tool: "B", fleet: "South", mud: "OBM"}),
      run("01-10", 10, {tool: "B", fleet: "South", ...failed}),
    ],
    [fit("01-01"), fit("01-01", {component: "LINR"}), fit("01-01", {tool: "B"})],
  );

  it("keeps the fleets and components asked for, lives and failures alike", () => {
    expect(plain(cutLives(two.lives, two.runs, {fleet: ["North"]})).map(({slot}) => slot)).toEqual([
      "A SEAL",
      "A LINR",
    ]);
    expect(plain(cutLives(two.lives, two.runs, {component: ["SEAL"]})).map(({slot}) => slot)).toEqual([
      "A SEAL",
      "B SEAL",
    ]);
    expect(plain(cutLives(two.lives, two.runs, {fleet: ["East"]}))).toEqual([]);
    expect(failureEvents(cutLives(two.lives, two.runs, {fleet: ["North"]})).rows).toBe(0);
    expect(failureEvents(cutLives(two.lives, two.runs, {fleet: ["South"]})).rows).toBe(1);
  });

  it("keeps lives whose own condition it is, and leaves mixed ones out", () => {
    expect(plain(cutLives(two.lives, two.runs, {mud: ["OBM"]})).map(({slot}) => slot)).toEqual(["B SEAL"]);
    expect(plain(cutLives(seal.lives, seal.runs, {mud: ["KCL"]})).map(({lower}) => lower)).toEqual([0]);
    expect(plain(cutLives(seal.lives, seal.runs, {regime: ["high"]}))).toEqual([]);
  });

  it("failures follow their own mud, whatever the life's", () => {
    expect(failureEvents(cutLives(two.lives, two.runs, {mud: ["KCL"]})).rows).toBe(1);
    expect(failureEvents(cutLives(two.lives, two.runs, {mud: ["OBM"]})).rows).toBe(0);
  });

  it("a cut table can be cut again", () => {
    const once = cutLives(seal.lives, seal.runs, {from: "2024-02-01", to: "2024-03-31"});
    const twice = cutLives(cutLives(seal.lives, seal.runs, {from: "2024-02-01"}), seal.runs, {to: "2024-03-31"});
    expect(plain(twice)).toEqual(plain(once));
  });
});

describe("exposureBy(lives, runs, where, by)", () => {
  const table = (where = {}, by: Parameters<typeof exposureBy>[3] = ["mud"]) => {
    const {rows, ...columns} = exposureBy(seal.lives, seal.runs, where, by);
    return Array.from({length: rows}, (_, i) => [
      wordAt(columns.mud, i),
      columns.hours[i],
      columns.lives[i],
      columns.failures[i],
      columns.endedRun[i],
      columns.lostHours[i],
    ]);
  };

  it("counts mixed lives' hours where they were spent, and failures where they happened", () => {
    expect(table()).toEqual([
      ["OBM", 50, 1, 0, 0, 0],
      ["KCL", 90, 2, 2, 1, 12],
    ]);
  });

  it("counts only exposure and failures inside the filters", () => {
    expect(table({mud: ["KCL"]})).toEqual([["KCL", 90, 2, 2, 1, 12]]);
    expect(table({to: "2024-02-28"})).toEqual([
      ["OBM", 50, 1, 0, 0, 0],
      ["KCL", 40, 1, 0, 0, 0],
    ]);
  });

  it("takes everything together when grouped by nothing", () => {
    expect(table({}, [])).toEqual([[null, 140, 2, 2, 1, 12]]);
  });

  it("shows failures whose hours are unknown apart", () => {
    const built = build(
      [run("01-05", 50, failed)],
      [look("01-06", {found: "failed", ended_run: true, action: "renewed"})],
    );
    const {rows, failures, failuresWithoutLife, hours, lostHours} = exposureBy(built.lives, built.runs, {}, [
      "component",
    ]);
    expect([rows, failures[0], failuresWithoutLife[0], hours[0], lostHours[0]]).toEqual([1, 0, 1, 0, 12]);
  });

  it("leaves a failure that no component is blamed for out of a table by component", () => {
    const built = build([run("01-05", 50, failed)], [fit("01-01")]);
    expect(exposureBy(built.lives, built.runs, {}, ["component"]).lostHours[0]).toBe(0);
    expect(exposureBy(built.lives, built.runs, {}, ["fleet"]).lostHours[0]).toBe(12);
  });
});
