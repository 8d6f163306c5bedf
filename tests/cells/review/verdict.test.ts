/** The verdict's sentences, story by story, on logs small enough to read. */
import {describe, expect, it} from "vitest";
import {fit, failed, fleetOfSeals, look, run, verdict, type Log} from "./reviewed.ts";

const together = (...logs: Log[]): Log => ({
  runs: logs.flatMap(({runs}) => runs),
  rebuilds: logs.flatMap(({rebuilds}) => rebuilds),
});
const lost = {outcome: "failed downhole", lost_time_h: 12} as const;
/** near a Weibull of shape 3 and scale 300 h: its quantiles at (i − 0.5) / 40 */
const WORN = Array.from({length: 40}, (_, i) => Math.round(300 * (-Math.log(1 - (i + 0.5) / 40)) ** (1 / 3)));

describe("a part that wore out", () => {
  const log = (hours: number): Log =>
    together(fleetOfSeals(WORN), {
      runs: [run("01-10", {circulating_h: hours - 40}), run("01-20", {...lost, circulating_h: 40, failed_at_h: 40})],
      rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR")],
    });

  it("at a usual age is told with its share, its limits, its risk and today's interval", () => {
    const {headline} = verdict({...log(290), settings: undefined as never}, {job: "W-1"});
    expect(headline).toMatch(
      /^Job W-1: run R-01-20 with T-1 was ended by the seal \(lip flattened or scored by grit\)/,
    );
    expect(headline).toContain("12 h lost");
    expect(headline).toMatch(/At 290 h seals of this service have failed by wear in \d+ % \(\d+ to \d+ %\) of cases/);
    expect(headline).toContain("no surprise");
    expect(headline).toMatch(/the chance that this seal would fail within it was [\d.]+ % \([\d.]+ to [\d.]+ %\)/);
    expect(headline).toContain("41 failures among 41 lives");
  });

  it("young is told as early, and the fitting is doubted", () => {
    const early = together(fleetOfSeals(WORN), {
      runs: [run("01-20", {...lost, circulating_h: 20, failed_at_h: 18})],
      rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR")],
    });
    const {headline} = verdict(early, {job: "W-1"});
    expect(headline).toContain("that is early");
    expect(headline).toContain("18 h after the last rebuild, at which this part was fitted");
  });

  it("old is told as one that had outlasted most", () => {
    expect(verdict(log(430), {job: "W-1"}).headline).toContain("had outlasted most");
  });

  it("whose hour is not known is given a range of ages", () => {
    const {headline} = verdict(
      together(fleetOfSeals(WORN), {
        runs: [run("01-10", {circulating_h: 200}), run("01-20", {...lost, circulating_h: 90})],
        rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR")],
      }),
      {job: "W-1"},
    );
    expect(headline).toContain("At 200 to 290 h (the hour is not known)");
    expect(headline).toContain("Not in the logs: the hour of the failure.");
  });

  it("past today's renewal age says by how much, and what it had on the bench", () => {
    const one = log(290);
    const {headline} = verdict(
      {
        ...one,
        rebuilds: [...one.rebuilds, look("01-15", {found: "good", action: "kept"})],
        settings: {
          components: {SEAL: {planned_cost: 1, failure_cost: 2, teardown_failure_cost: 0, current_interval_h: 250}},
        },
      },
      {job: "W-1"},
    );
    expect(headline).toContain(
      "It was 40 h past today's renewal age of 250 h; it had 250 h when it was last on the bench, and was kept.",
    );
  });
});

describe("a part that age does not explain", () => {
  it("spoilt at the bench is laid to the bench, with the shop's rate and no talk of age", () => {
    const {headline} = verdict({
      runs: [run("01-20", {...lost, circulating_h: 20, failed_at_h: 8}), run("03-01", {tool: "T-2", job: "W-2"})],
      rebuilds: [
        fit("01-01"),
        failed("01-25", "SEAL-REV"),
        fit("01-02", {tool: "T-2"}),
        look("03-05", {tool: "T-2", found: "good", action: "kept"}),
      ],
    });
    expect(headline).toContain("the seal (lip fitted the wrong way round, a fault made at the bench)");
    expect(headline).toContain(
      "Age had no part in it: it was fitted or handled wrongly and came 8 h after the last rebuild",
    );
    // 1 in 4 rebuilds; Poisson limits of 1: 0.0513 and 4.744 (Garwood), a quarter of them per 100
    expect(headline).toContain(
      "Of 4 rebuilds at Quay, 1 was followed by a run ended so: 25 per 100 (90 % limits 1.28 to 119)",
    );
    expect(headline).not.toContain("failed by wear in");
  });

  it("struck by chance is given the rate of its mode", () => {
    const {headline} = verdict({
      runs: [run("01-20", {...lost, circulating_h: 100, failed_at_h: 60})],
      rebuilds: [fit("01-01", {component: "HLXS"}), failed("01-25", "HLXS-PLG", {component: "HLXS"})],
    });
    expect(headline).toContain("The mode strikes at any age");
    expect(headline).toContain("1 time in 60 h of helices and screens in view: 16.7 per 1,000 h");
    expect(headline).not.toContain("interval would");
  });

  it("without a mode is hedged", () => {
    const {headline} = verdict({
      runs: [run("01-20", {...lost, circulating_h: 100, failed_at_h: 60})],
      rebuilds: [fit("01-01"), failed("01-25", undefined)],
    });
    expect(headline).toContain("the seal (mode not named)");
    expect(headline).toContain("The log names no mode; what follows takes it for wear");
    expect(headline).toContain("Not in the logs: the failure mode.");
  });

  it("that no model can place says why", () => {
    const {headline} = verdict({
      runs: [run("01-20", {...lost, circulating_h: 100, failed_at_h: 60})],
      rebuilds: [failed("01-25", "SEAL-ABR")],
    });
    expect(headline).toMatch(/Whether that was to be expected cannot be told: (its age is not known|no life)/);
  });
});

describe("a run that no part ended", () => {
  it("completed with nothing found", () => {
    const {headline} = verdict({
      runs: [run("01-20")],
      rebuilds: [fit("01-01"), look("01-25", {found: "good", action: "kept"})],
    });
    expect(headline).toContain(
      "run R-01-20 with T-1 was completed after 50 circulating hours, without lost time in the log, and the teardown found nothing failed.",
    );
    expect(headline).not.toMatch(/expected|surprise/);
  });

  it("completed, with a worn part found at the teardown", () => {
    const {headline} = verdict({
      runs: [run("01-20")],
      rebuilds: [
        fit("01-01", {component: "TIPP"}),
        look("01-25", {component: "TIPP", found: "worn", mode: "TIPP-ERO", action: "renewed"}),
      ],
    });
    expect(headline).toContain("; the teardown found the poppet tip (diameter or profile washed).");
  });

  it("pulled for another reason", () => {
    const {headline} = verdict({runs: [run("01-20", {outcome: "pulled for other reason"})], rebuilds: [fit("01-01")]});
    expect(headline).toContain("was pulled for another reason after 50 circulating hours");
    expect(headline).toContain("the tool has not been opened since");
  });

  it("lost in hole", () => {
    const {headline} = verdict({
      runs: [run("01-20", {outcome: "lost in hole", lost_time_h: 40})],
      rebuilds: [fit("01-01")],
    });
    expect(headline).toContain(
      "was lost in hole after 50 circulating hours, 40 h lost; what the tool looked like will not be known.",
    );
    expect(headline).not.toContain("No teardown after this run is logged");
  });

  it("failed with no part blamed, torn down or not", () => {
    const open = verdict({runs: [run("01-20", lost)], rebuilds: [fit("01-01")]}).headline;
    expect(open).toContain("no part is said to have ended it");
    expect(open).toContain("Until it is torn down, nothing can be said of the cause.");
    const torn = verdict({
      runs: [run("01-20", lost)],
      rebuilds: [fit("01-01"), look("01-25", {found: "good", action: "kept"})],
    }).headline;
    expect(torn).toContain("The teardown names no part that ended the run, so the cause stays open");
  });

  it("blamed on a part though the run log calls it completed", () => {
    const {headline} = verdict({runs: [run("01-20")], rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR")]});
    expect(headline).toContain("though the run log calls the run completed");
    expect(headline).toMatch(/open data question/);
  });

  it("of unknown outcome, without mud, flow, hours or heat, says what is missing", () => {
    const bare = {run: "1", tool: "T-1", end: "2024-01-20"};
    const {headline} = verdict({runs: [bare], rebuilds: []});
    expect(headline).toContain("It is not logged how run 1 with T-1 ended");
    for (const lack of [
      "how the run ended",
      "the hours of the run",
      "the mud",
      "the flow past the tool",
      "the sand content",
      "the temperature",
      "the rebuild before the run",
    ])
      expect(headline).toContain(lack);
    expect(headline).not.toMatch(/NaN|undefined|null|Infinity/);
  });
});

describe("what is reviewed", () => {
  const log: Log = {
    runs: [
      run("01-10", {job: "W-1"}),
      run("01-20", {job: "W-2", outcome: "failed downhole", lost_time_h: 5}),
      run("01-30", {job: "W-2", lost_time_h: 1}),
      run("02-10", {job: "W-3", tool: "T-2"}),
    ],
    rebuilds: [],
  };

  it("is the job with the most lost time, and says so", () => {
    const {headline, cautions} = verdict(log);
    expect(headline).toMatch(/^Job W-2: run R-01-20/);
    expect(headline).toContain("The job has 1 other run: 1 completed, with 1 h more lost.");
    expect(cautions[0]).toBe("Nothing was chosen, so this is the job in view with the most lost time, 6 h.");
  });

  it.each([
    [{job: "w-1"}, "Job W-1: run R-01-10"],
    [{job: "W-2", run: "R-01-30"}, "Job W-2: run R-01-30"],
    [{run: "R-02-10"}, "Job W-3: run R-02-10"],
    [{tool: "T-2"}, "Job W-3: run R-02-10"],
    [{tool: "T-1", job: "W-3"}, "Job W-2: run R-01-20"],
    [{job: "W-1", run: "R-01-20"}, "Job W-1: run R-01-10"],
  ])("%j gives %s", (picks, start) => {
    expect(verdict(log, picks).headline.startsWith(start)).toBe(true);
  });

  it("says when a choice does not go with a wider one", () => {
    expect(verdict(log, {tool: "T-1", job: "W-3"}).cautions.join(" ")).toContain(
      "T-1 was not on job W-3, so that job is left aside.",
    );
    expect(verdict(log, {job: "W-1", run: "R-01-20"}).cautions.join(" ")).toContain(
      "Run R-01-20 is not of the job W-1, so it is left aside.",
    );
  });

  it("near a name it knows, proposes it", () => {
    expect(
      verdict({...log, runs: log.runs.map((row) => ({...row, job: `AW-${row.job}`}))}, {job: "AW-W-22"}).headline,
    ).toContain("did you mean AW-W-2?");
    expect(verdict(log, {tool: "X-999"}).headline).toBe(
      "No tool is called “X-999” in the run log. The run log has 2 tools, e.g. T-1, T-2.",
    );
  });

  it("is offered: jobs by what they lost, runs of the job, tools", () => {
    const {asks} = verdict(log);
    expect(asks?.map(({name, value}) => [name, value])).toEqual([
      ["job", "W-2"],
      ["run", "R-01-20"],
      ["tool", "T-1"],
    ]);
    expect(asks?.[0]?.choices?.map(({label}) => label)).toEqual([
      "W-2 · 6 h lost in 2 runs",
      "W-3 · no failure in 1 run",
      "W-1 · no failure in 1 run",
    ]);
  });

  it("in a log without jobs is a run", () => {
    const {headline, asks} = verdict({
      runs: [run("01-20", {job: undefined, lost_time_h: 3}), run("02-20", {job: undefined})],
      rebuilds: [],
    });
    expect(headline).toMatch(/^Run R-01-20 with T-1 was completed/);
    expect(asks?.map(({name}) => name)).toEqual(["run", "tool"]);
  });

  it("in a log without runs is nothing", () => {
    expect(verdict({runs: [], rebuilds: [fit("01-01")]}).headline).toBe(
      "The logs hold no runs, so there is no job to review.",
    );
  });
});
