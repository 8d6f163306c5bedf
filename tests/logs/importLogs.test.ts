import {describe, expect, it} from "vitest";
import {wordAt} from "../../shared/columnar.ts";
import {importLogs} from "../../src/logs/index.ts";
import {addsUp, bytesOf, byRule, importTexts, rebuilds, runs} from "./logFiles.ts";

const HEADER = "run,tool,end,circulating_h";

describe("importLogs(files)", () => {
  it("converts every unit that a header names, by definition", async () => {
    const {runs: table, findings} = await importTexts({
      "runs.csv": [
        "Run No,Tool SN,Run End,Circ Hrs,MW [ppg],Flow (gpm),Collar bore (in),Max Temp (degF),MD (ft),YP (lb/100ft2),PV (cP),LCM (lb/bbl),Fleet",
        "1,A,2024-03-05,40,10,450,3.25,212,10000,20,18,10,X",
      ].join("\n"),
    });
    expect(findings).toEqual([]);
    const {columns} = table;
    // factors of NIST SP 811, appendix B
    expect(columns.density_kgm3[0]).toBeCloseTo(1198.264273, 5);
    expect(columns.flow_lpm[0]).toBeCloseTo(1703.4353028, 6);
    expect(columns.bore_mm[0]).toBeCloseTo(82.55, 10);
    expect(columns.temperature_max_C[0]).toBeCloseTo(100, 10);
    expect(columns.depth_m[0]).toBeCloseTo(3048, 10);
    expect(columns.yp_Pa[0]).toBeCloseTo(9.57605, 4);
    expect(columns.pv_mPas[0]).toBe(18);
    expect(columns.lcm_kgm3[0]).toBeCloseTo(28.53, 2);
  });

  it("sorts runs by tool and end, rebuilds by tool, date and file order, numbers in serials by value", async () => {
    const {runs: table, rebuilds: log} = await importTexts({
      "runs.csv": runs("3,T10,,2024-03-05,40,60", "2,T9,,2024-03-09,40,60", "1,T9,,2024-03-01,40,60"),
      "rebuilds.csv": rebuilds(
        "R2,T9,2024-04-02,LINR,good,,kept,,",
        "R1,T9,2024-04-01,SEAL,good,,kept,,",
        "R1,T9,2024-04-01,BAND,good,,kept,,",
      ),
    });
    expect([...table.line]).toEqual([4, 3, 2]);
    expect([...log.line]).toEqual([3, 4, 2]);
    expect(wordAt(table.file, 0)).toBe("runs.csv");
  });

  it("merges files of one log and keeps where each row came from", async () => {
    const {runs: table, counts} = await importTexts({
      "runs-alder.csv": `${HEADER}\n1,A,2024-03-05,40\n`,
      "runs-basalt.csv": "Run;Serial;Out;Circ h\n1;B;05.03.2024;40,5\n2;B;25.03.2024;41,5\n".replace("Out", "Run End"),
    });
    expect(table.rows).toBe(3);
    expect([0, 1, 2].map((row) => wordAt(table.columns.fleet, row))).toEqual(["Alder", "Basalt", "Basalt"]);
    expect([0, 1, 2].map((row) => wordAt(table.file, row))).toEqual([
      "runs-alder.csv",
      "runs-basalt.csv",
      "runs-basalt.csv",
    ]);
    expect([...table.columns.circulating_h]).toEqual([40, 40.5, 41.5]);
    expect(counts.map(({read, accepted}) => [read, accepted])).toEqual([
      [1, 1],
      [2, 2],
    ]);
  });

  it("recognises a log by its headers where its name says nothing", async () => {
    const {runs: table, rebuilds: log} = await importTexts({
      "export1.csv": runs("1,A,,2024-03-05,40,60"),
      "export2.csv": rebuilds("R1,A,2024-04-01,SEAL,good,,kept,,"),
    });
    expect([table.rows, log.rows]).toEqual([1, 1]);
  });

  it("leaves missing what is missing: NaN, -1, no word", async () => {
    const {runs: table, rebuilds: log} = await importTexts({
      "runs.csv": runs("1,A,,2024-03-05,40,"),
      "rebuilds.csv": rebuilds("R1,A,2024-04-01,SEAL,good,,kept,,"),
    });
    expect(table.columns.below_rotary_h[0]).toBeNaN();
    expect(table.columns.start[0]).toBeNaN();
    expect(table.columns.mud.codes[0]).toBe(-1);
    expect(log.columns.ended_run[0]).toBe(-1);
  });

  it("reads shop words, flags and codes of a rebuild", async () => {
    const {rebuilds: log} = await importTexts({
      "rebuilds.csv": [
        "tool,date,item,as found,defect,caused failure,work done",
        "A,2024-04-01,LIP SEAL,FAILED,fitted backwards,yes,Replaced",
        "A,2024-04-01,wear band,OK,,no,Reused",
        "A,2024-04-01,Liner,SHOP DAMAGE,cracked by vice,,Fitted used",
      ].join("\n"),
    });
    const {component, found, mode, ended_run, action} = log.columns;
    expect([0, 1, 2].map((row) => [component, found, mode, action].map((column) => wordAt(column, row)))).toEqual([
      ["SEAL", "failed", "SEAL-REV", "renewed"],
      ["BAND", "good", null, "kept"],
      ["LINR", "damaged at service", "LINR-CLM", "swapped for a used part"],
    ]);
    expect([...ended_run]).toEqual([1, 0, -1]);
  });

  it("reads each block by its own headers where they change down the sheet", async () => {
    const {runs: table, counts} = await importTexts({
      "runs.csv":
        "run,tool,end,circulating_h,flow (gpm)\n1,A,2024-03-05,40,450\nrun,tool,end,circulating_h,flow (L/min)\n2,A,2024-03-15,40,1700\n",
    });
    expect(table.columns.flow_lpm[0]).toBeCloseTo(1703.435, 2);
    expect(table.columns.flow_lpm[1]).toBe(1700);
    expect([...table.line]).toEqual([2, 4]);
    expect(counts).toEqual([{file: "runs.csv", log: "runs", read: 2, accepted: 2, repaired: 0, held: 0, setAside: 0}]);
  });

  it("keeps two seals of one tool apart by what stands behind the word", async () => {
    const {rebuilds: log} = await importTexts({
      "rebuilds.csv": rebuilds("R1,A,2024-03-05,Lip seal #1,good,,kept,,", "R1,A,2024-03-05,Lip seal #2,good,,kept,,"),
    });
    expect([0, 1].map((row) => wordAt(log.columns.position, row))).toEqual(["1", "2"]);
  });

  const CAFE = `run,tool,end,circulating_h,comment\n1,A,2024-03-05,40,na\u00efve caf\u00e9\n`;
  const encodings: readonly (readonly [what: string, bytes: Uint8Array, told: boolean])[] = [
    ["UTF-8", bytesOf(CAFE), false],
    ["UTF-8 with a byte order mark", bytesOf(`\ufeff${CAFE}`), false],
    ["the Western code page", Uint8Array.from(CAFE, (letter) => letter.charCodeAt(0)), true],
    [
      "UTF-16 with a byte order mark",
      new Uint8Array(Uint16Array.from(`\ufeff${CAFE}`, (letter) => letter.charCodeAt(0)).buffer),
      false,
    ],
    ["UTF-16 without one", new Uint8Array(Uint16Array.from(CAFE, (letter) => letter.charCodeAt(0)).buffer), false],
  ];
  for (const [what, bytes, told] of encodings) {
    it(`reads ${what}`, async () => {
      const {runs: table, findings} = await importLogs([{name: "runs.csv", bytes}]);
      expect(wordAt(table.columns.comment, 0)).toBe("naïve café");
      expect(wordAt(table.columns.run, 0)).toBe("1");
      expect(byRule(findings, "file-encoding")).toHaveLength(told ? 1 : 0);
    });
  }

  for (const delimiter of [",", ";", "\t", "|"]) {
    for (const newline of ["\n", "\r\n", "\r"]) {
      it(`settles the delimiter ${JSON.stringify(delimiter)} and line ends ${JSON.stringify(newline)} by evidence`, async () => {
        const text = runs("1,A,2024-03-01,2024-03-05,40,60", "2,A,2024-03-06,2024-03-09,40,60")
          .replaceAll(",", delimiter)
          .replaceAll("\n", newline);
        const {runs: table} = await importTexts({"runs.csv": text});
        expect([...table.line]).toEqual([2, 3]);
      });
    }
  }

  it("keeps apart what differs: two tools, two dates, one number", async () => {
    const {runs: table, findings} = await importTexts({
      "runs.csv": runs(
        "1,A,2024-01-01,2024-01-05,40,60",
        "1,A,2024-06-01,2024-06-05,40,60",
        "1,B,2024-01-01,2024-01-05,40,60",
      ),
    });
    expect(table.rows).toBe(3);
    expect(findings).toEqual([]);
  });

  it("takes answers over evidence", async () => {
    const text = "run,tool,end,circulating_h,weight,slot\n1,A,03/04/24,40,10,x\n";
    const asked = await importTexts({"runs.csv": text});
    expect(asked.runs.rows).toBe(0);
    const {runs: table, findings} = await importTexts(
      {"runs.csv": text},
      {
        answers: {
          "runs.csv": {dateOrder: "month first", units: {density_kgm3: "ppg"}, columns: {slot: null}, fleet: "North"},
        },
      },
    );
    expect(new Date(table.columns.end[0]!).toISOString().slice(0, 10)).toBe("2024-03-04");
    expect(table.columns.density_kgm3[0]).toBeCloseTo(1198.26, 2);
    expect(wordAt(table.columns.fleet, 0)).toBe("North");
    expect(byRule(findings, "header-unknown")).toEqual([]);
  });

  it("gives the same result again, whatever the order of files", async () => {
    const files = {
      "runs-a.csv": runs("1,A,2024-01-01,2024-01-05,40,60"),
      "rebuilds.csv": rebuilds("R1,A,2024-04-01,SEAL,good,,kept,,"),
    };
    const [there, back] = await Promise.all([
      importTexts(files),
      importTexts(Object.fromEntries(Object.entries(files).reverse())),
    ]);
    expect(back!.runs).toEqual(there!.runs);
    expect(back!.rebuilds).toEqual(there!.rebuilds);
  });

  it("keeps the other files when one cannot be read at all", async () => {
    const gone = {
      name: "runs-gone.csv",
      get bytes(): Uint8Array {
        throw new RangeError("the bytes are gone");
      },
    };
    const {
      runs: table,
      findings,
      counts,
    } = await importLogs([gone, {name: "runs.csv", bytes: bytesOf(runs("1,A,,2024-03-05,40,60"))}]);
    expect(table.rows).toBe(1);
    expect(byRule(findings, "file-unread")).toHaveLength(1);
    expect(counts).toHaveLength(2);
    expect(counts.every(addsUp)).toBe(true);
  });

  it("imports no files as empty tables", async () => {
    const {runs: table, rebuilds: log, findings, counts} = await importLogs([]);
    expect([table.rows, log.rows, findings.length, counts.length]).toEqual([0, 0, 0, 0]);
  });
});
