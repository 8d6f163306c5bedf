/** Every row of the table in DEVELOPERS.md (“What a log row says about a part”), each on a log of a few lines. */
import {describe, expect, it} from "vitest";
import {build, fit, look, plain, plainFailures, rules, run} from "./built.ts";

const failed = {outcome: "failed downhole", lost_time_h: 12} as const;

describe("buildLives: what a log row says about a part", () => {
  it("failed, it ended the run, and the hour is logged: failed at an exact age", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, {...failed, failed_at_h: 25})],
      [fit("01-01"), look("01-12", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([
      {ending: "failed in run", entry: 0, lower: 75, upper: 75, ageAtEnd: 75, mode: "SEAL-ABR", hours: [50, 25]},
      {ending: "still running", entry: 0, lower: 0, upper: Infinity},
    ]);
    expect(plainFailures(built.failures)).toEqual([
      {what: "F1", component: "SEAL", mode: "SEAL-ABR", mud: "KCL", lost: 12, sinceRebuild: 75, life: 0},
    ]);
    expect(built.findings).toEqual([]);
  });

  it("failed, it ended the run, hour not logged: between the ages before and after that run", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, failed)],
      [fit("01-01"), look("01-12", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({
      ending: "failed in run",
      lower: 50,
      upper: 90,
      ageAtEnd: 90,
      hours: [50, 40],
    });
  });

  it("failed, found at teardown: between the last look that found it good and now", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40), run("01-20", 30)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "kept"}),
        look("01-22", {found: "failed", mode: "SEAL-SWL", ended_run: false, action: "renewed"}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "found at teardown", lower: 50, upper: 120, mode: "SEAL-SWL"});
    expect(plainFailures(built.failures)).toMatchObject([{what: "F5", lost: 0, sinceRebuild: 70}]);
  });

  it("worn past limit, found at teardown: the same", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "kept"}),
        look("01-12", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "found at teardown", lower: 50, upper: 90, mode: "SEAL-ABR"});
  });

  it("failed, found at teardown without an earlier look: between the age it entered at and now", () => {
    const seen = (with_h: number | undefined) =>
      plain(
        build(
          [run("01-05", 50)],
          [
            fit("01-01", {installed_with_h: with_h}),
            look("01-06", {found: "failed", mode: "SEAL-ABR", action: "renewed"}),
          ],
        ).lives,
      )[0];
    expect(seen(undefined)).toMatchObject({ending: "found at teardown", entry: 0, lower: 0, upper: 50});
    expect(seen(200)).toMatchObject({ending: "found at teardown", entry: 200, lower: 200, upper: 250});
  });

  it("renewed while good: suspended at the age now", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [fit("01-01"), look("01-12", {found: "good", action: "renewed"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "renewed good", lower: 90, upper: Infinity, mode: null});
    expect(built.failures.rows).toBe(0);
  });

  it("damaged at service: suspended at the age now, and counted as service-induced", () => {
    const built = build(
      [run("01-05", 50)],
      [fit("01-01"), look("01-06", {found: "damaged at service", mode: "SEAL-CUT", action: "renewed"})],
    );
    expect(plain(built.lives)[0]).toMatchObject({
      ending: "damaged at service",
      lower: 50,
      upper: Infinity,
      mode: "SEAL-CUT",
    });
    expect(built.lives.serviceInduced[0]).toBe(1);
    expect(plainFailures(built.failures)).toMatchObject([{what: "shop", component: "SEAL", mode: "SEAL-CUT", life: 0}]);
    expect(built.failures.serviceInduced[0]).toBe(1);
  });

  it("lost in hole with the tool: suspended at the last known age", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, {outcome: "lost in hole", failed_at_h: 30})],
      [fit("01-01"), fit("01-01", {component: "LINR"})],
    );
    expect(plain(built.lives)).toMatchObject([
      {slot: "A SEAL", ending: "lost in hole", lower: 80, upper: Infinity, hours: [50, 30]},
      {slot: "A LINR", ending: "lost in hole", lower: 80, upper: Infinity},
    ]);
    expect(plain(build([run("01-10", 40, {outcome: "lost in hole"})], [fit("01-01")]).lives)[0]).toMatchObject({
      ending: "lost in hole",
      lower: 40,
    });
  });

  it("lost in hole, where settings call it failed: failed in that run", () => {
    const lost = (hour: number | undefined) =>
      plain(
        build([run("01-05", 50), run("01-10", 40, {outcome: "lost in hole", failed_at_h: hour})], [fit("01-01")], {
          lost_in_hole: "failed",
        }).lives,
      )[0];
    expect(lost(30)).toMatchObject({ending: "lost in hole", lower: 80, upper: 80, mode: "SEAL-UNK"});
    expect(lost(undefined)).toMatchObject({ending: "lost in hole", lower: 50, upper: 90, mode: "SEAL-UNK"});
    const {failures} = build(
      [run("01-10", 40, {outcome: "lost in hole", lost_time_h: 30})],
      [fit("01-01"), fit("01-01", {component: "LINR"})],
      {lost_in_hole: "failed"},
    );
    expect(plainFailures(failures)).toMatchObject([
      {what: "F1", component: "SEAL", mode: "SEAL-UNK", lost: 15, life: 0},
      {what: "F1", component: "LINR", mode: "LINR-UNK", lost: 15, life: 1},
    ]);
  });

  it("kept at an inspection: one life goes on, and its last-known-good age rises", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40), run("01-20", 30)],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "kept"}),
        look("01-12", {found: "good", action: "kept"}),
        look("01-22", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({ending: "found at teardown", lower: 90, upper: 120});
    expect(built.lives.rows).toBe(2);
  });

  it("kept without being inspected: the life goes on, the last-known-good age does not rise", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [
        fit("01-01"),
        look("01-06", {found: "not inspected", action: "kept"}),
        look("01-12", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      ],
    );
    expect(plain(built.lives)[0]).toMatchObject({lower: 0, upper: 90});
  });

  it("still in a tool at the end of the log: suspended at the age now", () => {
    const built = build([run("01-05", 50), run("01-10", 40)], [fit("01-01")]);
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 90, upper: Infinity, ageAtEnd: 90}]);
    expect(built.lives.ended[0]).toBe(Date.parse("2024-01-10"));
  });

  it("renewed before the slot has seen any run: a life begins, none ends", () => {
    const built = build([run("01-05", 50)], [fit("01-01")]);
    expect(built.lives.rows).toBe(1);
    expect(built.lives.beganRow[0]).toBe(0);
    expect(built.lives.endedRow[0]).toBe(-1);
    expect(built.findings).toEqual([]);
  });

  it("already in a tool when the log begins, hours known: enters at the age it had", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40)],
      [look("01-12", {found: "worn", mode: "SEAL-ABR", action: "renewed", hours_on_part: 290})],
    );
    expect(plain(built.lives)[0]).toMatchObject({
      ending: "found at teardown",
      entry: 200,
      lower: 200,
      upper: 290,
      hours: [50, 40],
    });
    expect(built.lives.beganRow[0]).toBe(-1);
    expect(built.findings).toEqual([]);
  });

  it("already in a tool when the log begins, hours not known: set aside with a finding, its failure still counted", () => {
    const built = build(
      [run("01-05", 50), run("01-10", 40, failed)],
      [look("01-12", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"})],
    );
    expect(plain(built.lives)).toMatchObject([{ending: "still running", lower: 0}]);
    expect(built.findings).toMatchObject([
      {rule: "age-unknown", kind: "set aside", file: "rebuilds.csv", line: 2, column: "hours_on_part"},
    ]);
    expect(plainFailures(built.failures)).toMatchObject([{what: "F1", component: "SEAL", life: -1, lost: 12}]);
  });
});

describe("buildLives: conditions of a life", () => {
  it("keeps every stretch in run order, with its mud and regime", () => {
    const {lives} = build(
      [run("01-05", 50, {mud: "OBM", flow_range: "high"}), run("01-10", 40, {mud: "KCL", flow_range: "low"})],
      [fit("01-01")],
    );
    const {muds, regimes, mud, regime, run: rows} = lives.exposure;
    expect(Array.from(mud, (code) => muds[code])).toEqual(["OBM", "KCL"]);
    expect(Array.from(regime, (code) => regimes[code])).toEqual(["high", "low"]);
    expect(Array.from(rows)).toEqual([0, 1]);
  });

  it.each([
    ["80 % of the hours are enough", 80, 20, "OBM", "high"],
    ["less is mixed", 79, 21, "mixed", "mixed"],
  ])("own condition: %s", (_, first, second, mud, regime) => {
    const {lives} = build(
      [run("01-05", first, {mud: "OBM", flow_range: "high"}), run("01-10", second, {mud: "KCL", flow_range: "low"})],
      [fit("01-01")],
    );
    expect(lives.mud.words[lives.mud.codes[0]!]).toBe(mud);
    expect(lives.regime.words[lives.regime.codes[0]!]).toBe(regime);
  });

  it("own condition: one mud at two flows has its mud and a mixed regime", () => {
    const {lives} = build(
      [run("01-05", 50, {flow_range: "high"}), run("01-10", 50, {flow_range: "low"})],
      [fit("01-01")],
    );
    expect(lives.mud.words[lives.mud.codes[0]!]).toBe("KCL");
    expect(lives.regime.words[lives.regime.codes[0]!]).toBe("mixed");
  });

  it("places a failure found at teardown in the condition with the most hours since the last good look", () => {
    const built = build(
      [run("01-05", 100, {mud: "BRN"}), run("01-10", 60, {mud: "OBM"}), run("01-15", 20, {mud: "KCL"})],
      [
        fit("01-01"),
        look("01-06", {found: "good", action: "kept"}),
        look("01-16", {found: "worn", mode: "SEAL-ABR", action: "renewed"}),
      ],
    );
    expect(plainFailures(built.failures)).toMatchObject([{mud: "OBM"}]);
  });

  it("places a failure that ended a run in that run", () => {
    const built = build(
      [run("01-05", 100, {mud: "BRN"}), run("01-10", 5, {mud: "OBM", ...failed})],
      [fit("01-01"), look("01-12", {found: "failed", mode: "SEAL-ABR", ended_run: true, action: "renewed"})],
    );
    expect(plainFailures(built.failures)).toMatchObject([{mud: "OBM"}]);
    expect(rules(built)).toEqual([]);
  });
});
