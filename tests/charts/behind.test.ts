import {describe, expect, it} from "vitest";
import {behindByKey, sayBehind, sayPlaces, tellBehind, type Behind} from "../../src/charts/behind.ts";
import {chartTable} from "../../src/charts/index.ts";
import {draw} from "./draw.ts";
import {SAMPLES} from "./samples.ts";

const behind = (mark: string, lines: readonly number[] = [2, 3, 4, 9]): Behind => ({
  mark,
  counted: "12 failures",
  first: ["seal of tool A", "seal of tool B", "liner of tool C"],
  more: 9,
  places: [{file: "runs.csv", lines}],
  left: 0,
});

describe("sayPlaces(places)", () => {
  it("puts neighbours together and counts what it does not name", () => {
    expect(sayPlaces([{file: "runs.csv", lines: [12, 13, 14, 30]}])).toBe("runs.csv lines 12 to 14, 30");
    expect(
      sayPlaces([
        {file: "a.csv", lines: [7]},
        {file: "b.csv", lines: [1, 2]},
      ]),
    ).toBe("a.csv line 7; b.csv lines 1, 2");
    expect(sayPlaces([{file: "a.csv", lines: [1, 3, 5, 7, 8]}], 2)).toBe("a.csv lines 1, 3 and 3 more");
  });
});

it("sayBehind(behind) counts, names the first few and counts the rest; one alone is said by itself", () => {
  expect(sayBehind(behind("x"))).toBe("12 failures: seal of tool A; seal of tool B; liner of tool C; and 9 more");
  const one = {...behind("x"), counted: "1 failure", first: ["seal of tool A"], more: 0};
  expect(sayBehind(one)).toBe("seal of tool A");
  expect(tellBehind(one)).toBe("seal of tool A\nruns.csv lines 2 to 4, 9");
});

it("behindByKey(chart) gives every mark a key of its own", () => {
  const [a, b] = [behind("Alder"), behind("Alder")];
  const chart = {points: [{behind: a}, {behind: b}, {behind: a}], curve: new Float64Array(2)};
  expect([...behindByKey(chart)]).toEqual([
    ["Alder", a],
    ["Alder (2)", b],
  ]);
});

describe("a mark with rows behind it", () => {
  const {bars} = SAMPLES;
  if (bars.kind !== "bars") throw new Error(bars.kind);
  const chart = {...bars, bars: bars.bars.map((bar, i) => (i === 0 ? {...bar, behind: behind(bar.name)} : bar))};

  it("says so in its title, and on a page with the key of its rows", async () => {
    expect((await draw(chart)).text).toContain("12 failures\n· seal of tool A");
    const page = await draw(chart, 640, undefined, {readings: true});
    expect(page.text).toContain(`\u0001${chart.bars[0]!.name}`);
    expect((await draw(chart)).text).not.toContain("\u0001");
  });

  it("brings what it rests on and its rows into the table of the figure", () => {
    const columns = chartTable(chart);
    const [rests, rows] = columns.slice(-2);
    expect([rests!.name, rows!.name]).toEqual(["rests_on", "log_rows"]);
    expect(rows!.values.slice(0, 2)).toEqual(["runs.csv lines 2 to 4, 9", null]);
    expect(chartTable(bars).map(({name}) => name)).not.toContain("log_rows");
  });
});
