/** A life told with the rows of the log that tell of it. */
import {beforeAll, describe, expect, it} from "vitest";
import {tellLife} from "../../src/cells/tellLife.ts";
import {LIFE_ENDINGS} from "../../src/lives/index.ts";
import {openLogs, type OpenLogs} from "../../src/workspace/openLogs.ts";

const RUNS =
  "run,tool,end,circulating_h,mud,outcome,failed_at_h\nR1,T1,2024-01-06,60,OBM,completed,\nR2,T1,2024-01-14,70,OBM,failed downhole,50\nR3,T1,2024-02-05,40,OBM,completed,\n";
const REBUILDS =
  "tool,date,component,found,mode,ended_run,action\nT1,2024-01-01,SEAL,good,,no,renewed\nT1,2024-01-20,SEAL,failed,SEAL-ABR,yes,renewed\n";

let logs: OpenLogs;
beforeAll(async () => {
  const bytes = (text: string) => new TextEncoder().encode(text);
  const files = [
    {name: "runs.csv", bytes: bytes(RUNS)},
    {name: "rebuilds.csv", bytes: bytes(REBUILDS)},
  ];
  const opened = await openLogs(files, false, () => undefined);
  if (!opened.opened) throw new Error(opened.message);
  logs = opened.logs;
});

describe("tellLife(inputs, row)", () => {
  it("names part, tool, mode, end, and the lines of both files", () => {
    const ended = logs.lives.ending.findIndex((ending) => LIFE_ENDINGS[ending] === "failed in run");
    // the third line of the rebuild log renews the seal; the run that it failed in is the third line of the run log
    expect(tellLife(logs, ended)).toBe(
      "seal of tool T1, SEAL-ABR, failed in run; rebuilds.csv line 3, runs.csv line 3",
    );
  });

  it("leaves out a row that no log has", () => {
    const running = logs.lives.ending.findIndex((ending) => LIFE_ENDINGS[ending] === "still running");
    expect(tellLife(logs, running)).toBe("seal of tool T1, still running; runs.csv line 4");
  });
});
