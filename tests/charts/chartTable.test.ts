import {describe, expect, it} from "vitest";
import {chartTable, csvOf} from "../../src/charts/index.ts";
import {EDGES, SAMPLES} from "./samples.ts";

describe("chartTable(chart)", () => {
  it.each([...Object.entries(SAMPLES), ...EDGES])(
    "%s: columns are of equal length and survive a structured clone",
    (_kind, chart) => {
      const columns = chartTable(structuredClone(chart));
      expect(new Set(columns.map((column) => column.values.length)).size).toBeLessThan(2);
      expect(new Set(columns.map((column) => column.name)).size).toBe(columns.length);
    },
  );

  it("a probability plot keeps failures, suspensions and the fitted line apart", () => {
    const columns = chartTable(SAMPLES.probability);
    const what = columns.find((column) => column.name === "what")?.values ?? [];
    expect(what.filter((w) => w === "failure")).toHaveLength(5);
    expect(what.filter((w) => w === "suspension")).toHaveLength(5);
    expect(what.filter((w) => w === "fitted")).toHaveLength(12);
    expect(columns.find((column) => column.name === "age")?.unit).toBe("h");
  });
});

describe("csvOf(columns)", () => {
  it("names units in the header and leaves missing values empty", () => {
    const csv = csvOf([
      {name: "age", unit: "h", values: [1, null, NaN]},
      {name: "what", unit: null, values: ["a", "b, c", 'say "d"']},
    ]);
    expect(csv).toBe('age (h),what\r\n1,a\r\n,"b, c"\r\n,"say ""d"""\r\n');
  });

  it("never lets a spreadsheet run a cell as a formula", () => {
    expect(csvOf([{name: "tool", unit: null, values: ["=1+1", "+a", "-b", "@c"]}])).toBe(
      "tool\r\n'=1+1\r\n'+a\r\n'-b\r\n'@c\r\n",
    );
  });

  it("nor one behind spaces, or with the signs in their wide form", () => {
    expect(csvOf([{name: "tool", unit: null, values: ["  =1+1", "＝1+1", "a=1"]}])).toBe(
      "tool\r\n'  =1+1\r\n'＝1+1\r\na=1\r\n",
    );
  });

  it("of no columns is one empty line", () => {
    expect(csvOf([])).toBe("\r\n");
  });
});
