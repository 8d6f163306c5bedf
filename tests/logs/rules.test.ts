/**
 * Every rule of the catalogue on a hand-written sheet of a few lines. The sheets show defects of real shop spreadsheets
 * (common practice, no source); `held` and `setAside` say how many rows are lost to the rule, all others are used.
 */
import {describe, expect, it} from "vitest";
import type {Finding} from "../../shared/findings.ts";
import {RULES, type ImportOptions, type RuleId} from "../../src/logs/index.ts";
import {addsUp, byRule, importTexts, rebuilds, runs} from "./logFiles.ts";

interface Case {
  readonly rule: RuleId;
  /** what is promised, when a rule has several cases */
  readonly promise?: string;
  readonly files: Readonly<Record<string, string>>;
  readonly options?: ImportOptions;
  /** the finding, as far as the case is about it */
  readonly finding?: Partial<Finding>;
  /** how many findings of the rule; 1 unless it says otherwise */
  readonly times?: number;
  readonly held?: number;
  readonly setAside?: number;
  readonly repaired?: number;
}

const day = (from: number, count: number): string[] =>
  Array.from({length: count}, (_, i) => new Date(Date.UTC(2024, 0, from + i * 7)).toISOString().slice(0, 10));

/** Weekly runs of one tool, 40 h each. */
const weekly = (tool: string, count: number): string[] =>
  day(2, count).map((end, i) => `${tool}-${i},${tool},,${end} 12:00,40,60`);

const CASES: readonly Case[] = [
  {rule: "file-empty", files: {"runs.csv": ""}},
  {rule: "file-empty", promise: "blank lines only", files: {"runs.csv": "\n\n  \n"}},
  {
    rule: "file-kind",
    promise: "a PDF",
    files: {"runs.csv": "%PDF-1.7 …"},
    finding: {message: "runs.csv is not a table of text but a file of another kind (PDF)"},
  },
  {rule: "file-kind", promise: "a page", files: {"runs.csv": "<!DOCTYPE html><html><body>Sign in</body></html>"}},
  {rule: "file-kind", promise: "bytes", files: {"runs.csv": "\u0001\u0002\u0000\u0003\u0004".repeat(40)}},
  {rule: "file-headers-only", files: {"runs.csv": runs()}},
  {
    rule: "file-log-unknown",
    files: {"list.csv": "name,phone\nKV,1\nHT,2\n"},
    finding: {message: "list.csv fits neither the run log nor the rebuild log; its headers are: name, phone"},
    held: 2,
  },
  {rule: "file-name-contradicts", files: {"rebuilds.csv": runs("1,A,,2024-03-05,40,60")}, finding: {taken: "runs"}},
  {
    rule: "file-encoding",
    promise: "twice-encoded letters are put right",
    files: {"runs.csv": "run,tool,end,circulating_h,T max [Â°C]\n1,A,2024-03-05,40,110\n"},
  },
  {rule: "file-fleet", files: {"runs-alder.csv": runs("1,A,,2024-03-05,40,60")}, finding: {taken: "Alder"}},
  {
    rule: "broken-quote",
    files: {"runs.csv": runs('1,"A,,2024-03-05,40,60', "2,B,,2024-03-06,30,50")},
    finding: {line: 2},
    repaired: 1,
  },
  {
    rule: "title-lines",
    files: {"runs.csv": "Alder run log\nprinted 2024\n" + runs("1,A,,2024-03-05,40,60")},
    finding: {message: "2 lines above the headers were skipped: lines 1, 2"},
  },
  {
    rule: "unit-row",
    files: {
      "runs.csv": "run,tool,end,circulating hours,flow rate,mud weight\n,,,hrs,gpm,ppg\n1,A,2024-03-05,40,450,10.5\n",
    },
  },
  {
    rule: "blank-lines",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60", "", ",,,,,", "2,A,,2024-03-09,30,50")},
    finding: {message: "2 blank lines were skipped: lines 3, 4"},
  },
  {
    rule: "surplus-cells",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60", "2,A,,2024-03-09,30,5,0")},
    finding: {line: 3, found: "0"},
    held: 1,
  },
  {
    rule: "header-missing",
    files: {"runs.csv": "Run,Tool,Out\n1,A,2024-03-05\n"},
    times: 2,
    setAside: 1,
    finding: {message: "runs.csv has no column for end; its headers are: Run, Tool, Out"},
  },
  {
    rule: "header-changed",
    files: {
      "runs.csv":
        "run,tool,end,circulating_h,flow (gpm)\n1,A,2024-03-05,40,450\nrun,tool,end,circulating_h,flow (L/min)\n2,A,2024-03-15,40,1700\n",
    },
    finding: {line: 3},
  },
  {
    rule: "header-rows",
    files: {"runs.csv": "Run,Tool,Run,Circ,Mud,\nNo,Serial,End,Hours,Weight (SG),PV\n1,A,2024-03-05,40,1.2,18\n"},
  },
  {
    rule: "word-position",
    files: {
      "rebuilds.csv": rebuilds("R1,A,2024-03-05,Lip seal #1,good,,kept,,", "R1,A,2024-03-05,Lip seal #2,good,,kept,,"),
    },
  },
  {
    rule: "header-twice",
    files: {"runs.csv": "run,tool,end,circ hrs,circulating_h\n1,A,2024-03-05,41,40\n"},
    finding: {column: "circ hrs", taken: '"circulating_h"'},
  },
  {
    rule: "header-unknown",
    files: {"runs.csv": "run,tool,end,circulating_h,weather\n1,A,2024-03-05,40,dry\n"},
    finding: {column: "weather"},
  },
  {
    rule: "header-unit",
    files: {"runs.csv": "run,tool,end,circulating_h,flow rate [buckets]\n1,A,2024-03-05,40,900\n"},
    finding: {taken: "missing"},
  },
  {
    rule: "header-unit",
    promise: "a required column holds its rows",
    files: {"runs.csv": "run,tool,end,circ hrs [moons]\n1,A,2024-03-05,40\n"},
    held: 1,
  },
  {
    rule: "header-unit-taken",
    files: {"runs.csv": "run,tool,end,circulating_h,mud weight\n1,A,2024-03-05,40,1.25\n2,A,2024-03-09,40,1.31\n"},
    finding: {taken: "SG"},
  },
  {
    rule: "header-unit-assumed",
    files: {"runs.csv": "run,tool,end,circulating_h,yield point\n1,A,2024-03-05,40,14\n"},
    finding: {taken: "Pa"},
  },
  {
    rule: "header-unit-contradicts",
    files: {
      "runs.csv":
        "run,tool,end,circulating_h,mud weight [ppg]\n1,A,2024-03-05,40,1.25\n2,A,2024-03-09,40,1.31\n3,A,2024-03-15,40,1.30\n",
    },
    finding: {taken: "missing"},
  },
  {
    rule: "row-repeats-header",
    files: {
      "runs.csv": runs(
        "1,A,,2024-03-05,40,60",
        "run,tool,start,end,circulating_h,below_rotary_h",
        "2,A,,2024-03-09,30,50",
      ),
    },
    finding: {line: 3},
    setAside: 1,
  },
  {
    rule: "row-total",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60", "Total,,,,40,60", "checked: KV,,,,,")},
    times: 2,
    setAside: 2,
  },
  {
    rule: "row-filled-down",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,good,,kept,,", ",,,LINR,good,,kept,,")},
    finding: {line: 3, taken: "A of line 2"},
    repaired: 1,
  },
  {
    rule: "row-incomplete",
    files: {"runs.csv": runs("1,A,,2024-03-05,,60")},
    finding: {column: "circulating_h"},
    setAside: 1,
  },
  {
    rule: "row-incomplete",
    promise: "a rebuild needs found or mode",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,,,renewed,,")},
    setAside: 1,
  },
  {rule: "cell-spaces", files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL\u00a0,good,,kept,,")}, repaired: 1},
  {
    rule: "cell-formula-text",
    files: {"runs.csv": "run,tool,end,circulating_h,comment\n1,A,2024-03-05,40,=see job file\n"},
  },
  {
    rule: "cell-missing-word",
    files: {"runs.csv": runs("1,A,N/A,2024-03-05,40,-", "2,A,,2024-03-09,30,TBA")},
    times: 2,
    finding: {message: "2 cells of below_rotary_h hold a word for nothing: lines 2, 3"},
  },
  {
    rule: "cell-formula-error",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,#REF!")},
    finding: {taken: "missing"},
    repaired: 1,
  },
  {rule: "cell-unreadable", files: {"runs.csv": runs("1,A,,2024-03-05,40,sixty")}, repaired: 1},
  {
    rule: "cell-unreadable",
    promise: "a required one is held",
    files: {"runs.csv": runs("1,A,,2024-03-05,forty,60")},
    held: 1,
  },
  {
    rule: "number-decimal-comma",
    files: {"runs.csv": "run;tool;end;circulating_h\n1;A;2024-03-05;40,5\n2;A;2024-03-09;30,0\n"},
  },
  {
    rule: "number-decimal-mixed",
    files: {
      "runs.csv": [
        "run;tool;end;circulating_h",
        ...day(2, 12).map((end, i) => `${i};A;${end};${40 + i},5`),
        "99;A;2024-12-01;41.0",
        "",
      ].join("\n"),
    },
    finding: {taken: "41"},
    repaired: 1,
  },
  {rule: "number-thousands", files: {"runs.csv": 'run,tool,end,circulating_h,pulses\n1,A,2024-03-05,40.5,"85,588"\n'}},
  {rule: "number-ambiguous", files: {"runs.csv": "run\ttool\tend\tcirculating_h\n1\tA\t2024-03-05\t1,250\n"}, held: 1},
  {rule: "number-unit", files: {"runs.csv": runs("1,A,,2024-03-05,85 hrs,100")}, finding: {taken: "85 h"}, repaired: 1},
  {
    rule: "number-bound",
    files: {"runs.csv": "run,tool,end,circulating_h,sand_pct\n1,A,2024-03-05,40,<0.1\n"},
    finding: {taken: "0.1 %"},
    repaired: 1,
  },
  {rule: "number-about", files: {"runs.csv": runs("1,A,,2024-03-05,~55,100")}, held: 1},
  {rule: "number-impossible", files: {"runs.csv": runs("1,A,,2024-03-05,-50,100")}, held: 1},
  {
    rule: "number-unit-mixed",
    files: {"runs.csv": "run,tool,end,circulating_h,density [ppg]\n1,A,2024-03-05,40,10.5\n2,A,2024-03-09,40,1.25\n"},
    finding: {line: 3, taken: "missing"},
    repaired: 1,
  },
  {
    rule: "number-unit-mixed",
    promise: "degF under degC",
    files: {"runs.csv": "run,tool,end,circulating_h,max temp [degC]\n1,A,2024-03-05,40,110\n2,A,2024-03-09,40,212\n"},
    finding: {line: 3},
    repaired: 1,
  },
  {
    rule: "number-slip",
    files: {"runs.csv": "run,tool,end,circulating_h,sand [%]\n1,A,2024-03-05,40,15\n"},
    repaired: 1,
  },
  {
    rule: "number-fraction",
    files: {
      "runs.csv": [
        "run,tool,end,circulating_h,sand [%]",
        ...day(2, 6).map((end, i) => `${i},A,${end},40,0.00${i + 1}`),
        "",
      ].join("\n"),
    },
  },
  {rule: "number-unusual", files: {"runs.csv": runs("1,A,2024-03-01,2024-03-25,420,500")}, finding: {line: 2}},
  {
    rule: "number-two-units",
    files: {
      "runs.csv": [
        "run,tool,end,circulating_h,flow (L/min)",
        ...day(2, 12).map((end, i) => `${i},A,${end},40,${i < 4 ? 450 + i : 1700 + 10 * i}`),
        "",
      ].join("\n"),
    },
    times: 4,
    repaired: 4,
    finding: {line: 2, taken: "missing"},
  },
  {
    rule: "failure-at-zero",
    files: {"runs.csv": "run,tool,end,circulating_h,outcome\n1,A,2024-03-05,0,failed\n"},
  },
  {rule: "hours-zero", files: {"runs.csv": runs("1,A,,2024-03-05,0,5")}},
  {
    rule: "date-order",
    promise: "a day above 12 settles the file",
    files: {"runs.csv": runs("1,A,,03/04/24 10:00,40,60", "2,A,,25/04/24 10:00,40,60")},
    finding: {taken: "day first"},
  },
  {
    rule: "date-order-sequence",
    files: {"runs.csv": runs("1,A,03/04/24,04/04/24,20,20", "2,A,05/04/24,10/04/24,40,60")},
    finding: {taken: "day first"},
  },
  {rule: "date-ambiguous", files: {"runs.csv": runs("1,A,,03/04/24,40,60", "2,A,,05/04/24,40,60")}, times: 3, held: 2},
  {rule: "date-serial", files: {"runs.csv": runs("1,A,,45321,40,60")}, finding: {taken: "2024-01-30"}},
  {rule: "date-two-digit-year", files: {"runs.csv": runs("1,A,,25/04/24,40,60")}, finding: {taken: "2024-04-25"}},
  {
    rule: "date-foreign-month",
    files: {"runs.csv": runs("1,A,,31. März 2024 03:00,40,60")},
    finding: {taken: "2024-03-31 03:00"},
  },
  {rule: "date-unreadable", files: {"runs.csv": runs("1,A,,31 Smarch 2024,40,60")}, held: 1},
  {rule: "date-unreadable", promise: "a day that is none", files: {"runs.csv": runs("1,A,,2024-02-30,40,60")}, held: 1},
  {rule: "date-out-of-range", files: {"runs.csv": runs("1,A,,1904-02-20,40,60")}, setAside: 1},
  {
    rule: "date-out-of-range",
    promise: "later than today",
    files: {"runs.csv": runs("1,A,,2031-02-20,40,60")},
    options: {today: Date.UTC(2025, 0, 1)},
    setAside: 1,
  },
  {
    rule: "date-after-clock",
    files: {"runs.csv": runs(...weekly("A", 8))},
    options: {today: Date.UTC(2024, 0, 10)},
    finding: {message: "6 of 8 dates of end lie after 2024-01-10, which this machine takes for today"},
  },
  {
    rule: "hours-in-above-out",
    files: {
      "rebuilds.csv": [
        "tool,date,component,found,action,installed_with_h,hours_on_part",
        "A,2024-03-05,SEAL,good,kept,300,120",
        "A,2024-03-05,LINR,good,kept,100,120",
        "A,2024-03-05,TIPP,good,swapped for a used part,300,120",
      ].join("\n"),
    },
    finding: {line: 2, message: "the part was kept with 120 h on it, and yet went in with 300 h"},
    held: 1,
  },
  {
    rule: "headers-exchanged",
    promise: "start and end",
    files: {"runs.csv": runs(...day(2, 5).map((from, i) => `${i},A,${day(2, 6)[i + 1] ?? ""},${from},40,60`))},
    finding: {
      column: "start",
      message: "5 of 5 rows end before they start: the headers start and end may be exchanged",
    },
    held: 5,
  },
  {
    rule: "headers-exchanged",
    promise: "circulating and below-rotary hours: used as they stand",
    files: {"runs.csv": runs(...weekly("A", 5).map((row) => row.replace(",40,60", ",60,40")))},
    finding: {taken: "as they stand"},
  },
  {rule: "date-zones-mixed", files: {"runs.csv": runs("1,A,,2024-03-05T10:00Z,40,60", "2,A,,2024-03-09 10:00,40,60")}},
  {
    rule: "serial-spacing",
    files: {"runs.csv": runs("1,K1-101,,2024-03-05,40,60", "2, k1-101 ,,2024-03-09,40,60")},
    finding: {line: 3, taken: "K1-101"},
    repaired: 1,
  },
  {
    rule: "serial-spacing",
    promise: "a number that a spreadsheet gave decimals",
    files: {"runs.csv": runs("1,1042,,2024-03-05,40,60", "2,1042.0,,2024-03-09,40,60")},
    finding: {line: 3, taken: "1042"},
    repaired: 1,
  },
  {rule: "serial-scientific", files: {"runs.csv": runs("1,1.2E+05,,2024-03-05,40,60")}, held: 1},
  {
    rule: "serial-alike",
    files: {"runs.csv": runs("1,K1-101,,2024-03-05,40,60", "2,K1-101,,2024-03-09,40,60", "3,K1-1O1,,2024-03-19,40,60")},
    finding: {line: 4},
  },
  {rule: "serial-zeros", files: {"runs.csv": runs("1,00123,,2024-03-05,40,60", "2,123,,2024-03-09,40,60")}},
  {
    rule: "serial-mapped",
    promise: "a tool renamed",
    files: {"runs.csv": runs("1,K1-101,,2024-03-05,40,60", "2,K2-101,,2024-03-19,40,60")},
    options: {serials: {"k1-101": "K2-101"}},
    finding: {taken: "K1-101 → K2-101"},
  },
  {
    rule: "serial-of-fleet",
    files: {
      "runs.csv": "run,tool,end,circulating_h,fleet\n1,7,2024-03-05,40,Alder\n2,7,2024-03-15,40,Basalt\n",
      "rebuilds.Alder.csv": rebuilds("R1,7,2024-03-06,SEAL,good,,kept,,"),
    },
    options: {serials: {"7": "*-7"}},
    times: 2,
  },
  {
    rule: "serial-fleet-unknown",
    files: {
      "runs.csv": "run,tool,end,circulating_h,fleet\n1,7,2024-03-05,40,Alder\n2,7,2024-03-15,40,Basalt\n",
      "rebuilds.csv": rebuilds("R1,7,2024-03-06,SEAL,good,,kept,,"),
    },
    options: {serials: {"7": "*-7"}},
    held: 1,
  },
  {
    rule: "serial-two-fleets",
    files: {"runs.csv": "run,tool,end,circulating_h,fleet\n1,A,2024-03-05,40,Alder\n2,A,2024-03-15,40,Basalt\n"},
  },
  {
    rule: "word-translated",
    files: {"runs.csv": "run,tool,end,circulating_h,mud\n1,A,2024-03-05,40,invert\n"},
    finding: {taken: "invert → OBM"},
  },
  {
    rule: "word-misspelt",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,LINR,failed,erotion,renewed,,")},
    finding: {found: "erotion", taken: "LINR-ERO"},
    repaired: 1,
  },
  {
    rule: "mud-ambiguous",
    files: {"runs.csv": "run,tool,end,circulating_h,mud\n1,A,2024-03-05,40,NADF\n"},
    finding: {found: "NADF", taken: "UNK"},
  },
  {
    rule: "mud-unknown",
    files: {"runs.csv": "run,tool,end,circulating_h,mud\n1,A,2024-03-05,40,porridge\n"},
    finding: {taken: "UNK"},
  },
  {
    rule: "mud-by-properties",
    files: {"runs.csv": "run,tool,end,circulating_h,mud,pv,yp [Pa]\n1,A,2024-03-05,40,KCl,2,0\n"},
    finding: {taken: "BRN"},
  },
  {rule: "mud-no-pulse", files: {"runs.csv": "run,tool,end,circulating_h,mud\n1,A,2024-03-05,40,foam\n"}},
  {
    rule: "component-unknown",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,LINNR,good,,kept,,")},
    finding: {message: 'component "LINNR" is no component we know; did you mean LINR (liner)?'},
    held: 1,
  },
  {
    rule: "mode-unknown",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SHFT,failed,gunked,renewed,,")},
    finding: {taken: "SHFT-UNK"},
  },
  {
    rule: "mode-of-other-part",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,failed,LINR-ERO,renewed,,")},
    finding: {taken: "SEAL-UNK"},
  },
  {
    rule: "mode-several",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,TIPP,failed,erosion / *edge chipped,renewed,,")},
    finding: {taken: "TIPP-CHP"},
  },
  {rule: "word-unknown", files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,good,,pondered,,")}, held: 1},
  {
    rule: "found-inferred",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,,SEAL-REV,renewed,,")},
    finding: {taken: "damaged at service"},
    repaired: 1,
  },
  {
    rule: "found-inferred",
    promise: "a defect in the column of what was found",
    files: {"rebuilds.csv": "tool,date,part,as found,action\nA,2024-03-05,Poppet,edge chipped,new\n"},
    finding: {found: "edge chipped", taken: "failed"},
    repaired: 1,
  },
  {rule: "found-contradicts-mode", files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,TIPP,OK,erosion,kept,,")}},
  {
    rule: "renewal-without-serials",
    files: {
      "rebuilds.csv": rebuilds(
        ...day(2, 6).map((date, i) => `R${i},A,${date},LINR,worn,,renewed,${i === 3 ? "" : `S${i}`},`),
      ),
    },
    finding: {line: 5},
  },
  {rule: "run-end-before-start", files: {"runs.csv": runs("1,A,2024-03-05,2024-03-01,40,60")}, held: 1},
  {rule: "run-longer-than-elapsed", files: {"runs.csv": runs("1,A,2024-03-05 00:00,2024-03-06 00:00,40,60")}, held: 1},
  {
    rule: "run-hours-order",
    promise: "circulating within below rotary",
    files: {"runs.csv": runs("1,A,2024-03-01,2024-03-05,60,40")},
  },
  {
    rule: "run-hours-order",
    promise: "drilling within circulating",
    files: {"runs.csv": "run,tool,end,drilling hours,circulating_h\n1,A,2024-03-05,50,40\n"},
  },
  {
    rule: "run-failure-after-end",
    files: {"runs.csv": "run,tool,end,circulating_h,failed_at_h,outcome\n1,A,2024-03-05,40,55,failed\n"},
    repaired: 1,
  },
  {
    rule: "run-failure-unlike-outcome",
    files: {"runs.csv": "run,tool,end,circulating_h,failed_at_h,outcome\n1,A,2024-03-05,40,35,OK\n"},
  },
  {
    rule: "duplicate",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60", "1,A,,2024-03-05,40,60")},
    finding: {line: 3},
    setAside: 1,
  },
  {
    rule: "overlap",
    promise: "told once for a pair of files, with the count",
    files: {
      "runs-2024a.csv": runs("1,A,,2024-03-05,40,60", "2,A,,2024-03-15,41,61"),
      "runs-2024b.csv": runs("1,A,,2024-03-05,40.0,60", "2,A,,2024-03-15,41,61", "3,A,,2024-03-25,42,62"),
    },
    finding: {
      file: "runs-2024b.csv",
      line: null,
      message: "2 rows say exactly what runs-2024a.csv says and are not counted again: lines 2, 3",
    },
    setAside: 2,
  },
  {
    rule: "overlap",
    promise: "the file with more columns is kept",
    files: {
      "runs-2024a.csv": runs("1,A,,2024-03-05,40,60"),
      "runs-2024b.csv": "run,tool,start,end,circulating_h,below_rotary_h,mud\n1,A,,2024-03-05,40,60,OBM\n",
    },
    finding: {file: "runs-2024a.csv"},
    setAside: 1,
  },
  {
    rule: "changed-between-files",
    promise: "the file that reaches further is used, whichever is given first",
    files: {
      "runs-new.csv": runs("1,A,,2024-03-05,45,60", "2,A,,2024-04-05,40,60"),
      "runs-old.csv": runs("1,A,,2024-03-05,40,60"),
    },
    finding: {
      file: "runs-old.csv",
      line: 2,
      column: "circulating_h",
      message:
        "the row speaks of what line 2 of runs-new.csv speaks of, but differs in circulating_h (45 there, 40 here)",
    },
    held: 1,
  },
  {
    rule: "changed-between-files",
    promise: "of two that reach as far, the one given later",
    files: {"runs-a.csv": runs("1,A,,2024-03-05,40,60"), "runs-b.csv": runs("1,A,,2024-03-05,45,60")},
    finding: {file: "runs-a.csv"},
    held: 1,
  },
  {
    rule: "near-duplicate",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60", "1,A,,2024-03-05,45,60")},
    finding: {line: 3, column: "circulating_h"},
    held: 1,
  },
  {
    rule: "date-out-of-order",
    files: {"runs.csv": runs(...weekly("A", 40), "x,A,,2024-02-01 11:00,1,2")},
    finding: {line: 42},
  },
  {
    rule: "run-overlap-clock",
    files: {
      "runs.csv": runs("1,A,2024-03-01 00:00,2024-03-05 06:00,40,60", "2,A,2024-03-05 04:00,2024-03-08 00:00,40,60"),
    },
    finding: {line: 3, message: "the run begins 2 h before the run of line 2 with the same tool ends"},
  },
  {
    rule: "run-overlap",
    files: {
      "runs.csv": runs("1,A,2024-03-01 00:00,2024-03-05 00:00,40,60", "2,A,2024-03-04 00:00,2024-03-08 00:00,40,60"),
    },
    finding: {line: 3},
  },
  {
    rule: "run-hours-cumulative",
    files: {"runs.csv": runs(...weekly("A", 7).map((row, i) => row.replace(",40,60", `,${40 * (i + 1)},`)))},
    finding: {line: null, column: "circulating_h"},
    held: 7,
  },
  {
    rule: "rebuild-inside-run",
    files: {
      "runs.csv": runs("1,A,2024-03-01,2024-03-09,40,60"),
      "rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,good,,kept,,"),
    },
    finding: {file: "rebuilds.csv", line: 2},
  },
  {
    rule: "rebuild-tool-unknown",
    files: {"runs.csv": runs("1,A,,2024-03-05,40,60"), "rebuilds.csv": rebuilds("R1,B,2024-03-05,SEAL,good,,kept,,")},
  },
  {
    rule: "run-unlogged",
    files: {
      "runs.csv": runs("1,A,2024-02-01,2024-02-05,40,60"),
      "rebuilds.csv": rebuilds("R1,A,2024-01-20,LINR,not inspected,,renewed,,", "R2,A,2024-03-05,LINR,good,,kept,,140"),
    },
    finding: {
      line: 3,
      taken: "40 h",
      message: "the shop counted 140 h on one part of A between 2024-01-20 and 2024-03-05, the run log has 40 h",
    },
  },
  {
    rule: "hours-differ",
    files: {
      "runs.csv": runs("1,A,2024-02-01,2024-02-05,40,60"),
      "rebuilds.csv": rebuilds("R1,A,2024-01-20,LINR,not inspected,,renewed,,", "R2,A,2024-03-05,LINR,good,,kept,,10"),
    },
  },
  {
    rule: "hours-differ",
    promise: "told once where the shop counts by another clock throughout",
    files: {
      "runs.csv": runs(...weekly("A", 60)),
      "rebuilds.csv": rebuilds(...day(3, 60).map((date, i) => `R${i},A,${date},LINR,good,,kept,,${60 * (i + 1)}`)),
    },
    finding: {
      line: null,
      message:
        "between 59 of 59 pairs of rebuilds the shop counted other hours than the run log, typically 1.50 of the run log's: they may be counted by different clocks",
    },
  },
  {
    rule: "part-in-two-tools",
    files: {
      "rebuilds.csv": rebuilds(
        "R1,A,2024-01-20,SHFT,not inspected,,renewed,S-9,",
        "R2,B,2024-02-20,SHFT,worn,,renewed,S-9,",
        "R3,A,2024-03-20,SHFT,good,,kept,S-9,",
        "R4,B,2024-04-20,SHFT,good,,kept,S-9,",
      ),
    },
    finding: {line: 3, found: "S-9", taken: "no serial"},
    repaired: 2,
  },
  {
    rule: "part-moved",
    files: {
      "rebuilds.csv": rebuilds(
        "R1,A,2024-01-20,SHFT,not inspected,,renewed,S-9,",
        "R2,B,2024-02-20,SHFT,worn,,swapped,S-9,",
      ),
    },
    finding: {line: 3, taken: "age unknown"},
  },
];

/** Rules with tests of their own: readLifeTable.test.ts, importLogs.test.ts and swaps.test.ts. */
const ELSEWHERE: readonly string[] = [
  "life-columns",
  "life-status",
  "life-bounds",
  "life-entry",
  "life-count",
  "file-unread",
  // of workbooks and Parquet: tests/logs/xlsx.test.ts, tests/logs/parquet.test.ts
  "sheet-other",
  "xlsx-hidden",
  "xlsx-uncomputed",
  "xlsx-broken",
  "xlsx-misshaped",
  "xlsx-number-text",
  "xlsx-cut",
  "cells-merged",
  "date-serial-based",
  "serials-swapped",
  // of running totals: tests/logs/totals.test.ts
  "total-to-run",
  "total-over-runs",
  "total-first",
  "total-restart",
  "total-unclear",
  "total-misread",
];

describe("importLogs(files)", () => {
  for (const {rule, promise, files, options, finding = {}, times = 1, held = 0, setAside = 0, repaired} of CASES) {
    it(`tells ${rule}${promise === undefined ? "" : ` (${promise})`}: ${RULES[rule].says}`, async () => {
      const {findings, counts, runs: runTable, rebuilds: rebuildTable} = await importTexts(files, options);
      const told = byRule(findings, rule);
      expect(told, JSON.stringify(findings, null, 1)).toHaveLength(times);
      expect(told).toContainEqual(expect.objectContaining({kind: RULES[rule].kind, ...finding}));
      const total = (name: "held" | "setAside" | "repaired" | "read"): number =>
        counts.reduce((sum, count) => sum + count[name], 0);
      expect({held: total("held"), setAside: total("setAside")}).toEqual({held, setAside});
      if (repaired !== undefined) expect(total("repaired")).toBe(repaired);
      expect(counts.every(addsUp)).toBe(true);
      expect(runTable.rows + rebuildTable.rows).toBe(total("read") - held - setAside);
    });
  }

  it("has a test for every rule of the catalogue", () => {
    const shown = new Set([...CASES.map(({rule}) => rule as string), ...ELSEWHERE]);
    expect(Object.keys(RULES).filter((rule) => !shown.has(rule))).toEqual([]);
  });
});
