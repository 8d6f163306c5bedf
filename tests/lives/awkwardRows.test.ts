/** What real logs hold besides the plain rows: each case on a log of a few lines written by hand. */
import {describe, expect, it} from "vitest";
import {build, fit, look, plain, plainFailures, rules, run, type TestSettings} from "./built.ts";
import type {RebuildRow, RunRow} from "./logTables.ts";

const failed = {outcome: "failed downhole", lost_time_h: 12} as const;
const claim = {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"} as const;

describe("slots", () => {
  it("two positions of one component are two slots", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        fit("01-01", {position: "upper"}),
        fit("01-01", {position: "lower"}),
        look("01-06", {position: "upper", found: "worn", mode: "SEAL-ABR", action: "renewed"}),
        look("01-06", {position: "lower", found: "good", action: "kept"}),
      ],
    );
    expect(plain(built.lives)).toMatchObject([
      {slot: "A SEAL upper", ending: "found at teardown", upper: 50},
      {slot: "A SEAL upper", ending: "still running", lower: 40},
      {slot: "A SEAL lower", ending: "still running", lower: 90},
    ]);
  });

  it("a missing position is the only one ever named, with a finding", () => {
    const built = build(
      [run("01-05", 50)],
      [fit("01-01", {position: "upper"}), look("01-06", {found: "good", action: "renewed"})],
    );
    expect(plain(built.lives).map(({slot}) => slot)).toEqual(["A SEAL upper", "A SEAL upper"]);
    expect(built.findings).toMatchObject([{rule: "position-supplied", kind: "repaired", taken: "upper", line: 3}]);
  });

  it("a missing position among several is asked about, and the row is not used", () => {
    const built = build(
      [run("01-05", 50)],
      [
        fit("01-01", {position: "upper"}),
        fit("01-01", {position: "lower"}),
        look("01-06", {found: "good", action: "renewed"}),
      ],
    );
    expect(plain(built.lives).map(({ending}) => ending)).toEqual(["still running", "still running"]);
    expect(built.findings).toMatchObject([{rule: "position-missing", kind: "asked", line: 4}]);
  });

  it("a row without a tool, component, date or action is set aside, and named", () => {
    const whole: RebuildRow = look("01-06", {found: "good", action: "renewed"});
    for (const column of ["tool", "component", "date", "action"] as const) {
      const built = build([run("01-05", 50)], [fit("01-01"), {...whole, [column]: undefined}]);
      expect(built.lives.rows, column).toBe(1);
      expect(built.findings, column).toMatchObject([{rule: "rebuild-without-key", kind: "set aside", column}]);
    }
  });
});

describe("used parts", () => {
  it("swapped for a used part: the old life ends good, the new one enters at the hours it came with", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [fit("01-01"), look("01-06", {found: "good", action: "swapped for a used part", installed_with_h: 120})],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "renewed good", lower: 50},
      {ending: "still running", entry: 120, lower: 160, hours: [40]},
    ]);
    expect(built.findings).toEqual([]);
  });

  it("swapped for a used part of unknown hours: its life is set aside, and so is every later look at it", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "swapped for a used part"}),
        look("01-12", {found: "good", action: "renewed"}),
      ],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "renewed good", lower: 50},
      {ending: "still running", lower: 0},
    ]);
    expect(rules(built)).toEqual(["used-part-age-unknown", "age-unknown"]);
  });

  it("swapped for a used part of unknown hours that are told later: it enters at the age it had when it went in", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "swapped for a used part"}),
        look("01-12", {found: "worn", action: "renewed", hours_on_part: 240}),
      ],
    );
    expect(plain(built.lives)[1]).toMatchObject({
      ending: "found at teardown",
      entry: 200,
      lower: 200,
      upper: 240,
      mode: "SEAL-GEN",
    });
  });

  const twoTools = (rows: readonly RebuildRow[], more: readonly RunRow[] = []): ReturnType<typeof build> =>
    build([run("01-05", 50), run("01-20", 30, {tool: "B"}), ...more], rows);

  it("a serial that moves to another tool carries its age", () => {
    const built = twoTools([
      fit("01-01", {part_serial: "S1"}),
      fit("01-01", {tool: "B", part_serial: "S2"}),
      look("01-06", {found: "good", action: "renewed", part_serial: "S3"}),
      look("01-10", {tool: "B", found: "good", action: "swapped for a used part", part_serial: "S1"}),
    ]);
    expect(plain(built.lives).filter(({slot}) => slot === "B SEAL")).toMatchObject([
      {ending: "renewed good", lower: 0},
      {ending: "still running", entry: 50, lower: 80},
    ]);
    expect(built.findings).toEqual([]);
  });

  it("a serial that moves on one and the same day carries its age, whichever tool comes first in the log", () => {
    const built = build(
      [run("01-05", 50, {tool: "B"}), run("01-20", 30)],
      [
        fit("01-01", {tool: "B", part_serial: "S1"}),
        fit("01-10", {found: "good", action: "swapped for a used part", part_serial: "S1"}),
        look("01-10", {tool: "B", found: "good", action: "renewed", part_serial: "S2"}),
      ],
    );
    expect(plain(built.lives).find(({slot}) => slot === "A SEAL")).toMatchObject({entry: 50, lower: 80});
    expect(built.findings).toEqual([]);
  });

  it("a part that moves without a tracked serial or hours is of unknown age", () => {
    const built = twoTools([
      fit("01-01"),
      look("01-06", {found: "good", action: "renewed"}),
      fit("01-10", {tool: "B", action: "swapped for a used part"}),
    ]);
    expect(plain(built.lives).some(({slot}) => slot === "B SEAL")).toBe(false);
    expect(rules(built)).toEqual(["used-part-age-unknown"]);
  });

  it("a serial called new that has run before carries its age, and that is told", () => {
    const built = twoTools([
      fit("01-01", {part_serial: "S1"}),
      look("01-06", {found: "good", action: "renewed", part_serial: "S3"}),
      fit("01-10", {tool: "B", part_serial: "S1"}),
    ]);
    expect(plain(built.lives).find(({slot}) => slot === "B SEAL")).toMatchObject({entry: 50, lower: 80});
    expect(built.findings).toMatchObject([{rule: "age-carried-by-serial", kind: "repaired", taken: "50"}]);
  });

  it("a part never logged out of a tool that stood still moved: its life there ends, its age goes with it", () => {
    const built = twoTools([
      fit("01-01", {part_serial: "S1"}),
      fit("01-10", {tool: "B", part_serial: "S1", action: "swapped for a used part"}),
    ]);
    expect(plain(built.lives)).toMatchObject([
      {slot: "A SEAL", ending: "renewed good", lower: 50},
      {slot: "B SEAL", ending: "still running", entry: 50, lower: 80},
    ]);
    expect(rules(built)).toEqual(["part-moved-unlogged"]);
  });

  it("a serial claimed by two running tools: the later claim is asked about, and both parts live on", () => {
    const built = twoTools(
      [fit("01-01", {part_serial: "S1"}), fit("01-10", {tool: "B", part_serial: "S1"})],
      [run("01-25", 25)],
    );
    expect(plain(built.lives)).toMatchObject([
      {slot: "A SEAL", ending: "still running", lower: 75},
      {slot: "B SEAL", ending: "still running", entry: 0, lower: 30},
    ]);
    expect(built.findings).toMatchObject([{rule: "serial-in-two-tools", kind: "asked", found: "S1", line: 3}]);
  });

  it("equal serials in two fleets are two parts", () => {
    const built = build(
      [run("01-05", 50), run("01-20", 30, {tool: "B", fleet: "South"}), run("01-25", 25)],
      [fit("01-01", {part_serial: "7"}), fit("01-10", {tool: "B", part_serial: "7"})],
    );
    expect(plain(built.lives)).toMatchObject([{lower: 75}, {lower: 30}]);
    expect(built.findings).toEqual([]);
  });

  it("a part taken out failed that comes back without hours is set aside", () => {
    const built = twoTools([
      fit("01-01", {part_serial: "S1"}),
      look("01-06", {found: "failed", mode: "SEAL-ABR", action: "renewed", part_serial: "S2"}),
      fit("01-10", {tool: "B", part_serial: "S1", action: "swapped for a used part"}),
    ]);
    expect(rules(built)).toEqual(["spoilt-part-back"]);
    expect(plain(built.lives).some(({slot}) => slot === "B SEAL")).toBe(false);
  });

  it("a part kept under another serial: the old life ends where it was last seen", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40), run("01-20", 30)],
      [
        fit("01-01", {part_serial: "S1"}),
        look("01-06", {found: "good", action: "kept", part_serial: "S1"}),
        look("01-12", {found: "good", action: "kept", part_serial: "S9", hours_on_part: 200}),
      ],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "lost from view", lower: 50},
      {ending: "still running", entry: 200, lower: 230},
    ]);
    expect(rules(built)).toEqual(["serial-changed"]);
  });

  it("renewed with the serial that came out: the change is believed, the serial is not", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [fit("01-01", {part_serial: "S1"}), look("01-06", {found: "good", action: "renewed", part_serial: "S1"})],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "renewed good", lower: 50},
      {entry: 0, lower: 40},
    ]);
    expect(rules(built)).toEqual(["renewed-same-serial"]);
  });

  it("reworked: the old life ends as found, and the part begins a new life at age 0", () => {
    const reworked = (found: string): ReturnType<typeof plain> =>
      plain(
        build(
          [run("01-05", 50), run("01-10", 40)],
          [fit("01-01", {part_serial: "S1"}), look("01-06", {found, action: "reworked", part_serial: "S1"})],
        ).lives,
      );
    expect(reworked("good")).toMatchObject([
      {ending: "renewed good", lower: 50},
      {entry: 0, lower: 40},
    ]);
    expect(reworked("worn")).toMatchObject([
      {ending: "found at teardown", lower: 0, upper: 50},
      {entry: 0, lower: 40},
    ]);
  });
});

describe("what ended a run", () => {
  it("several parts blamed: each failed somewhere in the run, lost hours are shared, and that is told", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, {...failed, failed_at_h: 25})],
      [
        fit("01-01"),
        fit("01-01", {component: "LINR"}),
        look("01-12", claim),
        look("01-12", {...claim, component: "LINR", mode: "LINR-ERO"}),
      ],
    );
    expect(plain(built.lives).filter(({ending}) => ending === "failed in run")).toMatchObject([
      {slot: "A SEAL", lower: 50, upper: 90},
      {slot: "A LINR", lower: 50, upper: 90},
    ]);
    expect(plainFailures(built.failures).map(({lost}) => lost)).toEqual([6, 6]);
    expect(rules(built)).toEqual(["several-ended-run", "several-ended-run"]);
  });

  it("no part blamed: the failure counts for the fleet and for no part, and that is told", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, failed), run("01-20", 30)],
      [fit("01-01"), look("01-12", {found: "good", ended_run: false, action: "kept"})],
    );
    expect(built.findings).toMatchObject([{rule: "failure-unclaimed", kind: "doubted", file: "runs.csv", line: 3}]);
    expect(plainFailures(built.failures)).toEqual([
      {what: "F1", component: null, mode: null, mud: "KCL", lost: 12, sinceRebuild: 90, life: -1},
    ]);
  });

  it("failed downhole at the end of the log: told to await its teardown", () => {
    const built = build([run("01-10", 40, failed)], [fit("01-01")]);
    expect(rules(built)).toEqual(["failure-not-torn-down"]);
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 40}]);
  });

  it("one failed part and no word on what ended the failed run: it is taken to have, and that is told", () => {
    const built = build(
      [run("01-10", 40, {...failed, failed_at_h: 25})],
      [fit("01-01"), look("01-12", {found: "failed", mode: "SEAL-ABR", action: "renewed"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "failed in run", lower: 25, upper: 25});
    expect(built.findings).toMatchObject([{rule: "ended-run-presumed", kind: "repaired"}]);
  });

  it("two failed parts and no word on what ended the failed run: both found at teardown", () => {
    const built = build(
      [run("01-10", 40, failed)],
      [
        fit("01-01"),
        fit("01-01", {component: "LINR"}),
        look("01-12", {found: "failed", mode: "SEAL-ABR", action: "renewed"}),
        look("01-12", {component: "LINR", found: "failed", mode: "LINR-ERO", action: "renewed"}),
      ],
    );
    expect(
      plain(built.lives)
        .map(({ending}) => ending)
        .filter((e) => e !== "still running"),
    ).toEqual(["found at teardown", "found at teardown"]);
    expect(rules(built)).toEqual(["failure-unclaimed"]);
  });

  it("failed_at_h beyond the circulating hours is clamped to them, with a finding", () => {
    const built = build([run("01-10", 40, {...failed, failed_at_h: 55})], [fit("01-01"), look("01-12", claim)]);
    expect(plain(built.lives)[0]).toMatchObject({lower: 40, upper: 40, ageAtEnd: 40});
    expect(built.findings).toMatchObject([
      {rule: "failed-after-run-end", kind: "repaired", file: "runs.csv", line: 2, found: "55", taken: "40"},
    ]);
  });

  it("failed_at_h of 0 places the failure somewhere in the run, with a finding", () => {
    const built = build([run("01-10", 40, {...failed, failed_at_h: 0})], [fit("01-01"), look("01-12", claim)]);
    expect(plain(built.lives)[0]).toMatchObject({lower: 0, upper: 40});
    expect(rules(built)).toEqual(["failed-at-no-hours"]);
  });

  it("a part blamed for a completed run is believed, with a finding", () => {
    const built = build([run("01-10", 40)], [fit("01-01"), look("01-12", claim)]);
    expect(plain(built.lives)[0]).toMatchObject({ending: "failed in run", lower: 0, upper: 40});
    expect(rules(built)).toEqual(["ended-run-but-completed"]);
  });

  it("a good part blamed for a run is taken as good, and that is told", () => {
    const built = build(
      [run("01-10", 40, failed)],
      [fit("01-01"), look("01-12", {found: "good", ended_run: true, action: "kept"})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 40}]);
    expect(rules(built)).toEqual(["ended-run-but-good", "failure-unclaimed"]);
  });

  it("a part blamed before it made a run is found at the teardown", () => {
    const built = build(
      [run("01-10", 40, failed)],
      [fit("01-01"), look("01-12", {found: "good", action: "renewed"}), look("01-14", claim)],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "renewed good", lower: 40},
      {ending: "found at teardown", lower: 0, upper: 0},
      {ending: "still running"},
    ]);
    expect(rules(built)).toEqual(["ended-run-before-run", "failed-unused", "failure-unclaimed"]);
    expect(plainFailures(built.failures).map(({what}) => what)).toEqual(["F4", "F1"]);
  });

  it("damaged at service and blamed for the run: it failed in the run, by the shop's doing", () => {
    const built = build(
      [run("01-10", 40, failed)],
      [fit("01-01"), look("01-12", {...claim, found: "damaged at service", mode: "SEAL-REV"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "failed in run", mode: "SEAL-REV"});
    expect(built.lives.serviceInduced[0]).toBe(1);
  });

  it("a run retrieved on wireline is class F2", () => {
    const built = build(
      [run("01-10", 40, {...failed, comment: "no pulses, pulled on wireline"})],
      [fit("01-01"), look("01-12", claim)],
    );
    expect(plainFailures(built.failures)).toMatchObject([{what: "F2"}]);
  });
});

describe("parts kept though bad", () => {
  it("kept while worn past limit: the life goes on, is not called good, and ends by the first look that found it worn", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40), run("01-20", 30)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "kept"}),
        look("01-12", {found: "worn", mode: "SEAL-ABR", action: "kept"}),
        look("01-22", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({
      ending: "found at teardown",
      lower: 50,
      upper: 90,
      ageAtEnd: 120,
      hours: [50, 40, 30],
    });
    expect(built.findings).toMatchObject([{rule: "kept-worn", kind: "doubted", line: 4}]);
  });

  it("kept after it failed: the failure counts, and the same part goes on as a late entry", () => {
    const built = build(
      [run("01-05", 50, {...failed, failed_at_h: 30}), run("01-10", 40)],
      [
        fit("01-01", {component: "HLXS"}),
        look("01-06", {component: "HLXS", found: "failed", mode: "HLXS-PLG", ended_run: true, action: "kept"}),
      ],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "failed in run", lower: 30, upper: 30, mode: "HLXS-PLG"},
      {ending: "still running", entry: 50, lower: 90},
    ]);
    expect(built.findings).toEqual([]);
  });

  it("kept after failing by a mode that calls for a new part is doubted", () => {
    const built = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "failed", mode: "SEAL-ABR", action: "kept"})],
    );
    expect(rules(built)).toEqual(["kept-failed"]);
    expect(plain(built.lives)).toMatchObject([{ending: "found at teardown"}, {entry: 50}]);
  });

  it("kept though damaged at service is doubted, and the life goes on", () => {
    const built = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "damaged at service", action: "kept"})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 50}]);
    expect(rules(built)).toEqual(["kept-damaged"]);
  });
});

describe("dates", () => {
  it("a run that ended on the day of the rebuild came before it", () => {
    const built = build(
      [run("01-05T18:00", 50), run("01-10", 40)],
      [fit("01-01"), look("01-05", {found: "good", action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "renewed good", lower: 50}, {lower: 40}]);
  });

  it("a run that began after a rebuild with a time of day came after it", () => {
    const built = build(
      [run("01-05T23:00", 6, {start: "2024-01-05T12:00"})],
      [fit("01-01"), look("01-05T09:00", {found: "good", action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "renewed good", lower: 0}, {lower: 6}]);
  });

  it("a rebuild dated while the tool was in hole is doubted, and that run counted after it", () => {
    const built = build(
      [run("01-08", 50, {start: "2024-01-02"})],
      [fit("01-01"), look("01-05", {found: "good", action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([{lower: 0}, {lower: 50}]);
    expect(built.findings).toMatchObject([{rule: "rebuild-during-run", line: 3}]);
  });

  it("two rebuilds without a run between them are one visit", () => {
    const built = build(
      [run("01-05", 50, {...failed, failed_at_h: 20})],
      [fit("01-01"), look("01-06", {found: "not inspected", action: "kept"}), look("01-08", claim)],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "failed in run", lower: 20});
    expect(plainFailures(built.failures)).toMatchObject([{sinceRebuild: 20}]);
    expect(built.findings).toEqual([]);
  });
});

describe("ages that cannot be known", () => {
  it("a run of unknown hours suspends every life before it; the age returns with the next new part", () => {
    const built = build(
      [run("01-05", 50), run("01-10", undefined), run("01-20", 30), run("01-25", 20)],
      [fit("01-01"), look("01-22", {found: "worn", mode: "SEAL-ABR", action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "lost from view", lower: 50, upper: Infinity, hours: [50]},
      {ending: "still running", entry: 0, lower: 20},
    ]);
    expect(rules(built)).toEqual(["run-without-exposure", "age-unknown"]);
    expect(built.failures.rows).toBe(1);
  });

  it("after a run of unknown hours the shop's own count gives the age back", () => {
    const built = build(
      [run("01-05", 50), run("01-10", undefined), run("01-20", 30)],
      [fit("01-01"), look("01-22", {found: "worn", mode: "SEAL-ABR", action: "renewed", hours_on_part: 130})],
    );
    expect(plain(built.lives)[1]).toMatchObject({
      ending: "found at teardown",
      entry: 100,
      lower: 100,
      upper: 130,
      hours: [30],
    });
  });

  it("a run of unknown hours at the end of the log suspends before it", () => {
    const built = build([run("01-05", 50), run("01-10", undefined)], [fit("01-01")]);
    expect(plain(built.lives)).toMatchObject([{ending: "lost from view", lower: 50}]);
  });

  it("the shop counted more hours than the log: the age is known only to that difference", () => {
    const more = {hours_on_part: 150};
    const at = (row: RebuildRow, runs: readonly RunRow[] = [run("01-05", 50), run("01-10", 40)]) =>
      build(runs, [fit("01-01"), look("01-12", {...row, ...more})]);
    expect(plain(at({found: "good", action: "renewed"}).lives)[0]).toMatchObject({lower: 90, upper: Infinity});
    expect(plain(at({found: "worn", action: "renewed"}).lives)[0]).toMatchObject({lower: 0, upper: 150});
    const exact = at(claim, [run("01-05", 50), run("01-10", 40, {...failed, failed_at_h: 25})]);
    expect(plain(exact.lives)[0]).toMatchObject({lower: 75, upper: 135});
    expect(exact.findings).toMatchObject([{rule: "hours-disagree", found: "150", taken: "90"}]);
  });

  it("the shop counted fewer hours than the log: the log is used, with a finding", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [fit("01-01"), look("01-12", {found: "good", action: "renewed", hours_on_part: 60})],
    );
    expect(plain(built.lives)[0]).toMatchObject({lower: 90});
    expect(rules(built)).toEqual(["hours-disagree"]);
  });

  it("counts that differ by 5 % or an hour are taken to agree", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 50)],
      [fit("01-01"), look("01-12", {found: "good", action: "renewed", hours_on_part: 105})],
    );
    expect(built.findings).toEqual([]);
  });

  it("fewer hours on the part than its tool ran since the log began: it went in later, and its life is set aside", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [look("01-12", {found: "worn", action: "renewed", hours_on_part: 40})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 0}]);
    expect(rules(built)).toEqual(["hours-below-log", "age-unknown"]);
  });

  it("a part kept at the first look, hours known, enters when the log begins", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [look("01-06", {found: "good", action: "kept", hours_on_part: 300})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "still running", entry: 250, lower: 340, hours: [50, 40]}]);
  });

  it("a part kept at the first look, hours known only later, still enters when the log begins", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        look("01-06", {found: "good", action: "kept"}),
        look("01-12", {found: "good", action: "renewed", hours_on_part: 340}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "renewed good", entry: 250, lower: 340});
    expect(built.findings).toMatchObject([{rule: "age-unknown", line: 2}]);
  });

  it("a failure from before the first logged run is not counted, and that is told", () => {
    const built = build([run("01-05", 50)], [look("01-01", {found: "failed", mode: "SEAL-ABR", action: "renewed"})]);
    expect(built.failures.rows).toBe(0);
    expect(rules(built)).toEqual(["failure-before-log"]);
  });
});

describe("exposure clocks", () => {
  const clock = (exposure: TestSettings["exposure"], runs: readonly RunRow[], rows: readonly RebuildRow[]) =>
    build(runs, rows, exposure === undefined ? {} : {exposure});

  const hourly = [
    run("01-05", 50, {below_rotary_h: 80, pulses: 1000}),
    run("01-10", 40, {below_rotary_h: 70, pulses: 900, ...failed, failed_at_h: 20}),
  ];

  it.each([
    ["circulating hours", 70, 70, 70],
    ["below-rotary hours", 80, 150, 150],
    ["pulses", 1000, 1900, 1900],
    ["runs", 1, 2, 2],
  ] as const)("%s: a failure hour is exact in circulating hours only", (exposure, lower, upper, age) => {
    expect(plain(clock(exposure, hourly, [fit("01-01"), look("01-12", claim)]).lives)[0]).toMatchObject({
      lower,
      upper,
      ageAtEnd: age,
    });
  });

  it("runs without the clock's column suspend lives before them", () => {
    const built = clock("pulses", [run("01-05", 50)], [fit("01-01")]);
    expect(plain(built.lives)).toMatchObject([{ending: "lost from view", lower: 0}]);
    expect(built.findings).toMatchObject([{rule: "run-without-exposure", column: "pulses"}]);
  });

  it("hours of a used part are no pulses: its life is set aside", () => {
    const built = clock("pulses", hourly, [fit("01-01", {installed_with_h: 20})]);
    expect(built.lives.rows).toBe(0);
    expect(rules(built)).toContain("used-part-age-in-hours");
  });
});

describe("found and mode", () => {
  it("a mode without a finding stands for it: failed, or good where nothing was found", () => {
    const row = (mode: string) =>
      plain(build([run("01-05", 50)], [fit("01-01"), look("01-06", {mode, action: "renewed"})]).lives)[0];
    expect(row("SEAL-ABR")).toMatchObject({ending: "found at teardown", mode: "SEAL-ABR"});
    expect(row("SEAL-NFF")).toMatchObject({ending: "renewed good", mode: null});
  });

  it("failed without a mode is unknown, worn without one is worn without detail", () => {
    const row = (found: string) =>
      plain(build([run("01-05", 50)], [fit("01-01"), look("01-06", {found, action: "renewed"})]).lives)[0];
    expect(row("failed")).toMatchObject({mode: "SEAL-UNK"});
    expect(row("worn")).toMatchObject({mode: "SEAL-GEN"});
  });

  it("good beside a failure code is taken as good, and that is told", () => {
    const built = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "good", mode: "SEAL-ABR", action: "renewed"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "renewed good", mode: null});
    expect(built.findings).toMatchObject([{rule: "good-with-mode", kind: "doubted", found: "SEAL-ABR"}]);
  });

  it("failed with nothing found is good, and a mode of another component is doubted", () => {
    const nothing = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "failed", mode: "SEAL-NFF", action: "renewed"})],
    );
    expect(plain(nothing.lives)[0]).toMatchObject({ending: "renewed good"});
    expect(rules(nothing)).toEqual(["failed-nothing-found"]);
    const other = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "failed", mode: "LINR-ERO", action: "renewed"})],
    );
    expect(rules(other)).toEqual(["mode-of-other-component"]);
  });

  it("parts renewed without a look are counted in one finding a component", () => {
    const built = build([run("01-05", 50)], [fit("01-01"), fit("01-06")]);
    expect(plain(built.lives)[0]).toMatchObject({ending: "renewed good", lower: 50});
    expect(built.findings).toMatchObject([{rule: "renewed-not-inspected", line: null, found: "1 × SEAL"}]);
  });
});

describe("tools and logs", () => {
  it("a tool lost in hole that comes back is taken to have been recovered", () => {
    const built = build([run("01-05", 50, {outcome: "lost in hole"}), run("01-10", 40)], [fit("01-01")]);
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 90}]);
    expect(built.findings).toMatchObject([{rule: "lost-tool-came-back", file: "runs.csv", line: 2}]);
  });

  it("tools that only one log knows are named", () => {
    const built = build([run("01-05", 50, {tool: "B"})], [fit("01-01")]);
    expect(rules(built).sort()).toEqual(["tool-without-rebuilds", "tool-without-runs"]);
  });

  it("empty logs give no lives, no failures and no findings", () => {
    const built = build([], []);
    expect([built.lives.rows, built.failures.rows, built.findings.length]).toEqual([0, 0, 0]);
    expect(built.lives.exposure.offsets).toEqual(Int32Array.of(0));
  });

  it("tables in any order give the same lives", () => {
    const runs = [run("01-05", 50), run("01-10", 40), run("01-20", 30)];
    const rows = [fit("01-01"), look("01-12", {found: "good", action: "renewed"})];
    expect(plain(build([...runs].reverse(), [...rows].reverse()).lives)).toEqual(plain(build(runs, rows).lives));
  });
});
