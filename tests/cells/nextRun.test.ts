/** The next-run check on small logs: what it says when it cannot say much. */
import {describe, expect, it} from "vitest";
import {evaluateCell} from "../../src/notebook/index.ts";
import type {Presentation} from "../../src/cells/contract.ts";
import {effects, inputsOf, type LifeRow, type Rows} from "./inputs.ts";

/** Forty seals in as many tools, half of them failed by wear, and two tools still running. */
const seals: LifeRow[] = Array.from({length: 40}, (_, i) => ({
  tool: `T${(i % 8) + 1}`,
  lower: 150 + 12 * i,
  ...(i % 2 === 0 ? {upper: 150 + 12 * i, mode: "SEAL-ABR"} : {}),
}));
const fitted: LifeRow[] = [
  {tool: "T1", lower: 300, ending: "still running"},
  {tool: "T2", lower: 40, ending: "still running"},
  {tool: "T2", component: "LINR", lower: 500, ending: "still running"},
];
const shop: Rows = {
  lives: [...seals, ...fitted],
  runs: [
    {tool: "T1", hours: 60},
    {tool: "T2", hours: 70, end: "2024-05-01"},
  ],
};

function answer(body: string, rows: Rows = shop): Presentation {
  const result = evaluateCell({kind: "next-run", body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  expect(JSON.stringify(result.presentation)).not.toMatch(/NaN|Infinity|undefined/);
  return result.presentation;
}

describe("the cell kind next-run", () => {
  it("takes the tool least likely to come through when none is picked, and says so", () => {
    const {headline, cautions, asks, tables} = answer("");
    expect(headline).toMatch(
      /^T1 misses the target as it stands: it comes through 65 h in KCL at medium flow with \d+ %/,
    );
    expect(headline).toMatch(/Renew seal \(1 part, 290 USD\)/);
    expect(cautions.join(" ")).toMatch(/No tool was picked: T1 is the one least likely/);
    expect(asks?.map(({name}) => name)).toEqual(["tool", "hours", "mud", "flow", "target", "of", "parts"]);
    expect(tables[0]!.columns[0]!.values).toContain("the whole");
  });

  it("says that a part which never failed is held to what so much exposure without failure allows", () => {
    const {tables} = answer("tool: T2");
    const at = tables[0]!.columns[0]!.values.indexOf("liner");
    const survival = tables[0]!.columns.find(({name}) => name === "survival_lower")!.values[at] as number;
    expect(survival).toBeGreaterThan(0.5);
    expect(survival).toBeLessThan(1);
  });

  it.each([
    ["tool: T99", /^No tool is called “T99”.* The logs hold 2 tools with parts in them, from T1 to T2\.$/],
    [
      "tool: T5",
      /^The logs name T5, but no part stands in it/,
      {...shop, runs: [...shop.runs!, {tool: "T5", hours: 10}]},
    ],
    ["tool: T1\ntarget: 1", /^A target of 100 % cannot be met/],
    ["tool: T1\nhours: 0", /^A run of 0 h asks nothing/],
    ["tool: T1\nhours: 100000", /more than 5 times the longest of the log \(70 h\)/],
    ["parts: {seal: 100}", /needs the mud and the flow/],
    ["parts: {orifice: 100}\nmud: KCL\nflow: medium\nhours: 10", /hold no life of any part of this assembly/],
    ["", /^No tool has a part in it/, {}],
  ])("%s is answered by a sentence", (body, sentence, rows = shop) => {
    expect(answer(body, rows).headline).toMatch(sentence);
  });

  it("an assembly stated by its ages stands in for a tool", () => {
    const {headline, cautions} = answer("parts: {seal: 0}\nmud: KCL\nflow: medium\nhours: 30");
    expect(headline).toMatch(/^By these lives this assembly meets the target as it stands/);
    expect(cautions.join(" ")).toMatch(/Hours given by hand/);
    const text = answer("parts: seal 250\nmud: KCL\nflow: medium\nhours: 30").headline;
    expect(text).toMatch(/The seal limits it/);
  });

  it("a mud and flow never seen are put together from effects, with wider limits", () => {
    const known = answer("tool: T1\nhours: 30\nmud: KCL\nflow: medium");
    const unseen = answer("tool: T1\nhours: 30\nmud: SALT\nflow: high");
    expect(unseen.cautions.join(" ")).toMatch(/salt-saturated mud at high flow was never run/i);
    const width = ({tables}: Presentation) => {
      const value = (name: string) => tables[0]!.columns.find((column) => column.name === name)!.values[0] as number;
      return value("survival_upper") - value("survival_lower");
    };
    expect(width(unseen)).toBeGreaterThan(width(known));
  });

  it("a part far older than any seen is said to extrapolate", () => {
    expect(answer("tool: T1\nparts: seal 2000\nhours: 30").cautions.join(" ")).toMatch(
      /Extrapolates: by the end of the run the seal is [\d,]+ h past the oldest seen/,
    );
  });
});
