/** `wearbook fit` on data of known answer. Reference entries: tests/reference/published.json, by their id. */
import {readFileSync} from "node:fs";
import {describe, expect, it} from "vitest";
import type {FitJson} from "../../src/cli/fitJson.ts";
import {fileOf, wearbook} from "./terminal.ts";

interface Entry {
  readonly id: string;
  readonly inputs: {
    readonly time: number[];
    readonly status: number[];
    readonly lower: (number | null)[];
    readonly upper: (number | null)[];
    readonly count: number[];
  };
  readonly expected: Readonly<Record<string, {readonly value: number & number[]}>>;
}

const entries = JSON.parse(
  readFileSync(new URL("../reference/published.json", import.meta.url), "utf8"),
) as readonly Entry[];
const entry = (id: string): Entry => entries.find((each) => each.id === id)!;

const status = (code: number): string => (code === 1 ? "failed" : "suspended");
const exactFile = ({inputs: {time, status: codes}}: Entry): Promise<string> =>
  fileOf("time,status", ...time.map((age, i) => `${age},${status(codes[i]!)}`));

async function fitted(...words: string[]): Promise<FitJson[]> {
  const {code, out, err} = await wearbook("fit", ...words, "--json");
  expect(code, err).toBe(0);
  return JSON.parse(out) as FitJson[];
}

describe("fit FILE --json", () => {
  it("agrees with nist-weibull-censored-limits: estimates, log-likelihood, covariance and both kinds of limits", async () => {
    const nist = entry("nist-weibull-censored-limits");
    const value = (name: string): number & number[] => nist.expected[name]!.value;
    const [fit] = await fitted(await exactFile(nist), "--limits", "normal", "--level", "0.9");
    expect(Object.keys(fit!)).toEqual(
      "group family lives failures shape scale logLikelihood aicc covariance level limitsBy limits quantiles reliability cautions".split(
        " ",
      ),
    );
    expect(fit).toMatchObject({group: {}, family: "weibull", lives: 20, failures: 10, level: 0.9, limitsBy: "normal"});
    expect(fit!.shape! / value("shape")).toBeCloseTo(1, 6);
    expect(fit!.scale! / value("scale")).toBeCloseTo(1, 6);
    expect(fit!.logLikelihood).toBeCloseTo(value("logLik"), 6);
    expect(fit!.covariance![0][0] / value("var_log_scale")).toBeCloseTo(1, 5);
    expect(fit!.covariance![1][1] / value("var_log_shape")).toBeCloseTo(1, 5);
    expect(fit!.covariance![0][1] / value("cov_log_scale_log_shape")).toBeCloseTo(1, 5);
    expect(fit!.limits.shape![0]! / value("shape_normal_90")[0]!).toBeCloseTo(1, 5);
    expect(fit!.limits.scale![1]! / value("scale_normal_90")[1]!).toBeCloseTo(1, 5);
    expect(fit!.quantiles.find(({p}) => p === 0.1)!.age! / value("B10")).toBeCloseTo(1, 6);
  });

  it("reads lower, upper and count: nelson-part-cracking", async () => {
    const parts = entry("nelson-part-cracking");
    const {lower, upper, count} = parts.inputs;
    const file = await fileOf(
      "lower,upper,count",
      ...lower.map((age, i) => `${age ?? ""},${upper[i] ?? ""},${count[i]}`),
    );
    const [fit] = await fitted(file);
    expect(fit).toMatchObject({lives: 167, failures: 94, limitsBy: "likelihood"});
    expect(fit!.shape! / parts.expected.shape!.value).toBeCloseTo(1, 6);
    expect(fit!.scale! / parts.expected.scale!.value).toBeCloseTo(1, 6);
    expect(fit!.logLikelihood).toBeCloseTo(parts.expected.logLik!.value, 6);
  });

  it("a count of 2 says the same as the row twice", async () => {
    const twice = await fileOf("time,status,count", "100,failed,2", "180,failed,1", "250,suspended,3");
    const rows = await fileOf(
      "time,status",
      "100,failed",
      "100,failed",
      "180,failed",
      ...Array<string>(3).fill("250,suspended"),
    );
    const [[a], [b]] = [await fitted(twice), await fitted(rows)];
    expect(a!.shape).toBeCloseTo(b!.shape!, 10);
    expect(a!.logLikelihood).toBeCloseTo(b!.logLikelihood!, 10);
    expect(a).toMatchObject({lives: 6, failures: 3});
  });

  it("--by gives one object per group in file order, and says in words why one cannot be fitted", async () => {
    const file = await fileOf(
      "time,status,mud,regime",
      "100,failed,OBM,high",
      "150,failed,OBM,high",
      "170,suspended,OBM,high",
      "120,suspended,KCL,low",
      "220,suspended,KCL,low",
    );
    const fits = await fitted(file, "--by", "mud,regime", "--at", "50,100");
    expect(fits.map(({group}) => group)).toEqual([
      {mud: "OBM", regime: "high"},
      {mud: "KCL", regime: "low"},
    ]);
    expect(fits[0]!.reliability.map(({at}) => at)).toEqual([50, 100]);
    expect(fits[0]!.reliability[0]!.estimate).toBeGreaterThan(fits[0]!.reliability[1]!.estimate!);
    expect(fits[1]).toMatchObject({shape: null, scale: null, lives: 2, failures: 0, logLikelihood: null});
    expect(fits[1]!.cautions.join(" ")).toMatch(/none of the 2 lives ended in a failure/i);
  });

  it("--mode makes failures by other modes suspensions", async () => {
    const file = await fileOf(
      "time,status,mode",
      "100,failed,wear",
      "150,failed,crack",
      "170,failed,wear",
      "200,suspended,",
    );
    const [fit] = await fitted(file, "--mode", "wear");
    expect(fit).toMatchObject({lives: 4, failures: 2});
  });

  it("--shape holds the shape: scale is (Σ t^β / failures)^(1/β), and its covariance is 0", async () => {
    const [fit] = await fitted(
      await fileOf("time,status", "100,failed", "150,failed", "170,suspended"),
      "--shape",
      "2",
    );
    expect(fit!.shape).toBe(2);
    expect(fit!.scale).toBeCloseTo(Math.sqrt((100 ** 2 + 150 ** 2 + 170 ** 2) / 2), 6);
    expect(fit!.covariance![1]).toEqual([0, 0]);
  });

  it("--shape without a failure gives the exact lower bounds of zero-failure-given-shape", async () => {
    const {inputs, expected} = entry("zero-failure-given-shape") as unknown as {
      inputs: {ages: number[]};
      expected: Readonly<Record<string, {value: number}>>;
    };
    const file = await fileOf("time,status", ...inputs.ages.map((age) => `${age},suspended`));
    const [fit] = await fitted(file, "--shape", "2", "--at", "500");
    expect(fit).toMatchObject({shape: null, failures: 0});
    expect(fit!.limits.scale![0]! / expected.scale_lower_95!.value).toBeCloseTo(1, 7);
    expect(fit!.limits.scale![1]).toBeNull();
    expect(fit!.quantiles.find(({p}) => p === 0.1)!.limits[0]! / expected.B10_lower_95!.value).toBeCloseTo(1, 7);
    expect(fit!.reliability[0]!.limits[0]! / expected.R500_lower_95!.value).toBeCloseTo(1, 7);
  });

  it("--family lognormal gives location and spread: complete lives have closed forms", async () => {
    const logs = [100, 150, 170, 300].map(Math.log);
    const mean = logs.reduce((sum, log) => sum + log, 0) / 4;
    const spread = Math.sqrt(logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / 4);
    const [fit] = await fitted(await fileOf("time", "100", "150", "170", "300"), "--family", "lognormal");
    expect(fit).not.toHaveProperty("shape");
    expect(fit!.location).toBeCloseTo(mean, 7);
    expect(fit!.spread).toBeCloseTo(spread, 7);
    expect(fit!.limits.spread![0]).toBeLessThan(spread);
    expect(fit!.limits.spread![1]).toBeGreaterThan(spread);
  });

  it("--limits bootstrap gives limits around the estimate, the same each time", async () => {
    const file = await exactFile(entry("nist-weibull-censored-limits"));
    const [[a], [b]] = [await fitted(file, "--limits", "bootstrap"), await fitted(file, "--limits", "bootstrap")];
    expect(a).toEqual(b);
    expect(a!.limitsBy).toBe("bootstrap");
    expect(a!.limits.scale![0]).toBeLessThan(a!.scale!);
    expect(a!.limits.scale![1]).toBeGreaterThan(a!.scale!);
  });

  it("never prints NaN: one failure, all failures at one age, ages that cannot be", async () => {
    const file = await fileOf(
      "time,status,set",
      "100,failed,one",
      "150,suspended,one",
      "90,failed,same",
      "90,failed,same",
      "-5,failed,odd",
      "80,failed,odd",
      "NaN,failed,odd",
    );
    const {out, err, code} = await wearbook("fit", file, "--by", "set", "--json", "--at", "10");
    expect(code).toBe(0);
    expect(out).not.toMatch(/NaN|Infinity/);
    expect(err).toContain("line 6");
    expect((JSON.parse(out) as FitJson[]).map(({lives}) => lives)).toEqual([2, 2, 1]);
  });
});

describe("fit, used wrongly or on bad files", () => {
  const one = "100,failed";
  it.each([
    [["--family", "gamma"], /gamma/],
    [["--level", "90"], /between 0 and 1/],
    [["--shape", "-2"], /above 0/],
    [["--at", "ten"], /above 0/],
    [["--by", "shade"], /no column shade/],
    [["--mode", "rust"], /mode rust/],
    [["--family", "exponential", "--shape", "2"], /--shape/],
    [["--colour"], /--colour/],
  ])("%j exits 2 and says why", async (words, why) => {
    const {code, err, out} = await wearbook("fit", await fileOf("time,status", one), ...words, "--json");
    expect(code).toBe(2);
    expect(err).toMatch(why);
    expect(out).toBe("");
  });

  it.each([
    ["no such file", null, /no such file/],
    ["empty file", "", /no life/],
    ["only headers", "time,status\n", /no life/],
    ["no age column", "hours on pump,remark\n5,x\n", /no life/],
  ])("%s exits 1 with a sentence", async (_, text, why) => {
    const file = await fileOf(text ?? "");
    const {code, err} = await wearbook("fit", text === null ? `${file}.gone` : file);
    expect(code).toBe(1);
    expect(err).toMatch(why);
  });
});
