import {beforeAll, describe, expect, it} from "vitest";
import {growScenario} from "../../../seeds/grow.ts";
import {writeLogs} from "../../../seeds/writeLogs.ts";
import type {CellInputs} from "../../../src/cells/contract.ts";
import {servicePlanCell} from "../../../src/cells/servicePlan.ts";
import {pairedDifference} from "../../../src/decisions/service/pairedDifference.ts";
import {cellInputs} from "../../../src/workspace/cellInputs.ts";
import {openLogs} from "../../../src/workspace/openLogs.ts";
import {seededRandom} from "../../../src/statistics/random.ts";
import {effects, inputsOf} from "../../cells/inputs.ts";

describe("pairedDifference(a, b, tools, level)", () => {
  // draws differ by 2 around 5, tools by 20 around their draw: limits of the difference are those of the draws alone
  it("takes the luck of the tools out of the spread between draws", () => {
    const random = seededRandom(4);
    const draws = 400;
    const tools = 60;
    const a = new Float64Array(draws * tools);
    for (let d = 0; d < draws; d++) {
      const truth = 5 + 2 * random.normal();
      for (let t = 0; t < tools; t++) a[d * tools + t] = truth + 20 * random.normal();
    }
    const {mean, limits, error, chance} = pairedDifference(a, new Float64Array(a.length), tools, 0.9);
    expect(mean).toBeCloseTo(5, 0);
    expect(error / (20 / Math.sqrt(draws * tools))).toBeCloseTo(1, 1);
    // 90 % of normal draws of deviation 2 lie within 3.29 of their mean, not within the 5.4 that luck would make it
    expect((limits[1]! - limits[0]!) / 2).toBeGreaterThan(2.7);
    expect((limits[1]! - limits[0]!) / 2).toBeLessThan(3.9);
    expect(chance).toBeGreaterThan(0.97);
  });

  it("has limits of the simulation's own error where all draws agree", () => {
    const random = seededRandom(9);
    const a = Float64Array.from({length: 800}, () => random.normal());
    const {mean, limits, error} = pairedDifference(a, new Float64Array(800), 20, 0.9);
    expect(limits[0]!).toBeLessThanOrEqual(mean - 1.6 * error);
    expect(limits[1]!).toBeGreaterThanOrEqual(mean + 1.6 * error);
  });
});

describe("the service-plan cell", () => {
  let inputs: CellInputs;
  let planned: ReturnType<typeof servicePlanCell.compute>;
  const params = {fleet: null, tools: 2};
  const answer = (some: CellInputs, asked: {fleet: string | null; tools: number} = params) =>
    servicePlanCell.present(servicePlanCell.compute(some, asked, effects()), asked, some);

  beforeAll(async () => {
    const encoder = new TextEncoder();
    const files = writeLogs(growScenario({seed: 5, fleets: {Basalt: {tools: 6}}})).map(({name, text}) => ({
      name,
      bytes: encoder.encode(text),
    }));
    const opened = await openLogs(files, true, () => undefined);
    if (!opened.opened) throw new Error(opened.message);
    inputs = cellInputs(opened.logs, {});
  });

  it("proposes a plan, told on tools it was not chosen on, and reports how far it is", () => {
    const seen = effects();
    planned = servicePlanCell.compute(inputs, params, seen);
    expect(seen.reported.at(-1)![0]).toBe(seen.reported.at(-1)![1]);
    const shown = servicePlanCell.present(planned, params, inputs);
    expect(shown.headline).toMatch(/^Basalt: open after [\d,]+ h, .* per 1,000 h .* than today's plan/);
    expect(JSON.stringify(shown)).not.toMatch(/NaN|Infinity|undefined/);
    const [plans] = shown.tables;
    const column = (name: string) => plans!.columns.find((one) => one.name === name)!.values;
    expect(column("plan").length).toBe(3);
    // default costs, no policy today: renewing nothing before it fails loses against any of them
    expect(column("saves")[0] as number).toBeGreaterThan(0);
    expect(column("cost_lower")[0] as number).toBeLessThan(column("cost")[0] as number);
  });

  it("opens more seldom where opening is dearer, and is the same when asked twice", () => {
    const withOpening = (openingCost: number) => {
      const service = {...inputs.settings.service, opening_cost: openingCost};
      return servicePlanCell.compute({...inputs, settings: {...inputs.settings, service}}, params, effects());
    };
    const dear = withOpening(15_000);
    expect(withOpening(inputs.settings.service.opening_cost)).toEqual(planned);
    if (!dear.plan.made || !planned.plan.made) throw new Error("no plan");
    expect(dear.plan.plan.every).toBeGreaterThan(planned.plan.plan.every);
  });

  it("stops when told to", () => {
    const stop = new AbortController();
    stop.abort();
    expect(() => servicePlanCell.compute(inputs, params, {progress: () => undefined, signal: stop.signal})).toThrow();
  });

  it("has a sentence for a fleet that is not there, without rebuilds, and without costs", () => {
    expect(answer(inputs, {fleet: "Dolomite", tools: 2}).headline).toContain(
      "The logs hold no runs of Dolomite with hours.",
    );
    const young = inputsOf({runs: [{hours: 50}, {hours: 60}], lives: [{lower: 110, ending: "still running"}]});
    expect(answer(young).headline).toContain("no two rebuilds of one tool of Alder");
    const unpriced = {...inputs, settings: {...inputs.settings, components: {}}};
    expect(answer(unpriced).headline).toContain("settings give no costs for its parts");
  });
});
