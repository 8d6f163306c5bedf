/** What findings cost in rows and lives, on logs small enough to count by eye. */
import {describe, expect, it} from "vitest";
import type {Finding} from "../../shared/findings.ts";
import {findingCosts, type FindingCost} from "../../src/lives/index.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {bytesOf, rebuilds, runs} from "../logs/logFiles.ts";

/** The cost of every rule by itself, and of all together. */
async function costs(
  files: Readonly<Record<string, string>>,
): Promise<{of: Record<string, FindingCost>; total: FindingCost}> {
  const given = Object.entries(files).map(([name, text]) => ({name, bytes: bytesOf(text)}));
  const outcome = await openLogs(given, false, () => undefined);
  if (!outcome.opened) throw new Error(outcome.message);
  const {findings, read, lives, counts} = outcome.logs;
  const rules = [...new Set(findings.map(({rule}) => rule))];
  const groups = rules.map((rule) => findings.filter((finding: Finding) => finding.rule === rule));
  const {costs: list, total} = findingCosts(groups, {...read, counts}, lives);
  return {of: Object.fromEntries(rules.map((rule, at) => [rule, list[at]!])), total};
}

const RUNS = runs(
  "1,A,2024-01-05,2024-01-09,40,",
  "2,A,2024-02-05,2024-02-09,40,",
  "3,A,2024-03-05,2024-03-09,40,",
  "4,B,2024-02-05,2024-02-09,40,",
);
const row = (day: string, component: string, action = "renewed", found = "good", tool = "A"): string =>
  `R${day},${tool},${day},${component},${found},,${action},,`;
const FITTED = [
  row("2024-01-01", "SEAL"),
  row("2024-01-01", "LINR"),
  row("2024-01-01", "SEAL", "renewed", "good", "B"),
];

describe("findingCosts(groups, logs, lives)", () => {
  it("a held renewal may be a life that is missing, and blurs the one it would have ended", async () => {
    const {of, total} = await costs({
      "runs.csv": RUNS,
      "rebuilds.csv": rebuilds(...FITTED, row("2024-02-20", "SEAL", "zapped")),
    });
    expect(of["word-unknown"]).toEqual({rowsLost: 1, livesMissing: 1, livesInDoubt: 1});
    expect(total).toEqual({rowsLost: 1, livesMissing: 1, livesInDoubt: 1});
  });

  it("a held look at a part that was kept is no life, but the part may not have been good", async () => {
    const {of} = await costs({
      "runs.csv": RUNS,
      "rebuilds.csv": rebuilds(...FITTED, row("2024-02-20", "LINR", "kept", "meh")),
    });
    expect(of["row-incomplete"] ?? of["word-unknown"]).toMatchObject({livesMissing: 0, livesInDoubt: 1});
  });

  it("a held run blurs every part that was in its tool, and none of another tool or another time", async () => {
    const text = RUNS.replace("2,A,2024-02-05,2024-02-09", "2,A,2024-02-15,2024-02-09");
    const {of} = await costs({"runs.csv": text, "rebuilds.csv": rebuilds(...FITTED, row("2024-01-20", "SEAL"))});
    // the second seal and the liner; the first seal was out by then
    expect(of["run-end-before-start"]).toEqual({rowsLost: 1, livesMissing: 0, livesInDoubt: 2});
  });

  it("a doubted run that is used blurs the lives it aged", async () => {
    const text = RUNS.replace("2024-03-09,40,", "2024-03-09,40,30");
    const {of} = await costs({"runs.csv": text, "rebuilds.csv": rebuilds(...FITTED)});
    expect(of["run-hours-order"]).toEqual({rowsLost: 0, livesMissing: 0, livesInDoubt: 2});
  });

  it("what stands twice costs nothing; of two versions of a row no life is missing", async () => {
    const twice = rebuilds(...FITTED, row("2024-02-20", "SEAL"), row("2024-02-20", "SEAL"));
    expect((await costs({"runs.csv": RUNS, "rebuilds.csv": twice})).of["duplicate"]).toEqual({
      rowsLost: 0,
      livesMissing: 0,
      livesInDoubt: 0,
    });
    const versions = rebuilds(...FITTED, row("2024-02-20", "SEAL"), `${row("2024-02-20", "SEAL")}9`);
    expect((await costs({"runs.csv": RUNS, "rebuilds.csv": versions})).of["near-duplicate"]).toMatchObject({
      rowsLost: 1,
      livesMissing: 0,
    });
  });

  it("a part of unknown age is one life, however often it is looked at", async () => {
    const looks = [
      row("2024-02-20", "TIPP", "kept"),
      row("2024-03-20", "TIPP", "kept"),
      row("2024-02-20", "SHFT", "kept"),
      row("2024-03-20", "SHFT"),
    ];
    const {of} = await costs({"runs.csv": RUNS, "rebuilds.csv": rebuilds(...FITTED, ...looks)});
    expect(of["age-unknown"]).toMatchObject({livesMissing: 2});
  });

  it("a question about a whole column costs what rests on the file, and holds what it holds", async () => {
    const serials = RUNS.replaceAll(/2024-(\d\d)-09/g, (_, month: string) =>
      String(45_300 + 30 * Number(month)),
    ).replaceAll(/2024-\d\d-05/g, "");
    expect(
      (await costs({"runs.csv": serials, "rebuilds.csv": rebuilds(...FITTED)})).of["date-serial"]?.livesInDoubt,
    ).toBeGreaterThan(0);
    const totals = runs(
      ...[60, 130, 190, 245].map((h, i) => `${i},A,2024-0${i + 1}-05,2024-0${i + 1}-09,${h},`),
      "9,B,2024-02-05,2024-02-09,40,",
    );
    const {of, total} = await costs({"runs.csv": totals, "rebuilds.csv": rebuilds(...FITTED)});
    expect(of["run-hours-cumulative"]).toMatchObject({rowsLost: 5, livesMissing: 0});
    expect(total.rowsLost).toBe(5);
  });

  it("nobody can tell the lives in a file that is no log, and its rows are counted", async () => {
    const {of} = await costs({
      "runs.csv": RUNS,
      "rebuilds.csv": rebuilds(...FITTED),
      "list.csv": "name,phone\nKV,1\nHT,2\n",
    });
    expect(of["file-log-unknown"]).toEqual({rowsLost: 2, livesMissing: null, livesInDoubt: 0});
  });

  it("a file without a column it needs is lost with every renewal in it", async () => {
    const text = rebuilds(...FITTED).replace("tool", "thing");
    const {of} = await costs({
      "runs.csv": RUNS,
      "rebuilds 2.csv": text,
      "rebuilds.csv": rebuilds(row("2024-01-02", "TIPP")),
    });
    expect(of["header-missing"]).toMatchObject({rowsLost: 3, livesMissing: 3});
  });
});
