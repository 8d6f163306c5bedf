/** The cells that say what an interval hinges on and how far parts in service have used theirs up. */
import {beforeAll, describe, expect, it} from "vitest";
import {growScenario} from "../../seeds/grow.ts";
import {writeLogs} from "../../seeds/writeLogs.ts";
import type {CellInputs, CellTable} from "../../src/cells/contract.ts";
import {hinges} from "../../src/cells/hinges.ts";
import {intervals} from "../../src/cells/intervals.ts";
import {tally} from "../../src/cells/tally.ts";
import {componentModels} from "../../src/decisions/index.ts";
import {createMemo} from "../../src/notebook/index.ts";
import {cellInputs} from "../../src/workspace/cellInputs.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {effects, inputsOf, lifeTable, type LifeRow} from "./inputs.ts";

let inputs: CellInputs;
const memo = createMemo();
const watched = () => ({...effects(), memo});
const SEALS = {component: ["SEAL"], mud: null, regime: null};

beforeAll(async () => {
  const encoder = new TextEncoder();
  const files = writeLogs(growScenario({seed: 6, fleets: {Alder: {tools: 12}}})).map(({name, text}) => ({
    name,
    bytes: encoder.encode(text),
  }));
  const opened = await openLogs(files, true, () => undefined);
  if (!opened.opened) throw new Error(opened.message);
  inputs = cellInputs(opened.logs, {});
});

const column = (table: CellTable | undefined, name: string) => table!.columns.find((one) => one.name === name)!.values;

describe("the hinges cell", () => {
  it("works each interval out again: dearer failures and longer lives move it the way they must", () => {
    const params = {...SEALS, most: 2};
    const answer = hinges.compute(inputs, params, watched());
    expect(answer.rows.length).toBe(2);
    for (const {row, hinges: found, doubtCosts, toHalve, failures} of answer.rows) {
      const of = (name: string) => found.find((one) => one.name === name)!;
      expect(of("failure cost").low.interval!).toBeGreaterThanOrEqual(of("failure cost").high.interval!);
      expect(of("failure cost").low.saving!).toBeLessThan(of("failure cost").high.saving!);
      expect(of("life").low.interval!).toBeLessThanOrEqual(of("life").high.interval!);
      expect(of("life").low.at).toBeLessThan(row.scale!);
      expect(of("shape").low.at).toBeLessThan(of("shape").high.at);
      expect(of("run length").low.at).toBeLessThan(of("run length").high.at);
      expect(doubtCosts!).toBeGreaterThanOrEqual(0);
      expect(toHalve!).toBeGreaterThan(3 * failures);
    }
    const shown = hinges.present(answer, params, inputs);
    expect(shown.headline).toMatch(/hinges most on|nothing tried here changes that/);
    expect(column(shown.tables[0], "row").length).toBe(2 * 4 * 2);
    expect(JSON.stringify(shown)).not.toMatch(/NaN|Infinity|undefined/);
  });

  it("has a sentence where no row has an interval", () => {
    const bare = inputsOf({lives: [{lower: 100}], runs: [{hours: 100}]});
    const params = {...SEALS, most: 2};
    expect(hinges.present(hinges.compute(bare, params, effects()), params, bare).headline).toMatch(
      /^No interval can hinge on anything yet/,
    );
  });

  // the limits of a shape narrow with the square root of the failures: four times the lives halve them
  it("counts the failures that halve the doubt", () => {
    const lives = (times: number): LifeRow[] =>
      Array.from({length: 30 * times}, (_, i) => {
        const age = 500 * (-Math.log(1 - ((i % 30) + 0.5) / 30)) ** (1 / 2.5);
        return {tool: `T${i}`, lower: age, upper: age, mode: "SEAL-ABR"};
      });
    const width = (times: number): number => {
      const logs = componentModels(lifeTable(lives(times)), 0.9)
        .of("SEAL")!
        .posterior!.shape.map(Math.log);
      const mean = logs.reduce((sum, log) => sum + log, 0) / logs.length;
      return Math.sqrt(logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / logs.length);
    };
    // what is expected of wear weighs as five failures: 35 become 125
    expect(width(4) / width(1) / Math.sqrt(35 / 125)).toBeCloseTo(1, 0);
    expect(width(4) / width(1)).toBeLessThan(0.65);
    expect(width(4) / width(1)).toBeGreaterThan(0.4);
  });
});

describe("the tally cell", () => {
  const params = {component: ["SEAL"], tool: null, most: 10};

  it("counts each part in service against the interval of its fleet in the reference condition", () => {
    const answer = tally.compute(inputs, params, watched());
    const shown = tally.present(answer, params, inputs);
    expect(answer.rows.length).toBeGreaterThan(8);
    const used = column(shown.tables[0], "used").filter((value) => value !== null) as number[];
    expect(used).toEqual([...used].sort((a, b) => b - a));
    const [at] = answer.rows;
    expect(at!.used!).toBeCloseTo(answer.parts.effective[at!.part]! / at!.interval!, 12);
    expect(at!.left! <= 0).toBe(at!.used! >= 1);
    expect(shown.headline).toMatch(/^Of [\d,]+ parts in service with an interval, /);
    expect(JSON.stringify(shown)).not.toMatch(/NaN|Infinity|undefined/);
  });

  it("has a sentence for a tool that is not there, and for parts without an interval to count against", () => {
    const none = {...params, tool: "T-999"};
    expect(tally.present(tally.compute(inputs, none, watched()), none, inputs).headline).toContain(
      "The logs hold no parts in T-999 at the end of the log.",
    );
    const bare = inputsOf({lives: [{lower: 100, ending: "still running"}], runs: [{hours: 100}]});
    const shown = tally.present(tally.compute(bare, params, effects()), params, bare);
    expect(shown.headline).toBe("1 part in service, none with an interval to count against.");
    expect(shown.cautions.join(" ")).toContain("every hour counts alike");
  });
});

describe("the intervals cell", () => {
  const params = {...SEALS, fleet: null, sort: "component" as const, most: 10};

  it("tells all muds and flows together beside the rows of each", () => {
    const {tables} = intervals.present(intervals.compute(inputs, params, watched()), params, inputs);
    expect(tables.map(({name}) => name)).toEqual(["intervals", "all_conditions", "behind"]);
    expect(column(tables[1], "component")).toEqual(["seal"]);
    expect(column(tables[2], "condition").at(-1)).toBe("all together");
  });

  it("keeps a sheet for one fleet and says so; a fleet that is not there gets a sentence", () => {
    const alder = {...params, fleet: "Alder"};
    const shown = intervals.present(intervals.compute(inputs, alder, watched()), alder, inputs);
    expect(shown.headline).toMatch(/^Alder: /);
    expect(shown.cautions.join(" ")).toContain("those of Alder");
    const nobody = {...params, fleet: "Dolomite"};
    expect(intervals.present(intervals.compute(inputs, nobody, watched()), nobody, inputs).headline).toContain(
      "The logs hold no lives of seals of Dolomite with exposure.",
    );
  });

  // a row of the log's own words: no number may be printed that is none, whatever the settings lack
  it.each([
    ["costs absent", {components: {}}],
    [
      "costs of nothing",
      {components: {SEAL: {planned_cost: 0, failure_cost: 0, teardown_failure_cost: 0, current_interval_h: 0}}},
    ],
    [
      "a failure cheaper than a change",
      {components: {SEAL: {planned_cost: 500, failure_cost: 400, teardown_failure_cost: 0, current_interval_h: 100}}},
    ],
    ["a target of 1", {reliability_target: 1}],
    ["a run longer than any life", {next_run_h: 100_000}],
  ])("stays whole under %s", (_what, settings) => {
    const odd = {...inputs, settings: {...inputs.settings, ...settings}};
    const shown = intervals.present(intervals.compute(odd, params, effects()), params, odd);
    expect(shown.headline).toMatch(/^[A-Z0-9].*[.]$/s);
    expect(JSON.stringify(shown)).not.toMatch(/NaN|Infinity|undefined/);
    expect(column(shown.tables[0], "because").every((why) => typeof why === "string" && why.length > 20)).toBe(true);
  });
});
