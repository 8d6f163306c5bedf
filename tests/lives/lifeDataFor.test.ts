import {describe, expect, it} from "vitest";
import {conditionDataFor, endsRunShare, lifeDataFor, lifeWords, rebuildGaps} from "../../src/lives/index.ts";
import {conditionFaults} from "../../src/statistics/conditionData.ts";
import {build, fit, look, run} from "./built.ts";

const failed = {outcome: "failed downhole", failed_at_h: 25} as const;

/** three seals one after the other: abraded in a run at 75 h, reversed by the shop and found at 30 h, running at 20 h */
const seals = build(
  [
    run("01-05", 50, {mud: "OBM", flow_range: "high"}),
    run("01-10", 40, {flow_range: "low", ...failed}),
    run("02-05", 30, {flow_range: "low"}),
    run("03-05", 20, {flow_range: "low"}),
  ],
  [
    fit("01-01"),
    fit("01-01", {component: "LINR", installed_with_h: 100}),
    look("01-12", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"}),
    look("02-06", {found: "failed", mode: "SEAL-REV", action: "renewed"}),
  ],
);

const ages = (question: Parameters<typeof lifeDataFor>[1]) => {
  const {data, rows} = lifeDataFor(seals.lives, question);
  return Array.from(rows, (_, i) => [data.lower[i], data.upper[i]]);
};

describe("lifeDataFor(lives, question)", () => {
  it("about wear-out: what the shop caused is a suspension at the age the part came out", () => {
    expect(ages({component: "SEAL"})).toEqual([
      [75, 75],
      [30, Infinity],
      [20, Infinity],
    ]);
  });

  it("about all failures: the shop's count too", () => {
    expect(ages({component: "SEAL", serviceInduced: "failed"})).toEqual([
      [75, 75],
      [0, 30],
      [20, Infinity],
    ]);
  });

  it("about one mode: every other mode is a suspension, and a mode of the shop's counts when named", () => {
    expect(ages({component: "SEAL", modes: ["SEAL-REV"]})).toEqual([
      [75, Infinity],
      [0, 30],
      [20, Infinity],
    ]);
    expect(ages({component: "SEAL", modes: ["SEAL-REV"], serviceInduced: "suspended"})[1]).toEqual([30, Infinity]);
    expect(ages({component: "SEAL", modes: []}).every(([, upper]) => upper === Infinity)).toBe(true);
  });

  it("of rows: takes those, in their order", () => {
    expect(Array.from(lifeDataFor(seals.lives, {rows: Int32Array.of(2, 0)}).rows)).toEqual([2, 0]);
  });

  it("keeps the entry age, and one weight a life", () => {
    const {data} = lifeDataFor(seals.lives, {component: "LINR"});
    expect([data.entry[0], data.lower[0], data.weight[0]]).toEqual([100, 240, 1]);
  });

  // a seal changed before its first run had age 0, and log(0) would make a whole fit NaN
  it("leaves out lives without exposure and counts them", () => {
    const {lives} = build([run("01-05", 50)], [fit("01-01"), look("01-02", {found: "good", action: "renewed"})]);
    const {rows, withoutExposure} = lifeDataFor(lives, {component: "SEAL"});
    expect([rows.length, withoutExposure]).toEqual([1, 1]);
  });

  it("of a component nobody has: no lives", () => {
    expect(lifeDataFor(seals.lives, {component: "SPRG"}).rows).toHaveLength(0);
  });
});

describe("conditionDataFor(lives, question)", () => {
  it("has a cell for each condition seen, and the exposure in it by each age", () => {
    const {data, muds, regimes, rows} = conditionDataFor(seals.lives, {component: "SEAL"});
    expect(muds.map((mud, k) => `${mud} ${regimes[k]}`)).toEqual(["KCL low", "OBM high"]);
    expect(Array.from(rows)).toEqual([0, 1, 2]);
    expect(Array.from(data.atLower.subarray(0, 2))).toEqual([25, 50]);
    expect(Array.from(data.failedIn)).toEqual([0, -1, -1]);
    expect(data.factors.map(({name, levels, levelOf}) => [name, levels, Array.from(levelOf)])).toEqual([
      ["mud", ["KCL", "OBM"], [0, 1]],
      ["regime", ["low", "high"], [0, 1]],
    ]);
    expect(conditionFaults(data)).toEqual([]);
  });

  it("spreads exposure before the entry as the life's own, and counts such lives", () => {
    const {data, assumedMix} = conditionDataFor(seals.lives, {component: "LINR"});
    expect(assumedMix).toBe(1);
    const [kcl, obm] = [data.atEntry[0]!, data.atEntry[1]!];
    expect(kcl + obm).toBeCloseTo(100, 10);
    expect(kcl / obm).toBeCloseTo(90 / 50, 10);
  });

  it("an interval has its exposure at both ages", () => {
    const {data} = conditionDataFor(seals.lives, {component: "SEAL", serviceInduced: "failed"});
    expect([data.atLower[2], data.atUpper[2]]).toEqual([0, 30]);
  });

  it("exposure beyond the log, where the shop counted more, is spread as the life's own", () => {
    const {lives} = build(
      [run("01-05", 60, {mud: "OBM"}), run("01-10", 30)],
      [fit("01-01"), look("01-12", {found: "worn", action: "renewed", hours_on_part: 180})],
    );
    const {data} = conditionDataFor(lives, {component: "SEAL"});
    expect(data.upper[0]).toBe(180);
    expect(Array.from(data.atUpper).map((h) => Math.round(h))).toEqual([60, 120]);
    expect(conditionFaults(data)).toEqual([]);
  });
});

describe("endsRunShare(lives, component)", () => {
  const built = build(
    [run("01-05", 50, failed), run("02-05", 40), run("03-05", 30, failed)],
    [
      fit("01-01"),
      look("01-06", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"}),
      look("02-06", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      look("03-06", {found: "failed", mode: "SEAL-REV", ended_run: true, action: "renewed"}),
    ],
  );

  it("is the share of failures that ended a run, without the shop's unless asked for", () => {
    expect(endsRunShare(built.lives, "SEAL")).toEqual({failures: 2, endedRun: 1, share: 0.5});
    expect(endsRunShare(built.lives, "SEAL", {serviceInduced: true})).toEqual({failures: 3, endedRun: 2, share: 2 / 3});
    expect(endsRunShare(built.lives, "SEAL", {fleet: "South"})).toEqual({failures: 0, endedRun: 0, share: null});
  });

  it("is unknown without failures", () => {
    expect(endsRunShare(built.lives, "LINR")).toEqual({failures: 0, endedRun: 0, share: null});
  });
});

describe("rebuildGaps(logs, where)", () => {
  const settings = {exposure: "circulating hours"} as const;
  const built = build(
    [
      run("01-05", 50),
      run("01-10", 40, failed),
      run("02-05", 30),
      run("03-05", undefined),
      run("04-05", 20),
      run("04-10", 10),
    ],
    [
      fit("01-01"),
      look("01-12", {found: "good", action: "kept"}),
      look("01-13", {component: "LINR", found: "failed", mode: "LINR-ERO", ended_run: true, action: "renewed"}),
      look("02-06", {found: "good", action: "kept"}),
      look("03-06", {found: "good", action: "kept"}),
      look("04-06", {found: "good", action: "kept"}),
    ],
  );

  it("gives runs and exposure between rebuilds, without gaps of unknown exposure and without the open end", () => {
    const gaps = rebuildGaps({...built, settings});
    expect(Array.from(gaps.runs)).toEqual([2, 1, 1]);
    expect(Array.from(gaps.hours)).toEqual([90, 30, 20]);
    expect(Array.from(gaps.runHours)).toEqual([50, 40, 30, 20]);
  });

  it("says which part forced the rebuild, though it was looked at a day later", () => {
    const {forcedBy} = rebuildGaps({...built, settings});
    expect(Array.from(forcedBy.codes, (code) => forcedBy.words[code] ?? null)).toEqual(["LINR", null, null]);
  });

  it("counts only rebuilds of the components, fleets and dates asked for", () => {
    expect(Array.from(rebuildGaps({...built, settings}, {component: ["LINR"]}).hours)).toEqual([]);
    expect(Array.from(rebuildGaps({...built, settings}, {fleet: ["South"]}).hours)).toEqual([]);
    expect(Array.from(rebuildGaps({...built, settings}, {from: "2024-02-01"}).hours)).toEqual([30, 20]);
  });

  it("counts in the clock of the settings", () => {
    expect(Array.from(rebuildGaps({...built, settings: {exposure: "runs"}}).hours)).toEqual([2, 1, 1, 1]);
  });
});

describe("lifeWords(lives, row)", () => {
  it("says what, where, how and under what", () => {
    expect(lifeWords(seals.lives, 0)).toBe(
      "seal of tool A: failed in run at 75 h, lip flattened or scored by grit (mixed muds, mixed flow)",
    );
    expect(lifeWords(seals.lives, 1)).toBe(
      "seal of tool A: found at teardown, between 0 h and 30 h, lip fitted the wrong way round (KCl mud, low flow)",
    );
    expect(lifeWords(seals.lives, 3)).toBe(
      "liner of tool A: still running at 240 h, followed from 100 h (mixed muds, mixed flow)",
    );
  });
});
