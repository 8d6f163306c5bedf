import {describe, expect, it} from "vitest";
import {DEFECTS} from "../../src/logs/rules/defects.ts";
import {RULES, type Rule} from "../../src/logs/index.ts";

describe("RULES", () => {
  const rules: readonly Rule[] = Object.values(RULES);

  it("answers every numbered defect", () => {
    const answered = new Set(rules.flatMap(({defects}) => [...defects]));
    expect(Object.keys(DEFECTS)).toHaveLength(42);
    expect(Object.keys(DEFECTS).filter((number) => !answered.has(Number(number)))).toEqual([]);
  });

  it("says what is done and how to mend it, and treats rows as its kind promises", () => {
    for (const [id, {says, remedy, kind, row}] of Object.entries(RULES)) {
      expect(says.length, id).toBeGreaterThan(15);
      expect(remedy.length, id).toBeGreaterThan(9);
      if (kind === "doubted") expect(row, id).toBe("as it was");
      if (kind === "repaired") expect(["repaired", "as it was"], id).toContain(row);
    }
  });
});
