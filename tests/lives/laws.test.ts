/** What must hold for every log, clean or wild: ages, spans and counts add up. Logs are grown by fast-check. */
import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {wordAt} from "../../shared/columnar.ts";
import {ACTIONS, FOUND} from "../../shared/columns.ts";
import {conditionDataFor, cutLives, exposureBy, lifeDataFor, type LifeTable} from "../../src/lives/index.ts";
import {conditionFaults} from "../../src/statistics/conditionData.ts";
import {lifeFaults} from "../../src/statistics/lifeData.ts";
import {build, plain, type Built, type TestSettings} from "./built.ts";
import type {RebuildRow, RunRow} from "./logTables.ts";

const SLOTS = [
  {component: "SEAL", position: "upper"},
  {component: "SEAL", position: "lower"},
  {component: "LINR"},
] as const;
const MODES = ["SEAL-ABR", "SEAL-REV", "LINR-ERO", "LINR-NFF", undefined] as const;

const day = (n: number): string => new Date(Date.UTC(2024, 0, 1) + n * 86_400_000).toISOString().slice(0, 10);

interface Log {
  readonly runs: RunRow[];
  readonly rebuilds: RebuildRow[];
}

/** Hours in tenths, as logs have them. */
const hours = fc.integer({min: 1, max: 2000}).map((tenths) => tenths / 10);

interface Look {
  readonly found: string;
  readonly action: string;
  readonly mode: string;
}

/** Some runs of a tool, then what is done to each slot (null: not looked at). */
interface Visit {
  readonly runs: readonly {
    readonly hours: number;
    readonly mud: string;
    readonly flow: string | undefined;
    readonly failed: boolean;
    /** share of the run after which it failed */
    readonly at: number | undefined;
  }[];
  readonly looks: readonly (Look | null)[];
}

const visit: fc.Arbitrary<Visit> = fc.record({
  runs: fc.array(
    fc.record({
      hours,
      mud: fc.constantFrom("KCL", "OBM", "BRN"),
      flow: fc.constantFrom("low", "high", undefined),
      failed: fc.boolean(),
      at: fc.option(fc.double({min: 0.01, max: 1, noNaN: true}), {nil: undefined}),
    }),
    {maxLength: 3},
  ),
  looks: fc.array(
    fc.option(
      fc.record({
        found: fc.constantFrom("good", "worn", "failed", "not inspected", "damaged at service"),
        action: fc.constantFrom("kept", "renewed", "reworked"),
        mode: fc.constantFrom("GEN", "UNK"),
      }),
      {nil: null},
    ),
    {minLength: SLOTS.length, maxLength: SLOTS.length},
  ),
});

/** What a careful shop does: every slot fitted new before the first run, one part blamed at most, nothing unknown. */
function tidyLog(tools: readonly (readonly Visit[])[]): Log {
  const log: Log = {runs: [], rebuilds: []};
  tools.forEach((visits, t) => {
    const tool = `T${t}`;
    let now = 1;
    for (const slot of SLOTS) {
      log.rebuilds.push({tool, date: day(now), ...slot, found: "not inspected", action: "renewed"});
    }
    for (const {runs, looks} of visits) {
      let lastFailed = false;
      for (const {hours: h, mud, flow, failed, at} of runs) {
        now += 3;
        lastFailed = failed;
        log.runs.push({
          run: `${now}`,
          tool,
          end: day(now),
          circulating_h: h,
          mud,
          flow_range: flow,
          fleet: t % 2 === 0 ? "North" : "South",
          outcome: failed ? "failed downhole" : "completed",
          failed_at_h: failed && at !== undefined ? at * h : undefined,
          lost_time_h: failed ? 10 : undefined,
        });
      }
      let blamed = false;
      looks.forEach((look, i) => {
        if (look === null) return;
        const bad = look.found === "worn" || look.found === "failed";
        const blame = lastFailed && bad && !blamed && runs.length > 0;
        blamed ||= blame;
        const slot = SLOTS[i]!;
        log.rebuilds.push({
          tool,
          date: day(now),
          ...slot,
          found: look.found,
          action: look.action,
          ended_run: blame,
          mode: bad ? `${slot.component}-${look.mode}` : undefined,
        });
      });
      now += 1;
    }
  });
  return log;
}

const tidyLogs = fc.array(fc.array(visit, {maxLength: 6}), {minLength: 1, maxLength: 3}).map(tidyLog);

/** Anything a spreadsheet may hold. */
const wildRun = fc.record({
  tool: fc.constantFrom("T0", "T1", "T2"),
  end: fc.integer({min: 0, max: 60}).map(day),
  circulating_h: fc.option(fc.oneof(hours, fc.constant(0)), {nil: undefined}),
  mud: fc.constantFrom("KCL", "OBM", "AIR", undefined),
  outcome: fc.constantFrom("completed", "failed downhole", "lost in hole", "pulled for other reason", undefined),
  failed_at_h: fc.option(fc.oneof(hours, fc.constant(0), fc.constant(-3)), {nil: undefined}),
  lost_time_h: fc.option(hours, {nil: undefined}),
});
const wildRebuild = fc.record({
  tool: fc.constantFrom("T0", "T1", "T2"),
  date: fc.integer({min: 0, max: 60}).map(day),
  component: fc.constantFrom("SEAL", "LINR"),
  position: fc.constantFrom("upper", "lower", undefined),
  part_serial: fc.constantFrom("S1", "S2", "S3", undefined, undefined),
  found: fc.constantFrom(...FOUND, undefined),
  mode: fc.constantFrom(...MODES),
  ended_run: fc.constantFrom(true, false, undefined),
  action: fc.constantFrom(...ACTIONS),
  installed_with_h: fc.option(hours, {nil: undefined}),
  hours_on_part: fc.option(hours, {nil: undefined}),
});
const wildLogs = fc.record({
  runs: fc.array(wildRun, {maxLength: 15}),
  rebuilds: fc.array(wildRebuild, {maxLength: 25}),
});

const buildLog = ({runs, rebuilds}: Log, settings: TestSettings = {}): Built =>
  build(
    runs.map((row, i) => ({run: `${i}`, ...row})),
    rebuilds,
    settings,
  );

const anySettings = fc.constantFrom<TestSettings>(
  {},
  {lost_in_hole: "failed"},
  {exposure: "runs"},
  {exposure: "pulses"},
);

const slotOf = (lives: LifeTable, row: number): string =>
  [wordAt(lives.tool, row), wordAt(lives.component, row), wordAt(lives.position, row)].join("/");

const close = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-5;

function expectSound({lives}: Pick<Built, "lives">): void {
  const {offsets, hours: spent, run} = lives.exposure;
  const seen = new Map<string, Set<number>>();
  for (let i = 0; i < lives.rows; i++) {
    const [entry, lower, upper, end] = [lives.entry[i]!, lives.lower[i]!, lives.upper[i]!, lives.ageAtEnd[i]!];
    expect(
      entry >= 0 && entry <= lower && lower <= upper && end >= entry && end < Infinity,
      JSON.stringify(plain(lives)[i]),
    ).toBe(true);
    let sum = 0;
    const runs = seen.get(slotOf(lives, i)) ?? new Set<number>();
    for (let s = offsets[i]!; s < offsets[i + 1]!; s++) {
      expect(spent[s]! >= 0).toBe(true);
      expect(runs.has(run[s]!), "a run in two lives of one slot").toBe(false);
      runs.add(run[s]!);
      sum += spent[s]!;
    }
    seen.set(slotOf(lives, i), runs);
    expect(close(sum, end - entry), `${sum} against ${end} − ${entry}`).toBe(true);
  }
}

describe("buildLives on any log", () => {
  it("gives ages in order, stretches that add up to them, and lives of a slot that do not overlap", () => {
    fc.assert(
      fc.property(wildLogs, anySettings, (log, settings) => expectSound(buildLog(log, settings))),
      {numRuns: 300, seed: 1},
    );
  });

  it("uses every rebuild row or says why not", () => {
    fc.assert(
      fc.property(wildLogs, anySettings, (log, settings) => {
        const {lives, rebuilds, findings} = buildLog(log, settings);
        const used = new Set([...lives.beganRow, ...lives.endedRow]);
        const told = new Set(findings.filter(({file}) => file === "rebuilds.csv").map(({line}) => line));
        for (let row = 0; row < rebuilds.rows; row++) {
          if (used.has(row) || told.has(rebuilds.line[row]!)) continue;
          const date = rebuilds.columns.date[row]!;
          const covered = Array.from({length: lives.rows}, (_, i) => i).some(
            (i) =>
              wordAt(lives.tool, i) === wordAt(rebuilds.columns.tool, row) &&
              wordAt(lives.component, i) === wordAt(rebuilds.columns.component, row) &&
              lives.began[i]! <= date &&
              lives.ended[i]! >= date,
          );
          expect(covered, `line ${rebuilds.line[row]}`).toBe(true);
        }
      }),
      {numRuns: 300, seed: 2},
    );
  });

  it("links every failed life to one failure, and shares out all lost hours of failed runs", () => {
    fc.assert(
      fc.property(wildLogs, anySettings, (log, settings) => {
        const {lives, failures, runs} = buildLog(log, settings);
        const linked = Array.from(failures.life).filter((life) => life >= 0);
        expect(new Set(linked).size).toBe(linked.length);
        const failedLives = Array.from(lives.upper).filter((upper) => upper < Infinity).length;
        const spoilt = Array.from(failures.life).filter((life) => life >= 0 && lives.upper[life] === Infinity).length;
        expect(linked.length - spoilt).toBe(failedLives);
        const {outcome, lost_time_h} = runs.columns;
        const blamed = new Set(failures.run.filter((_, i) => failures.lostHours[i]! > 0));
        let lost = 0;
        for (let row = 0; row < runs.rows; row++) {
          if (wordAt(outcome, row) === "failed downhole") expect(failures.run.includes(row)).toBe(true);
          if (blamed.has(row)) lost += lost_time_h[row]!;
        }
        expect(failures.lostHours.reduce((sum, h) => sum + h, 0)).toBeCloseTo(lost, 4);
      }),
      {numRuns: 300, seed: 3},
    );
  });

  it("feeds the statistics nothing they would refuse", () => {
    fc.assert(
      fc.property(wildLogs, fc.constantFrom(undefined, ["SEAL-ABR"], ["SEAL-REV", "LINR-ERO"]), (log, modes) => {
        const {lives} = buildLog(log);
        for (const component of ["SEAL", "LINR"]) {
          const question = {component, ...(modes === undefined ? {} : {modes})};
          expect(lifeFaults(lifeDataFor(lives, question).data)).toEqual([]);
          expect(conditionFaults(conditionDataFor(lives, question).data)).toEqual([]);
        }
      }),
      {numRuns: 200, seed: 4},
    );
  });
});

describe("buildLives on a careful shop's log", () => {
  it("spends every hour of a tool in each of its slots: spans and hours after a failure add up to the runs", () => {
    fc.assert(
      fc.property(tidyLogs, (log) => {
        const {lives, runs} = buildLog(log);
        const bySlot = new Map<string, number>();
        const {offsets, run, hours: spent} = lives.exposure;
        for (let i = 0; i < lives.rows; i++) {
          const last = offsets[i + 1]! - 1;
          const after = last >= offsets[i]! ? runs.columns.circulating_h[run[last]!]! - spent[last]! : 0;
          bySlot.set(
            slotOf(lives, i),
            (bySlot.get(slotOf(lives, i)) ?? 0) + lives.ageAtEnd[i]! - lives.entry[i]! + after,
          );
        }
        for (const [slot, sum] of bySlot) {
          const tool = slot.split("/")[0];
          const total = log.runs.filter((row) => row.tool === tool).reduce((all, row) => all + row.circulating_h!, 0);
          expect(close(sum, total), `${slot}: ${sum} against ${total}`).toBe(true);
        }
        expect(bySlot.size).toBe(SLOTS.length * new Set(log.rebuilds.map(({tool}) => tool)).size);
      }),
      {numRuns: 200, seed: 5},
    );
  });

  it("places as many hours by condition as the lives lived, and as many failures as there are", () => {
    fc.assert(
      fc.property(tidyLogs, (log) => {
        const {lives, runs, failures} = buildLog(log);
        const table = exposureBy(lives, runs);
        const lived = lives.ageAtEnd.reduce((sum, age, i) => sum + age - lives.entry[i]!, 0);
        expect(
          close(
            table.hours.reduce((sum, h) => sum + h, 0),
            lived,
          ),
        ).toBe(true);
        const blamedOnParts = failures.component.codes.filter((code) => code >= 0).length;
        const placed = (counts: Int32Array): number => counts.reduce((sum, n) => sum + n, 0);
        expect(placed(table.failures) + placed(table.failuresWithoutLife)).toBe(blamedOnParts);
      }),
      {numRuns: 100, seed: 6},
    );
  });
});

describe("cutLives(lives, runs, where)", () => {
  const asOf = (lives: LifeTable): unknown[] =>
    plain(lives)
      .map(({slot, ending, entry, lower, upper, hours: spent}) => ({
        slot,
        ending: ending === "cut by window" ? "still running" : ending,
        entry,
        lower,
        upper,
        spent,
      }))
      .sort((a, b) => JSON.stringify(a).localeCompare(JSON.stringify(b)));

  it("up to a day gives the lives of a log that ends on that day", () => {
    fc.assert(
      fc.property(tidyLogs, fc.integer({min: 2, max: 40}), (log, n) => {
        const to = day(n);
        const whole = buildLog(log);
        const early = buildLog({
          runs: log.runs.filter((row) => row.end! <= to),
          rebuilds: log.rebuilds.filter((row) => row.date! <= to),
        });
        expect(asOf(cutLives(whole.lives, whole.runs, {to}))).toEqual(asOf(early.lives));
      }),
      {numRuns: 200, seed: 7},
    );
  });

  it("keeps lives sound in any window, and two windows that meet share out all exposure and failures", () => {
    fc.assert(
      fc.property(wildLogs, fc.integer({min: 0, max: 60}), (log, n) => {
        const {lives, runs, failures} = buildLog(log);
        const before = cutLives(lives, runs, {to: day(n)});
        const after = cutLives(lives, runs, {from: day(n + 1)});
        expectSound({lives: before});
        expectSound({lives: after});
        const sum = (table: LifeTable): number => table.exposure.hours.reduce((all, h) => all + h, 0);
        expect(close(sum(before) + sum(after), sum(lives))).toBe(true);
        expect(before.failures!.rows + after.failures!.rows).toBe(failures.rows);
        for (const table of [before, after]) expect(lifeFaults(lifeDataFor(table).data)).toEqual([]);
      }),
      {numRuns: 200, seed: 8},
    );
  });
});
