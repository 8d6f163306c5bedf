/**
 * Running totals of meters in place of the hours of runs (a defect of shop spreadsheets; common practice, no source):
 * seen by what cannot be otherwise, asked about, and turned into hours where that can be done without a guess.
 */
import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {NO_MAPPING, parseMapping, writeMapping, type FileMapping, type Mapping} from "../../shared/mapping.ts";
import {withAnswer, type Logs} from "../../src/logs/index.ts";
import {READ_AS, runValues} from "../../src/logs/totals/meterReadings.ts";
import {riseScore, type Rises} from "../../src/logs/totals/screen.ts";
import {addsUp, byRule, importTexts, rebuilds, runs} from "./logFiles.ts";

const DAY_MS = 86_400_000;
const iso = (day: number, hours = 0): string =>
  new Date(Date.UTC(2023, 0, 1) + day * DAY_MS + hours * 3_600_000).toISOString().slice(0, 16).replace("T", " ");

/** Runs of 4 days, every 10 days, with the readings of a meter. */
const readings = (tool: string, values: readonly (number | string)[], starts = true): string[] =>
  values.map((value, i) => `${i},${tool},${starts ? iso(10 * i) : ""},${iso(10 * i + 4)},${value},`);

const load = (
  files: Readonly<Record<string, string>>,
  answers: FileMapping = {},
  mapping: Mapping = NO_MAPPING,
): Promise<Logs> =>
  importTexts(files, {
    answers: {...mapping.files, ...(Object.keys(answers).length === 0 ? {} : {"runs.csv": answers})},
  });
const hoursOf = ({runs: table}: Logs): [number, number][] =>
  Array.from(table.columns.circulating_h, (hours, row) => [table.line[row]!, hours]);

const TOTALS: FileMapping = {totals: {circulating_h: "all tools"}, meterStart: "from 0"};

describe("importLogs of running totals", () => {
  it("holds hours that cannot be, asks once for the column and once from what meters begin, and reads them when told", async () => {
    const files = {
      "runs.csv": runs(...readings("A", [60, 130, 190, 245, 300]), ...readings("B", [50, 110, 175, 40, 97])),
    };
    const before = await load(files);
    expect([before.runs.rows, before.counts[0]?.held]).toEqual([0, 10]);
    expect(before.questions).toMatchObject([
      {
        subject: {kind: "totals", column: "circulating_h"},
        text: '"circulating_h" of runs.csv rises from run to run like a meter: is it a running total?',
        proposal: "all tools",
        examples: ["A: 60, 130, 190, 245, 300 …", "B: 50, 110, 175, 40, 97 …"],
        rows: 10,
      },
      {
        subject: {kind: "meter start"},
        proposal: "not known",
        rows: 3,
        examples: ["line 2, A: 60", "line 7, B: 50", "line 10, B: 40"],
      },
    ]);
    const honest = before.questions.reduce((mapping, one) => withAnswer(one, one.proposal!, mapping), NO_MAPPING);
    const {mapping, findings} = parseMapping(writeMapping(honest), "mapping.yaml");
    expect([mapping, findings]).toEqual([honest, []]);
    const after = await load(files, {}, mapping);
    expect(after.questions).toEqual([]);
    expect(hoursOf(after)).toEqual([
      [3, 70],
      [4, 60],
      [5, 55],
      [6, 55],
      [8, 60],
      [9, 65],
      [11, 57],
    ]);
    expect(byRule(after.findings, "total-to-run")[0]).toMatchObject({
      kind: "repaired",
      line: 3,
      found: "130",
      taken: "70 h",
      message: "circulating_h 130 is a running total: 70 h since 60 in line 2",
    });
    expect(byRule(after.findings, "total-first").map(({line}) => line)).toEqual([2, 7]);
    expect(byRule(after.findings, "total-restart")).toMatchObject([
      {
        line: 10,
        message:
          "circulating_h 40 does not go on from 175 in line 9: the meter began again, and from what is not known",
      },
    ]);
    const fromZero = await load(files, TOTALS);
    expect(hoursOf(fromZero).map(([, hours]) => hours)).toEqual([60, 70, 60, 55, 55, 50, 60, 65, 40, 57]);
    expect(fromZero.counts.every(addsUp)).toBe(true);
  });

  it("asks from what meters begin when only the totals were answered, and leaves the hours alone when told they are hours", async () => {
    const files = {"runs.csv": runs(...readings("A", [60, 130, 190, 245, 300]))};
    const {questions} = await load(files, {totals: {circulating_h: "all tools"}});
    expect(questions).toMatchObject([{subject: {kind: "meter start"}, rows: 1, examples: ["line 2, A: 60"]}]);
    const told = await load(files, {totals: {circulating_h: "no tool"}});
    expect(told.questions).toEqual([]);
    // each row by itself is then longer than its run
    expect(byRule(told.findings, "run-longer-than-elapsed")).toHaveLength(4);
  });

  it("reads meters that have run for years, far beyond the hours of any run", async () => {
    const files = {"runs.csv": runs(...readings("A", [12_060, 12_130, 12_190, 12_245, 12_300]))};
    const before = await load(files);
    expect([before.questions[0]?.proposal, before.counts[0]?.held]).toEqual(["all tools", 5]);
    expect(byRule(before.findings, "number-impossible")).toEqual([]);
    const after = await load(files, {...TOTALS, meterStart: "not known"});
    expect(hoursOf(after)).toEqual([
      [3, 70],
      [4, 60],
      [5, 55],
      [6, 55],
    ]);
    // told to be hours, they are what hours cannot be
    const hours = await load(files, {totals: {circulating_h: "no tool"}});
    expect(byRule(hours.findings, "number-impossible")).toHaveLength(5);
  });

  it("asks the range of a run of what comes of a reading, and of values that were no readings", async () => {
    const far = runs(...[400, 450, 390, 2500, 410].map((value, i) => `${i},A,,${iso(200 * i)},${value},`));
    const {findings, counts} = await load({"runs.csv": far});
    expect(byRule(findings, "number-impossible")).toMatchObject([{line: 5, kind: "asked"}]);
    expect([byRule(findings, "number-unusual").length, counts[0]?.held]).toEqual([4, 1]);
    const gap = runs("1,A,,2023-01-05,1000,", "2,A,,2023-12-05,4000,", "3,A,,2023-12-15,4060,");
    const {findings: of} = await load({"runs.csv": gap}, TOTALS);
    expect(byRule(of, "number-impossible")).toMatchObject([{line: 3}]);
  });

  it("converts only the tools that are meant, where others are written by the run", async () => {
    const files = {
      "runs.csv": runs(
        ...readings("A", [60, 130, 190, 245, 300]),
        ...readings("B", [50, 70, 45, 80, 30]),
        ...readings("C", [55, 40]),
      ),
    };
    const {questions, runs: table} = await load(files);
    expect([questions[0]?.proposal, table.rows]).toEqual(["A", 7]);
    const {runs: after, counts} = await load(files, {totals: {circulating_h: "A"}, meterStart: "from 0"});
    expect([after.rows, counts[0]?.repaired]).toEqual([12, 5]);
    expect([...after.columns.circulating_h]).toEqual([60, 70, 60, 55, 55, 50, 70, 45, 80, 30, 55, 40]);
  });

  it("goes on from the file of the year before", async () => {
    const rows = readings("A", [60, 130, 190, 245, 300]);
    const answers = {"runs 2022.csv": TOTALS, "runs 2023.csv": TOTALS};
    const {runs: table} = await importTexts(
      {"runs 2022.csv": runs(...rows.slice(0, 3)), "runs 2023.csv": runs(...rows.slice(3))},
      {answers},
    );
    expect([...table.columns.circulating_h]).toEqual([60, 70, 60, 55, 55]);
  });

  it("gives a run the hours of the one before as well, where that has no reading, and says so", async () => {
    const {runs: table, findings} = await load(
      {"runs.csv": runs(...readings("A", [60, 130, "", 245, 300], false))},
      TOTALS,
    );
    expect([...table.columns.circulating_h]).toEqual([60, 70, 115, 55]);
    expect(byRule(findings, "total-over-runs")).toMatchObject([{line: 5, kind: "asked", taken: "115 h"}]);
  });

  it("holds a slip of the pen, high or low, and goes on behind it", async () => {
    for (const slip of [930, 25]) {
      const values = [260, 330, slip, 445, 500];
      const {runs: table, findings} = await load({"runs.csv": runs(...readings("A", values, false))}, TOTALS);
      expect(byRule(findings, "total-misread").map(({line}) => line)).toEqual([4]);
      expect([...table.columns.circulating_h]).toEqual([260, 70, 115, 55].slice(table.rows === 3 ? 1 : 0));
    }
  });

  it("holds readings that may be of a meter just set back, unless the shop sets meters back at rebuilds and had none then", async () => {
    const values = [60, 130, 40, 75, 160, 30, 85, 150, 20, 110];
    const file = {"runs.csv": runs(...readings("A", values, false))};
    const alone = await load(file, TOTALS);
    expect(byRule(alone.findings, "total-unclear").length).toBeGreaterThan(3);
    const shop = [2, 5, 8].map((i) => `R${i},A,${iso(10 * i - 3).slice(0, 10)},SEAL,good,,renewed,,`);
    const {runs: table, findings} = await load({...file, "rebuilds.csv": rebuilds(...shop)}, TOTALS);
    expect(byRule(findings, "total-unclear")).toEqual([]);
    expect([...table.columns.circulating_h]).toEqual([60, 70, 40, 35, 85, 30, 55, 65, 20, 90]);
  });

  it("reads pulses alike, and leaves a value missing where the hours would be held", async () => {
    const pulses = [100, 220, 330, 420, 50, 170].map((thousand) => thousand * 1000);
    const rows = pulses.map((count, i) => `${i},A,${iso(10 * i + 4)},${[60, 62, 58, 61, 30, 60][i]!},${count}`);
    const file = {"runs.csv": ["run,tool,end,circulating_h,pulses", ...rows].join("\n")};
    const {runs: table} = await load(file, {totals: {pulses: "all tools"}, meterStart: "not known"});
    // 170,000 pulses in 60 h may be a fresh meter's, and 220,000 in 62 h too: most runs have 2,000 an hour
    expect([...table.columns.pulses]).toEqual([NaN, NaN, 110_000, 90_000, NaN, NaN]);
    expect([...table.columns.circulating_h]).toEqual([60, 62, 58, 61, 30, 60]);
  });

  it("takes the shop's own count for evidence, either way", async () => {
    const values = [60, 130, 190, 245, 300, 365, 420];
    const rare = values.map((value, i) => `${i},A,,${iso(30 * i)},${value},`);
    const shopHours = (counted: (i: number) => number) =>
      rebuilds(...values.map((_, i) => `R${i},A,${iso(30 * i + 1).slice(0, 10)},LINR,good,,kept,,${counted(i)}`));
    const likely = await load({"runs.csv": runs(...rare)});
    expect([likely.runs.rows, likely.questions[0]?.proposal]).toEqual([7, null]);
    const sure = await load({"runs.csv": runs(...rare), "rebuilds.csv": shopHours((i) => values[i]!)});
    expect([sure.runs.rows, sure.questions[0]?.proposal]).toEqual([0, "all tools"]);
    const sums = values.map((_, i) => values.slice(0, i + 1).reduce((sum, value) => sum + value, 0));
    const hours = await load({"runs.csv": runs(...rare), "rebuilds.csv": shopHours((i) => sums[i]!)});
    expect([hours.runs.rows, hours.questions]).toEqual([7, []]);
  });
});

/** Runs of some tools that never overlap, each with hours that fit into it, and whether its meter is set back before it. */
const FLEET = fc.array(
  fc.array(
    fc.record({
      wait: fc.integer({min: 0, max: 20}),
      days: fc.integer({min: 1, max: 9}),
      share: fc.integer({min: 1, max: 20}),
      reset: fc.integer({min: 0, max: 5}).map((n) => n === 0),
    }),
    {minLength: 2, maxLength: 14},
  ),
  {minLength: 1, maxLength: 4},
);

interface TrueRun {
  readonly tool: string;
  readonly start: number;
  readonly end: number;
  readonly hours: number;
  readonly reset: boolean;
}

function fleetOf(
  tools: readonly (readonly {wait: number; days: number; share: number; reset: boolean}[])[],
): TrueRun[] {
  return tools.flatMap((list, t) => {
    let day = 0;
    return list.map(({wait, days, share, reset}): TrueRun => {
      const start = day + wait;
      day = start + days;
      return {tool: `T${t}`, start, end: day, hours: (24 * days * share) / 20, reset};
    });
  });
}

const sheetOf = (list: readonly TrueRun[], value: (run: TrueRun, i: number) => number, starts: boolean): string =>
  runs(...list.map((run, i) => `${i},${run.tool},${starts ? iso(run.start) : ""},${iso(run.end)},${value(run, i)},`));

describe("properties", () => {
  it("true run hours are never taken for totals: every row is used as it stands, whatever is asked", async () => {
    await fc.assert(
      fc.asyncProperty(FLEET, fc.boolean(), fc.boolean(), async (tools, starts, rising) => {
        let list = fleetOf(tools);
        // the worst case: hours that happen to rise from run to run
        if (rising) list = list.map((run, i) => ({...run, hours: Math.min(run.hours, 0.5 + i * 1.6)}));
        const logs = await load({"runs.csv": sheetOf(list, ({hours}) => hours, starts)});
        expect(logs.counts[0]?.held).toBe(0);
        expect(logs.runs.rows).toBe(list.length);
        expect(logs.questions.every(({proposal}) => proposal === null)).toBe(true);
        expect(new Map(hoursOf(logs))).toEqual(new Map(list.map(({hours}, i) => [i + 2, hours])));
      }),
      {numRuns: 60, seed: 21},
    );
  });

  it("totals of any true hours with resets come back to the hours, or are held", async () => {
    let [back, all] = [0, 0];
    await fc.assert(
      fc.asyncProperty(
        FLEET,
        fc.boolean(),
        fc.constantFrom("from 0", "not known"),
        async (tools, starts, meterStart) => {
          const list = fleetOf(tools);
          const totals = new Map<string, number>();
          let fell = false;
          let hidden = false;
          const written = list.map(({tool, hours, reset}) => {
            const before = totals.get(tool) ?? 0;
            const now = (reset ? 0 : before) + hours;
            if (reset && before > 0) {
              fell ||= now < before;
              hidden ||= now >= before;
            }
            totals.set(tool, now);
            return now;
          });
          // a file in which no reading ever falls shows no reset
          if (hidden && !fell) return;
          const logs = await load(
            {"runs.csv": sheetOf(list, (_, i) => written[i]!, starts)},
            {
              totals: {circulating_h: "all tools"},
              meterStart: meterStart as "from 0" | "not known",
            },
          );
          for (const [line, hours] of hoursOf(logs)) expect(hours).toBeCloseTo(list[line - 2]!.hours, 6);
          expect(logs.counts[0]).toMatchObject({read: list.length, setAside: 0});
          expect(logs.counts.every(addsUp)).toBe(true);
          [back, all] = [back + logs.runs.rows, all + list.length];
        },
      ),
      {numRuns: 150, seed: 21},
    );
    // a property that holds everything would prove nothing
    expect(back / all).toBeGreaterThan(0.4);
  });
});

describe("runValues(readings)", () => {
  it("takes a jump that goes on from there for another meter", () => {
    const {values, as} = runValues({
      readings: [60, 120, 5000, 5060, 5130],
      own: () => 96,
      between: (i, j) => 240 * (i - j),
      mayRestart: () => false,
      fromZero: true,
    });
    expect([...values]).toEqual([60, 60, NaN, 60, 70]);
    expect(as[2]).toBe(READ_AS.restart);
  });
});

describe("riseScore(rises)", () => {
  it("counts falls of a random order with mean (n - 1)/2 and variance (n + 1)/12, as counting all orders gives", () => {
    const orders = (list: readonly number[]): number[][] =>
      list.length < 2
        ? [[...list]]
        : list.flatMap((first) => orders(list.filter((one) => one !== first)).map((rest) => [first, ...rest]));
    const n = 7;
    const falls = orders(Array.from({length: n}, (_, i) => i)).map(
      (order) => order.filter((value, i) => i > 0 && value < order[i - 1]!).length,
    );
    const mean = falls.reduce((sum, one) => sum + one, 0) / falls.length;
    const variance = falls.reduce((sum, one) => sum + (one - mean) ** 2, 0) / falls.length;
    expect(mean).toBeCloseTo((n - 1) / 2, 12);
    expect(variance).toBeCloseTo((n + 1) / 12, 12);
    const rises = {rows: Int32Array.of(n), rises: Int32Array.of(n - 1), falls: Int32Array.of(0)} as Rises;
    expect(riseScore(rises, [0])).toBeCloseTo((mean - 0.5) / Math.sqrt(variance), 12);
  });
});
