import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {parseRegister, withDecision, type IntervalDecision} from "../../shared/register.ts";
import {mergeTexts} from "../../src/workspace/mergeTexts.ts";

const SETTINGS =
  "# ours\nlevel: 0.9\ncurrency: USD\ncomponents:\n  SEAL: {planned_cost: 1}\n  LINR: {planned_cost: 2}\n";
const decision = (component: string): IntervalDecision => ({
  component,
  mud: "OBM",
  regime: "high",
  fleet: null,
  decision: "accepted",
  interval_h: 150,
  recommended_h: 150,
  before_h: 400,
  date: "2025-12-28",
  initials: "KV",
  reason: "",
  data_to: null,
  filters: "",
  failures_per_1000h: null,
});

describe("mergeTexts(base, mine, theirs)", () => {
  it("takes from each the lines that only it has changed", () => {
    const mine = SETTINGS.replace("0.9", "0.8");
    const theirs = SETTINGS.replace("cost: 2", "cost: 3").replace("# ours\n", "");
    expect(mergeTexts(SETTINGS, mine, theirs)).toBe(theirs.replace("0.9", "0.8"));
    expect(mergeTexts(SETTINGS, theirs, mine)).toBe(theirs.replace("0.9", "0.8"));
  });

  it("keeps both of two decisions put on record at once, in a register that was there or not", () => {
    for (const base of [null, withDecision("", decision("TIPP"))]) {
      const [mine, theirs] = [decision("SEAL"), decision("LINR")].map((each) => withDecision(base ?? "", each));
      const {register, findings} = parseRegister(mergeTexts(base, mine!, theirs!) ?? "", "register.yaml", "2026-01-01");
      const both = base === null ? [] : ["TIPP"];
      expect(findings).toEqual([]);
      expect(register.decisions.map(({component}) => component)).toEqual([...both, "LINR", "SEAL"]);
    }
  });

  it("asks where both changed one line, where one took the file away, and where the whole would not be understood", () => {
    expect(mergeTexts(SETTINGS, SETTINGS.replace("0.9", "0.8"), SETTINGS.replace("0.9", "0.7"))).toBeNull();
    expect(mergeTexts(SETTINGS, null, `${SETTINGS}units: metric\n`)).toBeNull();
    // the same key twice
    expect(mergeTexts(SETTINGS, `${SETTINGS}units: metric\n`, `${SETTINGS}units: oilfield\n`)).toBeNull();
  });

  it("is the one text where the other has not changed, and no line put in is ever lost", () => {
    const lines = fc.array(fc.constantFrom("a: 1", "b: 2", "# c"), {maxLength: 6}).map((all) => [...new Set(all)]);
    const puts = fc.array(fc.nat(6), {maxLength: 3});
    const grown = (base: readonly string[], at: readonly number[], whose: string): string => {
      const all = [...base];
      at.forEach((place, i) => all.splice(place % (all.length + 1), 0, `${whose}${i}: x`));
      return all.map((line) => `${line}\n`).join("");
    };
    fc.assert(
      fc.property(lines, puts, puts, (base, mine, theirs) => {
        const [old, here, there] = [grown(base, [], ""), grown(base, mine, "m"), grown(base, theirs, "t")];
        expect(mergeTexts(old, here, old)).toBe(here);
        expect(mergeTexts(old, old, there)).toBe(there);
        const merged = mergeTexts(old, here, there);
        mine.forEach((_, i) => expect(merged).toContain(`m${i}: x`));
        theirs.forEach((_, i) => expect(merged).toContain(`t${i}: x`));
      }),
      {seed: 13, numRuns: 200},
    );
  });
});
