/**
 * Lives rebuilt from logs that were grown part by part (seeds/): the grower keeps the true hours of every part and never
 * hands them over here (hours_on_part stays empty), so both sides count them by themselves.
 */
import {describe, expect, it} from "vitest";
import {growScenario, type Grown} from "../../seeds/grow.ts";
import {wordAt} from "../../shared/columnar.ts";
import {LIFE_ENDINGS} from "../../src/lives/index.ts";
import {build, type Built} from "./built.ts";
import type {RebuildRow, RunRow} from "./logTables.ts";

const grown = growScenario({seed: 11, months: 12, fleets: {Basalt: {tools: 8}, Cobalt: {tools: 6}}});

function logsOf({runs, inspections, parts}: Grown): Built {
  const runRows = runs.map((row): RunRow => ({
    run: row.run,
    tool: row.tool,
    fleet: row.fleet,
    start: new Date(row.start).toISOString(),
    end: new Date(row.end).toISOString(),
    circulating_h: row.circulating,
    mud: row.mud,
    outcome: row.outcome,
    failed_at_h: row.failure?.logged === true ? row.failure.at : undefined,
    lost_time_h: row.lostTime,
    comment: row.comment,
  }));
  const rebuildRows = inspections.map((row): RebuildRow => {
    const part = parts[row.fleet][row.partAfter];
    return {
      rebuild: row.rebuild,
      tool: row.tool,
      date: new Date(row.date).toISOString().slice(0, 10),
      component: row.component,
      found: row.found,
      mode: row.mode ?? undefined,
      ended_run: row.endedRun,
      action: row.action,
      installed_with_h: row.installedWith ?? undefined,
      part_serial: part?.serial ?? undefined,
    };
  });
  return build(runRows, rebuildRows);
}

describe("buildLives on grown logs", () => {
  const built = logsOf(grown);
  const {lives, failures, rebuilds, findings} = built;
  const inspectionOf = (row: number) => grown.inspections[rebuilds.line[row]! - 2]!;

  it("gives every part that came out the hours the grower counted on it", () => {
    let compared = 0;
    for (let i = 0; i < lives.rows; i++) {
      const ended = lives.endedRow[i]!;
      if (ended < 0 || LIFE_ENDINGS[lives.ending[i]!] === "failed in run") continue;
      const {hoursOnPart} = inspectionOf(ended);
      if (hoursOnPart === null) continue;
      expect(lives.ageAtEnd[i]!).toBeCloseTo(hoursOnPart, 4);
      compared++;
    }
    expect(compared).toBeGreaterThan(200);
  });

  it("places every failure in service at its true hour, or in an interval that holds it", () => {
    let exact = 0;
    let inside = 0;
    for (let i = 0; i < lives.rows; i++) {
      if (LIFE_ENDINGS[lives.ending[i]!] !== "failed in run") continue;
      const inspection = inspectionOf(lives.endedRow[i]!);
      const run = grown.runs.find(({tool, end}) => tool === inspection.tool && end === lives.ended[i])!;
      expect(wordAt(lives.mode, i)).toBe(run.failure!.mode);
      const age = inspection.hoursOnPart! - run.circulating + run.failure!.at;
      if (run.failure!.logged) {
        expect(lives.lower[i]!).toBeCloseTo(age, 4);
        expect(lives.upper[i]).toBe(lives.lower[i]);
        exact++;
      } else {
        expect(lives.lower[i]!).toBeLessThanOrEqual(age);
        expect(lives.upper[i]!).toBeGreaterThanOrEqual(age - 1e-6);
        inside++;
      }
    }
    expect(exact).toBeGreaterThan(20);
    expect(inside).toBeGreaterThan(2);
  });

  it("counts a failure for every failed run, with all the hours it lost", () => {
    const failedRuns = grown.runs.filter(({outcome}) => outcome === "failed downhole");
    const lost = failedRuns.reduce((sum, {lostTime}) => sum + lostTime, 0);
    expect(failures.lostHours.reduce((sum, h) => sum + h, 0)).toBeCloseTo(lost, 6);
    expect(new Set(failures.run.filter((_, i) => failures.lostHours[i]! > 0)).size).toBe(
      failedRuns.filter(({lostTime}) => lostTime > 0).length,
    );
  });

  it("doubts nothing in perfect logs but the parts that were older than them", () => {
    const seen = new Set(findings.map(({rule}) => rule));
    for (const rule of ["age-unknown", "renewed-not-inspected", "failure-not-torn-down"]) seen.delete(rule);
    expect([...seen]).toEqual([]);
  });
});
