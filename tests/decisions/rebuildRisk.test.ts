/** What opening a tool adds: piecewise rates since the rebuild, against counts by hand. */
import {describe, expect, it} from "vitest";
import {BAND_EDGES, rebuildRisk} from "../../src/decisions/rebuildRisk.ts";
import {drawMean} from "../../src/decisions/spread.ts";
import {serviceStretches} from "../../src/lives/index.ts";
import {inputsOf} from "../cells/inputs.ts";

const DAY = 86_400_000;
const day = (n: number): string => new Date(Date.UTC(2024, 0, 1) + n * DAY).toISOString().slice(0, 10);

/** Tool T1 of Alder opened on days 0, 10 and 20, with runs of 60 h; T2 of Basalt opened once. */
const inputs = inputsOf({
  rebuilds: [
    {tool: "T1", date: day(0)},
    {tool: "T1", component: "SEAL", date: day(0)},
    {tool: "T1", date: day(10)},
    {tool: "T1", date: day(20)},
    {tool: "T2", date: day(5)},
  ],
  runs: [
    {tool: "T2", fleet: "Basalt", hours: 500, end: day(2)},
    {tool: "T1", hours: 60, end: day(4)},
    {tool: "T1", hours: 60, end: day(8)},
    {tool: "T1", hours: 30, end: day(14)},
    {tool: "T1", hours: 20, end: day(25)},
    {tool: "T2", fleet: "Basalt", hours: 90, end: day(9)},
  ],
  failures: [
    {component: "SEAL", mode: "SEAL-REV", shop: true, sinceRebuild: 30, date: day(14)},
    // not the shop's; no service lost; and one that no part explains
    {component: "SEAL", mode: "SEAL-ABR", sinceRebuild: 60, date: day(8)},
    {component: "LINR", mode: "LINR-CLM", shop: true, what: "shop", sinceRebuild: 20, date: day(20)},
    {component: null, sinceRebuild: 20, date: day(25)},
  ],
});

describe("serviceStretches(logs)", () => {
  it("runs from one opening to the next and to the end of the log; what ran before the first is left out", () => {
    const {hours, ended, tool, fleet} = serviceStretches(inputs);
    expect([...hours]).toEqual([90, 120, 30, 20]);
    expect([...ended].map((date) => Number.isFinite(date))).toEqual([false, true, true, false]);
    expect([...tool.codes].map((code) => tool.words[code])).toEqual(["T2", "T1", "T1", "T1"]);
    expect([...fleet.codes].map((code) => fleet.words[code])).toEqual(["Basalt", "Alder", "Alder", "Alder"]);
  });

  it("looks no further than it is told to", () => {
    const {hours, ended} = serviceStretches(inputs, Date.parse(day(9)) + DAY / 2);
    expect([...hours]).toEqual([90, 120]);
    expect([...ended]).toEqual([Infinity, Infinity]);
  });
});

describe("rebuildRisk(stretches, failures, fleet)", () => {
  const risk = rebuildRisk(serviceStretches(inputs), inputs.failures, null);

  it("counts the shop's run-ending failures and the exposure band by band", () => {
    expect(BAND_EDGES).toEqual([0, 50, 100, 200, Infinity]);
    expect(risk.failures).toEqual([1, 0, 0, 0]);
    // up to 50 h: 50 + 50 + 30 + 20; 50 to 100 h: 40 + 50; 100 to 200 h: 20
    expect(risk.exposure).toEqual([150, 90, 20, 0]);
    expect(risk.unexplained).toBe(1);
    expect(risk.service).toBe(260);
  });

  it("adds hazard where the run lies: a rate times the hours in each band", () => {
    // gamma of shape 1.5 over 150 h has mean 0.01
    expect(drawMean(risk.ahead(0, 40))).toBeCloseTo(0.4, 1);
    expect(drawMean(risk.ahead(0, 40))).toBeGreaterThan(drawMean(risk.ahead(60, 40)));
    expect(drawMean(risk.aheadUnexplained(100))).toBeCloseTo((100 * 1.5) / 260, 1);
    const two = risk.ahead(0, 20).map((h, d) => h + risk.ahead(20, 60)[d]!);
    risk.ahead(0, 80).forEach((h, d) => expect(h).toBeCloseTo(two[d]!, 12));
  });

  it("draws a fleet without failures toward the shop, and has nothing to say of an empty log", () => {
    const basalt = rebuildRisk(serviceStretches(inputs), inputs.failures, "Basalt");
    expect(basalt.failures).toEqual([0, 0, 0, 0]);
    expect(drawMean(basalt.ahead(0, 40))).toBeGreaterThan(0);
    const none = inputsOf({});
    const empty = rebuildRisk(serviceStretches(none), none.failures, null);
    expect(drawMean(empty.ahead(0, 40)) + drawMean(empty.aheadUnexplained(40))).toBe(0);
  });
});
