import * as v from "valibot";
import {beforeAll, describe, expect, it} from "vitest";
import {growScenario} from "../../seeds/grow.ts";
import {ANSWER_KEY, truthFor} from "../../seeds/truth.ts";
import {writeLogs} from "../../seeds/writeLogs.ts";
import {DEFAULT_SETTINGS, type ComponentSettings, type Settings} from "../../shared/settings.ts";
import {COMPONENTS, MUDS, REGIMES} from "../../shared/vocabulary/index.ts";
import {
  bestAge,
  competingLife,
  costRate,
  intervalsJson,
  POOLED,
  renewalIntervals,
  type IntervalInputs,
  type IntervalRow,
} from "../../src/decisions/index.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives, cutLives} from "../../src/lives/index.ts";
import {importLogs} from "../../src/logs/index.ts";

type Grow = Parameters<typeof growScenario>[0];

async function logsOf(options: Grow): Promise<Omit<IntervalInputs, "settings">> {
  const encoder = new TextEncoder();
  const files = writeLogs(growScenario(options)).map(({name, text}) => ({name, bytes: encoder.encode(text)}));
  return livesOf(files);
}

async function livesOf(files: {name: string; bytes: Uint8Array}[]): Promise<Omit<IntervalInputs, "settings">> {
  const {runs, rebuilds} = await importLogs(files);
  const conditions = runConditions(runs, DEFAULT_SETTINGS);
  return {runs, rebuilds, lives: buildLives({runs, rebuilds}, conditions, DEFAULT_SETTINGS).lives};
}

/** The default settings with other figures for every component. */
function settingsWith(component: Partial<ComponentSettings>, rest: Partial<Settings> = {}): Settings {
  const components = Object.fromEntries(
    Object.entries(DEFAULT_SETTINGS.components).map(([code, usual]) => [code, {...usual, ...component}]),
  );
  return {...DEFAULT_SETTINGS, components, ...rest};
}

const row = (rows: readonly IntervalRow[], component: string, mud: string, regime: string): IntervalRow => {
  const found = rows.find((one) => one.component === component && one.mud === mud && one.regime === regime);
  if (found === undefined) throw new Error(`no row for ${component} ${mud} ${regime}`);
  return found;
};

const numbersOf = (value: unknown): number[] => {
  if (typeof value === "number") return [value];
  if (value !== null && typeof value === "object") return Object.values(value).flatMap(numbersOf);
  return [];
};

/** A log of a few lines: `tools` tools, each with the same runs and rebuilds; `row` says what each rebuild found of the seal. */
function smallLog(
  tools: number,
  rebuilds: number,
  found: (tool: number, rebuild: number) => {found: string; mode?: string; ended?: boolean; action: string},
): {name: string; bytes: Uint8Array}[] {
  const runs = ["run,tool,fleet,start,end,circulating_h,mud,flow_lpm,bore_mm,tool_od_mm,outcome"];
  const rows = ["tool,date,component,found,mode,ended_run,action"];
  const day = (n: number): string => new Date(Date.UTC(2024, 0, 1 + n)).toISOString().slice(0, 10);
  for (let t = 0; t < tools; t++) {
    rows.push(`T${t},${day(0)},SEAL,not inspected,,no,renewed`);
    for (let r = 0; r < rebuilds; r++) {
      const seen = found(t, r);
      const ended = seen.ended === true;
      runs.push(
        `R${t}-${r},T${t},Only,${day(10 * r + 2)},${day(10 * r + 6)},100,KCL,1250,76,48,${ended ? "failed downhole" : "completed"}`,
      );
      rows.push(
        `T${t},${day(10 * r + 8)},SEAL,${seen.found},${seen.mode ?? ""},${ended ? "yes" : "no"},${seen.action}`,
      );
    }
  }
  const encoder = new TextEncoder();
  return [
    {name: "runs.csv", bytes: encoder.encode(`${runs.join("\n")}\n`)},
    {name: "rebuilds.csv", bytes: encoder.encode(`${rows.join("\n")}\n`)},
  ];
}

describe("renewalIntervals on a grown fleet", () => {
  let logs: Omit<IntervalInputs, "settings">;
  let rows: IntervalRow[];
  /** the same with the seals' lives alone: their rows are the same, but for what a share of all failures does to them */
  let seals: Omit<IntervalInputs, "settings">;

  beforeAll(async () => {
    logs = await logsOf({seed: 3, fleets: {Alder: {tools: 16}}});
    rows = renewalIntervals({...logs, settings: DEFAULT_SETTINGS});
    seals = {...logs, lives: cutLives(logs.lives, logs.runs, {component: ["SEAL"]})};
  });

  it("gives one row for every component, mud and regime with exposure, in vocabulary codes", () => {
    const keys = rows.map(({component, mud, regime}) => `${component} ${mud} ${regime}`);
    expect(new Set(keys).size).toBe(keys.length);
    expect(keys.length).toBe(9 * 6);
    for (const {mud, regime, exposure_h} of rows) {
      expect(MUDS[mud]).toBeDefined();
      expect(REGIMES[regime]).toBeDefined();
      expect(exposure_h).toBeGreaterThan(0);
    }
  });

  it("is the same when asked twice", () => {
    expect(renewalIntervals({...logs, settings: DEFAULT_SETTINGS})).toEqual(rows);
  });

  // the contract with other programs: names, nesting, types and enumerations of design.md 9
  it("gives the batch runner's JSON its names, types and words, and no number that is not one", () => {
    const number = v.pipe(v.number(), v.finite());
    const some = v.nullable(number);
    const share = v.pipe(number, v.minValue(0), v.maxValue(1));
    const count = v.pipe(number, v.integer(), v.minValue(0));
    const byPolicy = v.strictObject({recommended: some, current: some, runToFailure: some});
    const contract = v.array(
      v.strictObject({
        component: v.picklist(Object.keys(COMPONENTS)),
        mud: v.picklist(Object.keys(MUDS)),
        regime: v.picklist(Object.keys(REGIMES)),
        advice: v.picklist(["renew at", "run to failure", "not enough data"]),
        interval_h: some,
        limits_h: v.strictTuple([some, some]),
        boundBy: v.nullable(v.picklist(["cost", "risk"])),
        current_h: some,
        costPer1000h: byPolicy,
        failuresPer1000h: byPolicy,
        chanceBetterThanCurrent: v.nullable(share),
        lives: count,
        failures: count,
        shape: some,
        scale: some,
        cautions: v.array(v.pipe(v.string(), v.minLength(10))),
      }),
    );
    const json: unknown = JSON.parse(JSON.stringify(intervalsJson(rows)));
    expect(v.safeParse(contract, json).issues?.map(({message, path}) => [message, v.getDotPath({path} as never)])).toBe(
      undefined,
    );
    for (const one of rows) expect(numbersOf(one).every(Number.isFinite)).toBe(true);
  });

  it("adds a row for all conditions together when asked, before the others of its component, between their extremes", () => {
    const both = renewalIntervals({...logs, settings: DEFAULT_SETTINGS, components: ["SEAL", "TIPP"], pooled: true});
    expect(both.filter(({mud}) => mud !== POOLED)).toEqual(
      rows.filter(({component}) => component === "SEAL" || component === "TIPP"),
    );
    for (const component of ["SEAL", "TIPP"]) {
      const [pooled, ...own] = both.filter((one) => one.component === component);
      expect([pooled!.mud, pooled!.regime, pooled!.mudLabel]).toEqual([POOLED, POOLED, "all muds"]);
      expect(pooled!.exposure_h).toBeCloseTo(
        own.reduce((sum, {exposure_h}) => sum + exposure_h, 0),
        6,
      );
      expect(pooled!.lives).toBe(pooled!.livesPooled);
      // the scale of the mix is the harmonic mean of the conditions' own, weighted by exposure
      const pace = own.reduce((sum, one) => sum + one.exposure_h / one.scale!, 0) / pooled!.exposure_h;
      expect(pooled!.scale! * pace).toBeCloseTo(1, 10);
      const ages = own.map(({costInterval_h}) => costInterval_h!);
      expect(pooled!.costInterval_h!).toBeGreaterThan(Math.min(...ages));
      expect(pooled!.costInterval_h!).toBeLessThan(Math.max(...ages));
    }
  });

  it("advises an interval, in whole service units, exactly where it says renew at", () => {
    for (const one of rows) {
      expect(one.interval_h === null).toBe(one.advice !== "renew at");
      if (one.interval_h !== null) {
        expect(one.interval_h % DEFAULT_SETTINGS.service_unit_h).toBe(0);
        expect(one.interval_h).toBeGreaterThan(0);
        if (one.boundBy === "cost") expect(one.interval_h).toBeLessThanOrEqual(one.costInterval_h!);
        if (one.boundBy === "risk") expect(one.interval_h).toBeLessThanOrEqual(one.riskInterval_h!);
      }
      expect(one.because.length).toBeGreaterThan(20);
    }
  });

  it("costs no more in expectation than running to failure, and the curve's lowest point is the interval by cost", () => {
    for (const one of rows) {
      if (one.advice !== "renew at" || one.boundBy !== "cost" || one.curve === null) continue;
      expect(one.costPer1000h.recommended!).toBeLessThan(one.costPer1000h.runToFailure!);
      // rounding down to the unit may cost a little
      expect(one.costPer1000h.recommended!).toBeLessThan(1.02 * Math.min(...one.curve.expected));
      expect(one.savingPer1000h.againstRunToFailure!).toBeCloseTo(
        one.costPer1000h.runToFailure! - one.costPer1000h.recommended!,
        6,
      );
    }
  });

  it("renews faster where flow is faster", () => {
    for (const component of ["SEAL", "TIPP", "BAND"]) {
      const [low, medium, high] = ["low", "medium", "high"].map(
        (regime) => row(rows, component, "KCL", regime).costInterval_h!,
      );
      expect(low!).toBeGreaterThan(medium!);
      expect(medium!).toBeGreaterThan(high!);
    }
  });

  it("keeps O-rings to every rebuild by practice, and says so", () => {
    const rings = rows.filter(({component}) => component === "ORNG");
    expect(rings.every(({advice, because}) => advice === "renew at" && /by common practice/.test(because))).toBe(true);
  });

  it("names failures that the shop caused, and does not count them as wear", () => {
    const seal = rows.filter(({component}) => component === "SEAL");
    const shop = seal[0]!.shopFailures;
    expect(shop).toBeGreaterThan(0);
    expect(seal.every(({cautions}) => cautions.some((one) => one.includes("caused by the shop")))).toBe(true);
  });

  it("binds by risk when the target is high, and by cost when it is low", () => {
    const strict = renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, reliability_target: 0.995}});
    const seal = row(strict, "SEAL", "KCL", "medium");
    expect(seal.boundBy).toBe("risk");
    expect(seal.interval_h!).toBeLessThanOrEqual(seal.costInterval_h!);
    expect(seal.because).toContain("99.5 %");
    const loose = renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, reliability_target: 0.5}});
    expect(row(loose, "SEAL", "KCL", "medium").boundBy).toBe("cost");
  });

  it("leaves the risk rule out for a target of 1 or 0, with a sentence, and says where no age meets a target", () => {
    for (const target of [1, 0]) {
      const seal = row(
        renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, reliability_target: target}}),
        "SEAL",
        "KCL",
        "medium",
      );
      expect(seal.riskInterval_h).toBeNull();
      expect(seal.cautions.join(" ")).toContain("so the risk rule is left out");
    }
    const hopeless = renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, reliability_target: 0.999999}});
    expect(row(hopeless, "SEAL", "KCL", "medium").cautions.join(" ")).toContain("no age meets the reliability target");
  });

  it("runs to failure where a failure costs no more than a planned change", () => {
    const cheap = renewalIntervals({...seals, settings: settingsWith({planned_cost: 500, failure_cost: 400})});
    const seal = row(cheap, "SEAL", "KCL", "medium");
    expect(seal.advice).toBe("run to failure");
    expect(seal.because).toContain("costs no more");
    const free = renewalIntervals({...seals, settings: settingsWith({failure_cost: 0})});
    expect(row(free, "SEAL", "KCL", "medium").advice).toBe("run to failure");
  });

  it("says so when a planned change costs nothing, and when costs are missing", () => {
    const gift = row(renewalIntervals({...seals, settings: settingsWith({planned_cost: 0})}), "SEAL", "KCL", "medium");
    expect(gift.cautions.join(" ")).toContain("set to cost nothing");
    expect(gift.interval_h!).toBeGreaterThan(0);
    const unpriced = row(
      renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, components: {}}}),
      "SEAL",
      "KCL",
      "medium",
    );
    expect(unpriced.boundBy).toBe("risk");
    expect(unpriced.because).toContain("settings give no costs");
    expect(unpriced.costPer1000h).toEqual({recommended: null, current: null, runToFailure: null});
  });

  it("prices against what each fleet does today, and gives no chance where the advice is the same", () => {
    const sealRows = renewalIntervals({...seals, settings: DEFAULT_SETTINGS});
    const today = row(sealRows, "SEAL", "KCL", "medium").interval_h!;
    const same = row(
      renewalIntervals({...seals, settings: settingsWith({current_interval_h: today})}),
      "SEAL",
      "KCL",
      "medium",
    );
    expect(same.chanceBetterThanCurrent).toBeNull();
    expect(same.cautions).toContain("this is what is done today");
    const other = row(rows, "SEAL", "KCL", "medium");
    expect(other.current_h).toBeNull();
    expect(other.costPer1000h.current).toBeCloseTo(other.costPer1000h.runToFailure!, 6);
    expect(other.chanceBetterThanCurrent!).toBeGreaterThan(0.95);
  });

  it("rounds below one service unit to a whole hour, never to 0, and says what it means", () => {
    const coarse = renewalIntervals({...seals, settings: {...DEFAULT_SETTINGS, service_unit_h: 1000}});
    const seal = row(coarse, "SEAL", "KCL", "high");
    expect(seal.interval_h!).toBeGreaterThan(0);
    expect(seal.cautions.join(" ")).toContain("not rounded to 0");
  });

  it("stops when told to, and reports how far it is", () => {
    const stop = new AbortController();
    stop.abort();
    expect(() =>
      renewalIntervals({...seals, settings: DEFAULT_SETTINGS}, {progress: () => undefined, signal: stop.signal}),
    ).toThrow();
    const seen: number[] = [];
    renewalIntervals({...seals, settings: DEFAULT_SETTINGS}, {progress: (done) => seen.push(done)});
    expect(seen.at(-1)).toBe(1);
  });
});

describe("renewalIntervals on small logs", () => {
  const only = async (files: {name: string; bytes: Uint8Array}[]): Promise<IntervalRow> => {
    const rows = renewalIntervals({...(await livesOf(files)), settings: DEFAULT_SETTINGS});
    expect(rows.length).toBe(1);
    expect(numbersOf(rows[0]).every(Number.isFinite)).toBe(true);
    return rows[0]!;
  };

  it("gives no row for a log without exposure", async () => {
    const rows = renewalIntervals({
      ...(await livesOf(smallLog(1, 0, () => ({found: "good", action: "kept"})))),
      settings: DEFAULT_SETTINGS,
    });
    expect(rows).toEqual([]);
  });

  it("has not enough data where nothing failed, and names the age the lives vouch for", async () => {
    const one = await only(smallLog(20, 6, (_, r) => ({found: "good", action: r % 2 === 1 ? "renewed" : "kept"})));
    expect(one.advice).toBe("not enough data");
    expect(one.because).toContain("ended by wear");
    expect(one.vouchedFor_h!).toBeGreaterThan(100);
    expect(one.cautions.join(" ")).toContain("what the lives do vouch for");
  });

  it("says that nothing was ever renewed, and that there is but one life", async () => {
    const kept = await only(smallLog(5, 4, () => ({found: "good", action: "kept"})));
    expect(kept.cautions.join(" ")).toContain("no seal has been renewed in this log");
    const single = await only(smallLog(1, 4, () => ({found: "good", action: "kept"})));
    expect(single.cautions.join(" ")).toContain("one life of the seal");
    expect(single.advice).toBe("not enough data");
  });

  it("has not enough data after a single failure", async () => {
    const one = await only(
      smallLog(10, 5, (t, r) =>
        t === 0 && r === 3
          ? {found: "failed", mode: "SEAL-ABR", ended: true, action: "renewed"}
          : {found: "good", action: "kept"},
      ),
    );
    expect(one.advice).toBe("not enough data");
    expect(one.because).toContain("1 failure leaves");
  });

  it("runs to failure where the failures come at any age", async () => {
    // geometric lives with chance 0.18 a run, from a fixed sequence
    let state = 12345;
    const uniform = (): number => (state = (state * 16807) % 2147483647) / 2147483647;
    const one = await only(
      smallLog(40, 10, () =>
        uniform() < 0.18
          ? {found: "failed", mode: "SEAL-XXX", ended: true, action: "renewed"}
          : {found: "good", action: "kept"},
      ),
    );
    expect(one.advice).toBe("run to failure");
    expect(one.because).toContain("wear-out is not shown");
  });

  it("says how far an interval goes beyond the oldest part seen", async () => {
    // every seal is renewed at 300 h; one in fifteen has failed by 200 h, one in four by 300 h
    const young = await livesOf(
      smallLog(60, 9, (t, r) => {
        const failed = r % 3 === 1 ? (t + r) % 15 === 0 : r % 3 === 2 && (t + r) % 4 === 0;
        if (failed) return {found: "failed", mode: "SEAL-ABR", ended: true, action: "renewed"};
        return {found: "good", action: r % 3 === 2 ? "renewed" : "kept"};
      }),
    );
    const [one] = renewalIntervals({
      ...young,
      settings: settingsWith({planned_cost: 9000, failure_cost: 20000}, {reliability_target: 0.5}),
    });
    expect(one!.advice).toBe("renew at");
    expect(one!.beyondOldest_h).toBeGreaterThan(0);
    expect(one!.interval_h! - one!.oldest_h).toBeCloseTo(one!.beyondOldest_h, 6);
    expect(one!.cautions.join(" ")).toContain("extrapolates");
  });

  it("renews before the age at which every seal fails", async () => {
    // fitted new, good at 100, 200 and 300 h, found failed at 400 h
    const one = await only(
      smallLog(30, 8, (_, r) =>
        r % 4 === 3
          ? {found: "failed", mode: "SEAL-ABR", ended: true, action: "renewed"}
          : {found: "good", action: "kept"},
      ),
    );
    expect(one.advice).toBe("renew at");
    expect(one.interval_h!).toBeLessThanOrEqual(400);
    expect(one.interval_h!).toBeGreaterThanOrEqual(200);
    expect(one.shape!).toBeGreaterThan(3);
    expect(one.because).toContain("failures close together");
  });
});

describe("renewalIntervals for one fleet", () => {
  it("takes the life from all fleets, and costs, policy, rebuilds and conditions from the one", async () => {
    const logs = await logsOf({seed: 8, fleets: {Alder: {tools: 8}, Cobalt: {tools: 8}}});
    const settings: Settings = {
      ...settingsWith({failure_cost: 20000}),
      fleets: {Cobalt: {components: {SEAL: {failure_cost: 210000, current_interval_h: 150}}}},
    };
    const asked = {...logs, settings, components: ["SEAL"]};
    const both = renewalIntervals(asked);
    const alder = renewalIntervals({...asked, fleet: "Alder"});
    const cobalt = renewalIntervals({...asked, fleet: "Cobalt"});
    expect(alder.every(({fleets}) => fleets.length === 1 && fleets[0]!.fleet === "Alder")).toBe(true);
    expect(cobalt.every(({current_h}) => current_h === 150)).toBe(true);
    expect(alder.every(({current_h}) => current_h === null)).toBe(true);
    // Cobalt runs no KCl: it has no row there, and Alder's is everybody's
    expect(cobalt.some(({mud}) => mud === "KCL")).toBe(false);
    const [mine, theirs] = [row(alder, "SEAL", "KCL", "medium"), row(both, "SEAL", "KCL", "medium")];
    expect([mine.shape, mine.scale, mine.interval_h]).toEqual([theirs.shape, theirs.scale, theirs.interval_h]);
    // ten times the stake, shorter intervals for the same life
    const dear = renewalIntervals({...asked, settings: settingsWith({failure_cost: 20000}), fleet: "Cobalt"});
    cobalt.forEach((one, i) => expect(one.costInterval_h!).toBeLessThan(dear[i]!.costInterval_h!));
    expect(renewalIntervals({...asked, fleet: "Dolomite"})).toEqual([]);
  });
});

describe("the answer key of the scenario", () => {
  /**
   * Poppet tip, planned 750, failure 20,000, continuous age replacement: the textbook age from the fitted model against
   * the key of seeds/truth.ts. Worn parts are left in, so that a life has one law. Tolerance: with some 60 to 80 wear
   * failures the standard error of log shape is near 0.78 / √70 = 0.09 and that of log scale in a cell, effects included,
   * near 0.1; log T* = log scale − log((shape − 1)(ratio)) / shape then has one of about 0.15, so 35 % is a little over two.
   * The curve is flat, so the same error in T costs little: the extra cost under the true law must stay below 6 %.
   */
  it("textbook ages of the fitted model are those of the key within their sampling error", async () => {
    const logs = await logsOf({seed: 11, foundWorn: {from: 0.88, caught: 0}});
    const costs = {planned: ANSWER_KEY.plannedCost, failure: ANSWER_KEY.failureCost};
    const settings = settingsWith({planned_cost: costs.planned, failure_cost: costs.failure, current_interval_h: null});
    const rows = renewalIntervals({...logs, settings});
    for (const {mud, regime, age} of ANSWER_KEY.best) {
      const one = row(rows, "TIPP", mud, regime);
      const truth = competingLife(truthFor("TIPP", mud, regime).modes);
      const best = bestAge(truth, costs);
      if (!best.found || one.textbook === null) throw new Error(`no textbook age for ${mud} ${regime}`);
      expect(Math.abs(best.age - age)).toBeLessThan(2);
      const found = one.textbook.interval_h;
      expect(Math.abs(Math.log(found / age)), `${mud} ${regime}: ${found.toFixed(0)} h, key ${age} h`).toBeLessThan(
        0.35,
      );
      expect(costRate(found, truth, costs) / best.costRate - 1, `${mud} ${regime}`).toBeLessThan(0.06);
    }
  });
});
