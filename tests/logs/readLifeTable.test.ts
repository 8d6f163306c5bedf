import {describe, expect, it} from "vitest";
import {readLifeTable, type ReadyLives} from "../../src/logs/index.ts";
import {addsUp, bytesOf} from "./logFiles.ts";

function read(text: string): Promise<ReadyLives> {
  return readLifeTable({name: "lives.csv", bytes: bytesOf(text)});
}

describe("readLifeTable(file)", () => {
  it("reads time, status and count, and keeps the other columns", async () => {
    const lives = await read(
      "Time (h),Status,n,fleet,sand\n410,failed,2,Alder,0.3\n655,suspended,,Basalt,\n700,0,1,Alder,0.5\n",
    );
    expect(lives.findings).toEqual([]);
    expect([...lives.lower]).toEqual([410, 655, 700]);
    expect([...lives.upper]).toEqual([410, Infinity, Infinity]);
    expect([...lives.count]).toEqual([2, 1, 1]);
    expect([...lives.entry]).toEqual([0, 0, 0]);
    expect(lives.columns["fleet"]).toEqual({codes: Int32Array.of(0, 1, 0), words: ["Alder", "Basalt"]});
    expect(lives.columns["sand"]).toEqual(Float64Array.of(0.3, NaN, 0.5));
  });

  it("reads a table of times alone as failures", async () => {
    const lives = await read("time\n5\n7\n");
    expect([...lives.upper]).toEqual([5, 7]);
  });

  it("reads bounds: equal exact, no upper suspended, no lower left-censored, both an interval", async () => {
    const lives = await read("lower,upper,entry,mode\n10,10,,ERO\n20,,,\n,5,,\n30,40,12,ERO\n8,inf,,\n");
    expect([...lives.lower]).toEqual([10, 20, 0, 30, 8]);
    expect([...lives.upper]).toEqual([10, Infinity, 5, 40, Infinity]);
    expect([...lives.entry]).toEqual([0, 0, 0, 12, 0]);
    expect([...lives.mode.codes]).toEqual([0, -1, -1, 0, -1]);
    expect([...lives.line]).toEqual([2, 3, 4, 5, 6]);
  });

  it("reads semicolons and decimal commas", async () => {
    const lives = await read("time;status\n10,5;failed\n20,25;suspended\n");
    expect([...lives.lower]).toEqual([10.5, 20.25]);
  });

  const refused: readonly (readonly [why: string, text: string, rule: string])[] = [
    ["a negative age", "time,status\n-3,failed\n", "life-bounds"],
    ["an age of 0", "time,status\n0,failed\n", "life-bounds"],
    ["an infinite age", "time,status\ninf,failed\n", "life-bounds"],
    ["no age", "time,status\n,failed\n", "row-total"],
    ["lower above upper", "lower,upper\n9,8\n", "life-bounds"],
    ["a negative lower", "lower,upper\n-1,8\n", "life-bounds"],
    ["bounds that say nothing", "lower,upper\n0,inf\n", "life-bounds"],
    ["a failure without upper", "lower,upper,status\n5,,failed\n", "life-bounds"],
    ["an interval with one age", "time,status\n5,interval\n", "life-bounds"],
    ["entry at the end", "time,status,entry\n5,failed,5\n", "life-entry"],
    ["entry beyond the age", "time,status,entry\n5,suspended,6\n", "life-entry"],
    ["a negative entry", "time,status,entry\n5,failed,-1\n", "life-entry"],
    ["an infinite count", "time,status,count\n5,failed,inf\n", "life-count"],
    ["a count of 0", "time,status,count\n5,failed,0\n", "life-count"],
    ["an unknown status", "time,status\n5,perhaps\n", "life-status"],
    // survival's lung data code 1 = censored, 2 = dead: 2 is asked about, never guessed
    ["a status of 2", "time,status\n5,2\n", "life-status"],
    ["no column of ages", "status,count\nfailed,1\n", "life-columns"],
  ];
  for (const [why, text, rule] of refused) {
    it(`refuses ${why} with a finding`, async () => {
      const lives = await read(text);
      expect(lives.rows).toBe(0);
      expect(lives.findings.map((finding) => finding.rule)).toContain(rule);
      expect(addsUp(lives.counts)).toBe(true);
      expect(lives.counts.read).toBe(1);
    });
  }

  it("tells a workbook that is none", async () => {
    const lives = await readLifeTable({name: "lives.xlsx", bytes: Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0)});
    expect(lives.findings.map(({rule}) => rule)).toEqual(["file-unread"]);
  });
});
