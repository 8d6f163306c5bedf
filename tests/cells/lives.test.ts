import {describe, expect, it} from "vitest";
import {evaluateCell} from "../../src/notebook/index.ts";
import {effects, inputsOf, type Rows} from "./inputs.ts";

const answer = (kind: string, body: string, rows: Rows) => {
  const result = evaluateCell({kind, body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  return result.presentation;
};

describe("cell lives", () => {
  const lives = [
    {lower: 120, upper: 120, mode: "SEAL-ABR"},
    {lower: 80, upper: 140},
    {lower: 200, entry: 50},
    {component: "LINR", lower: 900, ending: "still running" as const},
  ];

  it("counts endings, exact ages and late entries", () => {
    const presentation = answer("lives", "component: seals\n", {lives});
    expect(presentation.headline).toBe(
      "3 lives of seals: 2 ended in a failure (67 %), 1 of them at an hour the log names; 1 did not and count as suspensions.",
    );
    expect(presentation.cautions[0]).toContain("1 life was already at some age");
  });

  it("lists ages as ranges, and no upper age for a suspension", () => {
    const [table] = answer("lives", "show: suspensions\n", {lives}).tables;
    expect(table!.columns.find(({name}) => name === "upper")!.values).toEqual([null, null]);
    expect(table!.columns.find(({name}) => name === "lower")!.values).toEqual([200, 900]);
  });

  it("of a component without lives is a sentence", () => {
    expect(answer("lives", "component: orifice\n", {lives, where: {mud: ["OBM"]}})).toMatchObject({
      headline: "No lives of orifices match the filters (oil-base mud). Widen the filters, or clear them.",
      tables: [],
    });
  });
});

describe("cell findings", () => {
  const finding = {
    kind: "asked",
    rule: "mud-word",
    file: "runs.csv",
    line: 4,
    column: "mud",
    found: "NADF",
    taken: null,
    message: "may be OBM or SBM",
    remedy: "write OBM or SBM",
  } as const;
  const counts = [{file: "runs.csv", log: "runs", read: 10, accepted: 7, repaired: 1, held: 1, setAside: 1}] as const;

  it("counts rows that add up, groups findings by rule and lists each", () => {
    const presentation = answer("findings", "", {
      counts,
      findings: [finding, {...finding, line: 6}, {...finding, kind: "repaired", rule: "unit"}],
    });
    expect(presentation.headline).toBe(
      "Of 10 rows in 1 file, 8 are used (80 %), 1 of them after a repair; 1 are held for a question and 1 set aside.",
    );
    expect(presentation.tables.map(({name}) => name)).toEqual(["rows", "rules", "findings"]);
    expect(presentation.tables[1]!.columns.find(({name}) => name === "findings")!.values).toEqual([2, 1]);
    expect(presentation.tables[2]!.columns[0]!.values).toHaveLength(3);
  });

  it("shows only the findings asked for", () => {
    const presentation = answer("findings", "show: repaired\n", {counts, findings: [finding]});
    expect(presentation.tables.map(({name}) => name)).toEqual(["rows"]);
  });

  it("says when counts do not add up, and when there are no logs", () => {
    expect(answer("findings", "", {counts: [{...counts[0], read: 11}]}).cautions[0]).toContain("do not add up");
    expect(answer("findings", "", {}).headline).toContain("No log file has been read.");
  });
});
