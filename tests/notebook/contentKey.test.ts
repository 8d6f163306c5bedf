import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {contentKey, hash, mergeWhere, NOTHING} from "../../src/notebook/index.ts";

const content = {
  kind: "life",
  params: {component: "SEAL", modes: "all"},
  where: {fleet: ["A"]},
  settings: DEFAULT_SETTINGS,
  tables: "abc",
};

describe("contentKey(content)", () => {
  it("does not depend on the order of names", () => {
    expect(contentKey({...content, params: {modes: "all", component: "SEAL"}})).toBe(contentKey(content));
  });

  it.each([
    ["kind", {...content, kind: "pareto"}],
    ["params", {...content, params: {component: "LINR", modes: "all"}}],
    ["filters", {...content, where: {}}],
    ["settings", {...content, settings: {...DEFAULT_SETTINGS, level: 0.8}}],
    ["tables", {...content, tables: "abd"}],
  ])("changes with the %s", (_what, other) => {
    expect(contentKey(other)).not.toBe(contentKey(content));
  });

  it("hash(text) is 16 hexadecimal digits and tells near texts apart", () => {
    const seen = new Set<string>();
    for (let i = 0; i < 20_000; i++) seen.add(hash(`cell ${i}`));
    expect(seen.size).toBe(20_000);
    expect(hash("")).toMatch(/^[0-9a-f]{16}$/);
  });
});

describe("mergeWhere(page, strip)", () => {
  it("holds both: lists intersect, dates narrow", () => {
    expect(
      mergeWhere(
        {mud: ["OBM", "KCL"], from: "2024-01-01"},
        {mud: ["KCL"], fleet: ["A"], from: "2023-01-01", to: "2024-06-30"},
      ),
    ).toEqual({
      mud: ["KCL"],
      fleet: ["A"],
      from: "2024-01-01",
      to: "2024-06-30",
    });
  });

  it("of lists that share nothing matches nothing, since an empty list means all", () => {
    expect(mergeWhere({mud: ["OBM"]}, {mud: ["KCL"]})).toEqual({mud: [NOTHING]});
  });

  it("takes an empty list for all", () => {
    expect(mergeWhere({mud: []}, {mud: ["KCL"]})).toEqual({mud: ["KCL"]});
    expect(mergeWhere({mud: ["KCL"]}, {mud: []})).toEqual({mud: ["KCL"]});
    expect(mergeWhere({}, {})).toEqual({});
  });

  it("is the same either way round", () => {
    const list = fc.option(fc.uniqueArray(fc.constantFrom("a", "b", "c")), {nil: undefined});
    const day = fc.option(fc.constantFrom("2024-01-01", "2024-02-01"), {nil: undefined});
    const where = fc
      .record({mud: list, fleet: list, from: day, to: day})
      .map((w) => JSON.parse(JSON.stringify(w)) as object);
    const sorted = (w: object) =>
      JSON.stringify(
        Object.entries(w)
          .map(([k, v]) => [k, Array.isArray(v) ? [...v].sort() : v])
          .sort(),
      );
    fc.assert(
      fc.property(where, where, (a, b) => {
        expect(sorted(mergeWhere(a, b))).toBe(sorted(mergeWhere(b, a)));
      }),
      {seed: 5, numRuns: 200},
    );
  });
});
