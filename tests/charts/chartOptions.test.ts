import {describe, expect, it} from "vitest";
import {chartOptions, DARK_PALETTE, LIGHT_PALETTE, PAGE_PALETTE} from "../../src/charts/index.ts";
import {draw} from "./draw.ts";
import {EDGES, SAMPLES} from "./samples.ts";

describe("chartOptions(chart, drawing) draws every kind", () => {
  it.each(Object.entries(SAMPLES))(
    "%s at desk and at phone width, with no NaN and a role on every group",
    async (_kind, chart) => {
      for (const width of [240, 720]) {
        const {text, count} = await draw(chart, width);
        expect(text).not.toMatch(/NaN|Infinity|undefined|null/);
        expect(count("g[aria-label]")).toBeGreaterThan(0);
        expect(count("g[aria-label]:not([role=group])")).toBe(0);
      }
    },
  );

  it.each(EDGES)("%s: says so or draws what there is, with no NaN", async (_what, chart) => {
    const {text, count} = await draw(chart);
    expect(text).not.toMatch(/NaN|Infinity|undefined/);
    expect(count("text")).toBeGreaterThan(0);
  });

  it("takes colours from the page's properties by default and from the palette given", async () => {
    expect((await draw(SAMPLES.hazard, 640, PAGE_PALETTE)).text).toContain("var(--series-1");
    expect((await draw(SAMPLES.hazard, 640, LIGHT_PALETTE)).text).not.toContain("var(");
    expect((await draw(SAMPLES.hazard, 640, DARK_PALETTE)).text).toContain(DARK_PALETTE.series[0]);
    expect(chartOptions(SAMPLES.hazard, {width: 640})).toMatchObject({width: 640});
  });

  // the words behind the longest bar once left the picture, and paper cut them off
  it("leaves room for the words behind the longest bar", async () => {
    const bar = {name: "seal", value: 6_280_000, lower: 5_000_000, upper: 7_958_000, serviceInduced: false};
    const bars = [
      {...bar, runningShare: 0.13},
      {...bar, name: "liner", upper: null, runningShare: 1},
    ];
    for (const width of [420, 695]) {
      const {svg} = await draw({kind: "bars", label: "cost of failures", unit: "USD", bars}, width);
      const words = [...svg.querySelectorAll("text")].filter(({textContent}) => /\(\d+ %\)/.test(textContent));
      expect(words).toHaveLength(2);
      for (const text of words) {
        const [, x] = /translate\(([\d.]+)/.exec(text.getAttribute("transform") ?? "")!;
        // about 6.5 pixels a letter at this size
        expect(Number(x) + text.textContent.length * 6.5, text.textContent).toBeLessThanOrEqual(width);
      }
    }
  });

  it("keeps to the height it is given", () => {
    expect(chartOptions(SAMPLES.bars, {width: 300, height: 222}).height).toBe(222);
  });

  it("never asks for a legend outside the picture", () => {
    for (const chart of Object.values(SAMPLES)) {
      const options = chartOptions(chart, {width: 500});
      expect(options.color ?? options.symbol ?? options.title ?? options.caption).toBeUndefined();
    }
  });
});

describe("what is drawn matches the data", () => {
  it("a probability plot has a symbol a failure, a tick a suspension and a bar where the age is a range", async () => {
    const {count, words} = await draw(SAMPLES.probability);
    expect(count("[aria-description='failures, OBM'] path, [aria-description='failures, OBM'] circle")).toBe(4);
    expect(count("[aria-description='suspensions, OBM'] line")).toBe(3);
    expect(count("[aria-description='suspensions, KCL'] line")).toBe(2);
    expect(count("[aria-description='ages between which a failure lies'] path")).toBe(1);
    expect(words()).toContain("50 %");
    expect(words()).toContain("suspensions");
  });

  it("bars are hatched and named where the shop caused them", async () => {
    const {count, words} = await draw(SAMPLES.bars);
    expect(count("[aria-description='failures in service'] rect")).toBe(2);
    expect(count("[aria-description='failures caused at service'] rect")).toBe(1);
    expect(count(".hatching path")).toBe(1);
    expect(words()).toContain("caused at service by the shop");
  });

  it("the interval chart says `run to failure` where there is no interval", async () => {
    const {count, words} = await draw(SAMPLES.intervals);
    expect(count("[aria-description=recommended] circle")).toBe(2);
    expect(count("[aria-description=today] path")).toBe(2);
    expect(words()).toContain("run to failure");
  });

  it("dots at zero on a log axis leave their whisker and their note", async () => {
    const {count, words} = await draw(SAMPLES.dots);
    expect(count("[aria-description='failures per 1,000 h'] circle")).toBe(2);
    expect(words()).toContain("0 in 1,300 h");
  });

  it("residuals draw a ring where the age is known and a box where it is not, beside the diagonal", async () => {
    const {count, words} = await draw(SAMPLES.residuals);
    expect(count("[aria-description='failures at a known age'] circle")).toBe(2);
    expect(count("[aria-description='rises somewhere inside'] rect")).toBe(1);
    expect(count("[aria-description='fit and lives agree'] path")).toBe(1);
    expect(count("[aria-description='to the right fewer than 10 lives'] line")).toBe(1);
    expect(words()).toContain("cumulative hazard by the fit (Weibull)");
  });

  it("a funnel sets apart who lies outside", async () => {
    const {count} = await draw(SAMPLES.funnel);
    expect(count("[aria-description=outside] circle")).toBe(1);
    expect(count("[aria-description=inside] circle")).toBe(1);
  });
});
