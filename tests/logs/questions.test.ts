import {describe, expect, it} from "vitest";
import {NO_MAPPING, parseMapping, writeMapping, type Mapping} from "../../shared/mapping.ts";
import {withSynonyms} from "../../shared/vocabulary/index.ts";
import {importLogs, withAnswer, type Logs, type Question} from "../../src/logs/index.ts";
import {bytesOf, rebuilds, runs} from "./logFiles.ts";
import {workbook} from "./workbook.ts";

type Files = Readonly<Record<string, string | Uint8Array>>;

function load(files: Files, mapping: Mapping = {files: {}, synonyms: {}, serials: {}}): Promise<Logs> {
  const given = Object.entries(files).map(([name, content]) => ({
    name,
    bytes: typeof content === "string" ? bytesOf(content) : content,
  }));
  return importLogs(given, {
    answers: mapping.files,
    synonyms: withSynonyms(mapping.synonyms),
    serials: mapping.serials,
  });
}

/** Answers every question: by its proposal, else as told. */
function answered(questions: readonly Question[], answers: readonly string[] = []): Mapping {
  const left = [...answers];
  return questions.reduce<Mapping>(
    (mapping, question) => withAnswer(question, question.proposal ?? left.shift()!, mapping),
    {files: {}, synonyms: {}, serials: {}},
  );
}

interface Case {
  readonly what: string;
  readonly files: Files;
  readonly question: Partial<Question>;
  /** where nothing is proposed */
  readonly answer?: string;
  /** rows used before and after */
  readonly rows: readonly [before: number, after: number];
}

const HEAD = "run,tool,end,circulating_h";

const CASES: readonly Case[] = [
  {
    what: "the order of day and month",
    files: {"runs.csv": `${HEAD}\n1,A,03/04/2024,40\n2,A,05/06/2024,41\n3,A,07/08/2024,42\n4,A,09/10/2024,40\n`},
    question: {
      subject: {kind: "date order"},
      text: "In the dates of runs.csv, which comes first?",
      proposal: "day first",
      examples: ["03/04/2024", "05/06/2024", "07/08/2024"],
      rows: 4,
    },
    rows: [0, 4],
  },
  {
    what: "what a comma sets apart",
    files: {"runs.csv": `${HEAD.replaceAll(",", ";")};pulses\n1;A;2024-03-05;40;1,250\n`.replaceAll(";", "\t")},
    question: {subject: {kind: "decimal mark"}, proposal: null, examples: ["1,250"], rows: 1},
    answer: ".",
    rows: [1, 1],
  },
  {
    what: "an ambiguous mud",
    files: {"runs.csv": `${HEAD},mud\n1,A,2024-03-05,40,NADF\n2,A,2024-03-15,40,nadf\n`},
    question: {
      subject: {kind: "word", of: "mud", word: "NADF", component: null},
      text: 'What does the mud "NADF" mean in runs.csv?',
      proposal: null,
      examples: ["line 2: NADF", "line 3: NADF"],
      rows: 2,
    },
    answer: "SBM",
    rows: [2, 2],
  },
  {
    what: "a part nobody knows, with a proposal for a near word",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,poppit tipp,good,,kept,,")},
    question: {subject: {kind: "word", of: "component", word: "poppit tipp", component: null}, proposal: "TIPP"},
    rows: [0, 1],
  },
  {
    what: "a defect on its part",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,failed,munched,renewed,,")},
    question: {
      subject: {kind: "word", of: "mode", word: "munched", component: "SEAL"},
      text: 'What does the defect "munched" on the seal mean in rebuilds.csv?',
    },
    answer: "SEAL-ABR",
    rows: [1, 1],
  },
  {
    what: "a word outside a closed list",
    files: {"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,good,,zapped,,")},
    question: {subject: {kind: "word", of: "action", word: "zapped", component: null}},
    answer: "renewed",
    rows: [0, 1],
  },
  {
    what: "a column that is missing, with the header that is left",
    files: {"runs.csv": "run,tool,end,pump time\n1,A,2024-03-05,40\n"},
    question: {
      subject: {kind: "column", column: "circulating_h"},
      proposal: "pump time",
      choices: [{value: "pump time", label: "pump time"}],
      examples: ["40"],
      rows: 1,
    },
    rows: [0, 1],
  },
  {
    what: "the unit of a header with a unit nobody knows",
    files: {"runs.csv": `${HEAD},flow (buckets)\n1,A,2024-03-05,40,450\n`},
    question: {subject: {kind: "unit", column: "flow_lpm"}, proposal: null, examples: ["450"]},
    answer: "gpm",
    rows: [1, 1],
  },
  {
    what: "the year from which day numbers are counted",
    files: {"runs.csv": `${HEAD}\n1,A,45321,40\n`},
    question: {
      subject: {kind: "day numbers"},
      proposal: "1900",
      choices: [
        {value: "1900", label: "1900, as most spreadsheets do: 45321 is 2024-01-30"},
        {value: "1904", label: "1904, as old ones for the Mac did: 45321 is 2028-01-31"},
      ],
      examples: ["45321"],
      rows: 1,
    },
    rows: [1, 1],
  },
  {
    what: "two serials that look alike",
    files: {"runs.csv": runs("1,K1-101,,2024-03-05,40,60", "2,K1-101,,2024-03-09,40,60", "3,K1-1O1,,2024-03-19,40,60")},
    question: {
      subject: {kind: "serial", serial: "K1-1O1"},
      text: "Are the tools K1-1O1 and K1-101 one and the same?",
      proposal: null,
      choices: [
        {value: "K1-101", label: "one tool: K1-1O1 is K1-101"},
        {value: "K1-1O1", label: "two different tools: K1-1O1 is right as it stands"},
      ],
    },
    answer: "K1-101",
    rows: [3, 3],
  },
  {
    what: "a serial in two fleets",
    files: {"runs.csv": `${HEAD},fleet\n1,7,2024-03-05,40,Alder\n2,7,2024-03-15,40,Basalt\n`},
    question: {subject: {kind: "serial", serial: "7"}, text: "Is 7, which runs in two fleets, one tool?"},
    answer: "*-7",
    rows: [2, 2],
  },
  {
    what: "percents that may be fractions",
    files: {
      "runs.csv": [`${HEAD},sand [%]`, ...[1, 2, 3, 4, 5].map((i) => `${i},A,2024-0${i}-05,40,0.00${i}`)].join("\n"),
    },
    question: {
      subject: {kind: "unit", column: "sand_pct"},
      proposal: "fraction",
      examples: ["0.001", "0.002", "0.003"],
    },
    rows: [5, 5],
  },
  {
    what: "two headers that are exchanged",
    files: {
      "runs.csv": runs(...[1, 2, 3, 4].map((i) => `${i},A,2024-0${i}-09,2024-0${i}-05,${30 + ((i * 7) % 5)},60`)),
    },
    question: {
      subject: {kind: "exchanged", columns: ["start", "end"], headers: ["start", "end"]},
      text: 'Are the headers "start" and "end" of runs.csv exchanged?',
      proposal: "yes",
      examples: [
        "start 2024-01-09, end 2024-01-05",
        "start 2024-02-09, end 2024-02-05",
        "start 2024-03-09, end 2024-03-05",
      ],
    },
    rows: [0, 4],
  },
  {
    what: "what was found under what was done, and what was done under it",
    files: {
      "rebuilds.csv": [
        "tool,date,component,Action,Found",
        ...[1, 2, 3, 4].map((i) => `A,2024-0${i}-05,SEAL,${i === 2 ? "failed" : "OK"},Replaced`),
      ].join("\n"),
    },
    question: {subject: {kind: "exchanged", columns: ["found", "action"], headers: ["Found", "Action"]}, rows: 4},
    rows: [0, 4],
  },
  {
    what: "the number of a run under the tool, and the tool under it",
    files: {
      "runs.csv": `${HEAD}\n${[1, 2, 3, 4].map((i) => `K1-10${i},${i},2024-0${i}-05,40`).join("\n")}\n`,
      "rebuilds.csv": rebuilds(...[1, 2, 3, 4].map((i) => `R${i},K1-10${i},2024-05-05,SEAL,good,,kept,,`)),
    },
    question: {subject: {kind: "exchanged", columns: ["run", "tool"], headers: ["run", "tool"]}},
    rows: [4, 8],
  },
  {
    what: "a header that is nearly the name of a column",
    files: {"runs.csv": `${HEAD},outcom\n1,A,2024-03-05,40,completed\n`},
    question: {
      subject: {kind: "column", column: "outcome", header: "outcom"},
      proposal: "outcom",
      choices: [
        {value: "outcom", label: "yes"},
        {value: "", label: "no: leave it out"},
      ],
    },
    rows: [1, 1],
  },
  {
    what: "a file that fits neither log",
    files: {"list.csv": "who,number\nKV,1\nHT,2\n"},
    question: {subject: {kind: "log"}, examples: ["who", "number"], rows: 2},
    answer: "none",
    rows: [0, 0],
  },
];

describe("questionsOf(sheets, findings)", () => {
  for (const {what, files, question, answer, rows} of CASES) {
    it(`asks for ${what} once, and never again after the answer`, async () => {
      const before = await load(files);
      expect(before.questions).toHaveLength(1);
      expect(before.questions[0]).toMatchObject(question);
      expect(before.questions[0]?.text).toMatch(/\?$/);
      expect(before.runs.rows + before.rebuilds.rows).toBe(rows[0]);
      const mapping = answered(before.questions, answer === undefined ? [] : [answer]);
      const {mapping: read, findings} = parseMapping(writeMapping(mapping), "mapping.yaml");
      expect([read, findings]).toEqual([mapping, []]);
      const after = await load(files, read);
      expect(after.questions).toEqual([]);
      expect(after.runs.rows + after.rebuilds.rows).toBe(rows[1]);
    });
  }

  it("asks in one round what waits behind a missing column, and behind a file that fits neither log", async () => {
    const rows = Array.from({length: 6}, (_, i) => `${i};A;0${i + 1}/0${i + 2}/2024;${60 + i},5;NADF;450`);
    const missing = {"runs.csv": ["run;tool;end;pump time;mud;flow", ...rows].join("\n")};
    const before = await load(missing);
    expect(before.runs.rows).toBe(0);
    expect(before.questions.map(({subject}) => subject)).toEqual([
      {kind: "column", column: "circulating_h"},
      {kind: "date order"},
      {kind: "unit", column: "flow_lpm"},
      {kind: "word", of: "mud", word: "NADF", component: null},
    ]);
    const after = await load(missing, answered(before.questions, ["SBM"]));
    expect([after.questions, after.runs.rows]).toEqual([[], 6]);
    expect([...after.runs.columns.circulating_h]).toEqual([60.5, 61.5, 62.5, 63.5, 64.5, 65.5]);

    // the defect of a part that is not known yet
    const part = {"rebuilds.csv": rebuilds("R1,A,2024-03-05,poppit tipp,failed,munched,renewed,,")};
    const both = await load(part);
    expect(both.questions.map(({subject}) => subject)).toEqual([
      {kind: "word", of: "component", word: "poppit tipp", component: null},
      {kind: "word", of: "mode", word: "munched", component: "TIPP"},
    ]);
    expect((await load(part, answered(both.questions, ["TIPP-ERO"]))).questions).toEqual([]);

    const neither = {"shop.csv": "tool,what,when,mode,action\nA,munched seal,2024-03-05,munched,zapped\n"};
    const asked = await load(neither);
    expect(asked.questions).toMatchObject([
      {subject: {kind: "log"}, proposal: "rebuilds"},
      {subject: {kind: "column", column: "date"}, proposal: null},
      {subject: {kind: "column", column: "component"}, proposal: null},
      {subject: {kind: "word", of: "action", word: "zapped"}},
    ]);
  });

  it("asks of all exchanged headers of a file at once", async () => {
    const rows = [1, 2, 3, 4].map((i) => `${i},K1-10${i},2024-0${i}-05,2024-0${i}-09,60,${40 + i}`);
    const files = {
      "runs.csv": ["Tool SN,Run No,Run End,Run Start,Circ Hrs,BRT Hrs", ...rows].join("\n"),
      "rebuilds.csv": rebuilds(...[1, 2, 3, 4].map((i) => `R${i},K1-10${i},2024-05-05,SEAL,good,,kept,,`)),
    };
    const before = await load(files);
    expect(before.questions.map(({subject}) => subject)).toMatchObject([
      {kind: "exchanged", columns: ["start", "end"]},
      {kind: "exchanged", columns: ["circulating_h", "below_rotary_h"]},
      {kind: "exchanged", columns: ["run", "tool"]},
    ]);
    const after = await load(files, answered(before.questions));
    expect([after.questions, after.runs.rows]).toEqual([[], 4]);
    expect([...after.runs.columns.circulating_h]).toEqual([41, 42, 43, 44]);
  });

  it("asks of a running total behind a missing column, exchanged headers and dates in an unknown order", async () => {
    const slashed = (n: number): string => {
      const [year, month, date] = new Date(Date.UTC(2024, 0, 1 + n)).toISOString().slice(0, 10).split("-");
      return `${month!}/${date!}/${year!}`;
    };
    // no day above 12: the order shows in nothing but the order of start and end, which are exchanged
    const rows = [0, 1, 2, 3, 4, 5].map((i) => `${i};A;${slashed(31 * i + 2)};${slashed(31 * i + 6)};${60 * (i + 1)}`);
    const files = {"runs.csv": ["run;tool;end;start;meter", ...rows].join("\n")};
    const before = await load(files);
    const kinds = before.questions.map(({subject}) => subject.kind);
    expect(kinds).toContain("column");
    expect(kinds).toContain("totals");
    const after = await load(files, answered(before.questions, ["month first"]));
    expect(after.questions.filter(({subject}) => subject.kind === "totals" || subject.kind === "meter start")).toEqual(
      [],
    );
  });

  it("keeps what a pattern or another month's export has answered beside a new answer", async () => {
    const files = {"runs*.csv": {columns: {"pump time": "circulating_h"}}} as const;
    const june = {"runs 2024-06.csv": "run,tool,end,pump time,mud,flow\n2,A,2024-06-05,41,OBM,450\n"};
    const before = await load(june, {...NO_MAPPING, files});
    expect(before.questions.map(({subject}) => subject)).toEqual([{kind: "unit", column: "flow_lpm"}]);
    const after = await load(june, withAnswer(before.questions[0]!, "gpm", {...NO_MAPPING, files}));
    expect([after.runs.rows, after.questions]).toEqual([1, []]);
  });

  it("remembers that two serials are two tools, and that a header is no column of ours", async () => {
    const files = {"runs.csv": `${HEAD},outcom\n1,K1-101,2024-03-05,40,x\n2,K1-1O1,2024-03-15,40,y\n`};
    const before = await load(files);
    const mapping = before.questions.reduce<Mapping>(
      (answers, question) =>
        withAnswer(question, question.subject.kind === "serial" ? question.subject.serial : "", answers),
      NO_MAPPING,
    );
    expect(mapping.files["runs.csv"]?.columns).toEqual({outcom: null});
    const after = await load(files, mapping);
    expect([after.questions, after.runs.columns.tool.words]).toEqual([[], ["K1-1O1", "K1-101"]]);
  });

  it("asks nothing about a file that says everything", async () => {
    const {questions} = await load({
      "runs.csv": runs("1,A,,2024-03-05,40,60"),
      "rebuilds.csv": rebuilds("R1,A,2024-03-06,SEAL,good,,kept,,"),
    });
    expect(questions).toEqual([]);
  });

  it("holds for the next month's export and for the sheet of a workbook", async () => {
    const may = await load({"runs 2024-05.csv": "run,tool,end,pump time\n1,A,2024-05-05,40\n"});
    const june = await load(
      {"runs 2024-06.csv": "run,tool,end,pump time\n2,A,2024-06-05,41\n"},
      answered(may.questions),
    );
    expect([june.runs.rows, june.questions]).toEqual([1, []]);
    const book = {
      "logs.xlsx": workbook([
        {
          name: "Runs",
          rows: [
            ["run", "tool", "end", "pump time"],
            ["1", "A", "2024-05-05", 40],
          ],
        },
        {name: "x", rows: [["y"]]},
      ]),
    };
    const before = await load(book);
    const after = await load(book, answered(before.questions));
    expect([before.runs.rows, after.runs.rows]).toEqual([0, 1]);
  });

  it("asks about a sheet that is nearly a log, and leaves lists beside it alone", async () => {
    const book = {
      "alder.xlsx": workbook([
        {
          name: "Runs",
          rows: [
            ["run", "tool", "end", "circulating_h"],
            ["1", "A", "2024-05-05", 40],
          ],
        },
        {
          name: "Old",
          rows: [
            ["run", "tool", "mud", "tripped", "pumped"],
            ["9", "A", "OBM", "2023-05-05", 41],
          ],
        },
        {name: "Lists", rows: [["mud"], ["OBM"]]},
      ]),
    };
    const before = await load(book);
    // a stray sheet may be a list: what it is comes first
    expect(before.questions).toMatchObject([
      {file: "alder.xlsx [Old]", subject: {kind: "log"}, proposal: null, rows: 1},
    ]);
    const mapping = answered(before.questions, ["runs"]);
    const columns = await load(book, mapping);
    expect(columns.questions.map(({subject}) => subject)).toEqual([
      {kind: "column", column: "end"},
      {kind: "column", column: "circulating_h"},
    ]);
    const done = ["tripped", "pumped"].reduce((m, value, i) => withAnswer(columns.questions[i]!, value, m), mapping);
    const after = await load(book, done);
    expect([after.runs.rows, after.questions]).toEqual([2, []]);
  });

  it("keeps one word apart on two parts", async () => {
    const files = {
      "rebuilds.csv": rebuilds(
        "R1,A,2024-03-05,SEAL,failed,munched,renewed,,",
        "R1,A,2024-03-05,TIPP,failed,munched,renewed,,",
      ),
    };
    const before = await load(files);
    expect(before.questions.map(({subject}) => subject)).toMatchObject([{component: "SEAL"}, {component: "TIPP"}]);
    const mapping = answered(before.questions, ["SEAL-ABR", "TIPP-ERO"]);
    const {rebuilds: log, questions} = await load(files, mapping);
    expect(questions).toEqual([]);
    expect([0, 1].map((row) => log.columns.mode.words[log.columns.mode.codes[row]!])).toEqual(["SEAL-ABR", "TIPP-ERO"]);
  });

  // found by npm run fuzz: what every object inherits was taken for an answer
  it("keeps a word that every object has a member of", async () => {
    const {questions} = await load({"rebuilds.csv": rebuilds("R1,A,2024-03-05,SEAL,failed,constructor,renewed,,")});
    expect(withAnswer(questions[0]!, "SEAL-ABR").synonyms).toEqual({mode: {constructor: "SEAL-ABR"}});
  });

  it("survives a structured clone", async () => {
    const {questions} = await load({"list.csv": "who,number\nKV,1\n"});
    expect(structuredClone(questions)).toEqual(questions);
  });
});
