import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {readAnalysis, writeAnalysis} from "../../src/notebook/index.ts";

const PAGE = `---
title: Seals
question: "Seals: when do we renew them?"
where:
  fleet: [Alder, Cobalt]
  mud: oil based mud, KCl
  regime: high flow
  from: 2024-01-01
---
Words before.

~~~cell life
component: seals
~~~

Words after.
`;

describe("readAnalysis(markdown, name)", () => {
  it("reads title, question and filters, shop words taken for codes", () => {
    const analysis = readAnalysis(PAGE, "02-seals.md");
    expect(analysis).toMatchObject({
      name: "02-seals.md",
      title: "Seals",
      question: "Seals: when do we renew them?",
      where: {fleet: ["Alder", "Cobalt"], mud: ["OBM", "KCL"], regime: ["high"], from: "2024-01-01"},
      problems: [],
    });
  });

  it("takes the section of the contents it asks for, and names those there are when it knows none", () => {
    expect(readAnalysis("---\nsection: bench\n---\n", "a.md")).toMatchObject({section: "Bench", problems: []});
    expect(readAnalysis("Words.\n", "a.md").section).toBeNull();
    expect(readAnalysis("---\ntitle: x\nsection: shed\n---\n", "a.md")).toMatchObject({
      section: null,
      problems: [
        {line: 3, message: "no section is called “shed”", remedy: "accepted: Fleet, Parts, Bench, Review, Logs"},
      ],
    });
  });

  it("gives every block its line, and a cell its kind and body", () => {
    const [before, cell, after] = readAnalysis(PAGE, "a.md").blocks;
    expect(before).toMatchObject({type: "prose", line: 10, text: "Words before.\n\n"});
    expect(cell).toMatchObject({
      type: "cell",
      line: 12,
      bodyLine: 13,
      kind: "life",
      body: "component: seals\n",
      closed: true,
    });
    expect(after).toMatchObject({type: "prose", line: 15});
  });

  it("takes a cell in backticks, with another sign or fewer signs inside", () => {
    const [cell] = readAnalysis("````cell pareto\nx: |\n  ~~~\n  ```\n````\n", "a.md").blocks;
    expect(cell).toMatchObject({type: "cell", kind: "pareto", body: "x: |\n  ~~~\n  ```\n", closed: true});
  });

  it("leaves a cell that stands as an example in another fence alone", () => {
    const {blocks} = readAnalysis("````\n~~~cell life\n~~~\n````\n", "a.md");
    expect(blocks.map(({type}) => type)).toEqual(["prose"]);
  });

  it("says that a cell is not closed, and keeps its text", () => {
    const [cell] = readAnalysis("~~~cell life\ncomponent: seals", "a.md").blocks;
    expect(cell).toMatchObject({type: "cell", closed: false, body: "component: seals"});
  });

  it("names mistakes in the front matter with their line, and reads the rest", () => {
    const {problems, title, where} = readAnalysis(
      "---\ntitle: x\nwhere:\n  mud: OMB2\n  from: 2024-02-31\n  colour: red\n  fleet: A\nowner: me\n---\n",
      "a.md",
    );
    expect(title).toBe("x");
    expect(where).toEqual({fleet: ["A"]});
    expect(problems.map(({line}) => line)).toEqual([4, 5, 6, 8]);
    expect(problems[1]!.message).toContain("2024-02-31");
    expect(problems[2]!.remedy).toContain("regime");
  });

  it("says where front matter stops being YAML", () => {
    const {problems} = readAnalysis("---\ntitle: [x\n---\n", "a.md");
    expect(problems[0]!.message).toContain("not YAML");
  });

  it("takes the title from a heading, then from the file name", () => {
    expect(readAnalysis("# Poppet tip\n", "05-tip.md").title).toBe("Poppet tip");
    expect(readAnalysis("words\n", "04-wear-band.md").title).toBe("wear band");
  });

  it("of an empty file is an empty analysis", () => {
    expect(readAnalysis("", "a.md")).toMatchObject({blocks: [], head: "", problems: []});
  });
});

describe("writeAnalysis(readAnalysis(text)) is the text", () => {
  const line = fc.constantFrom(
    "---",
    "~~~",
    "~~~cell life",
    "```cell pareto",
    "```",
    "````",
    "component: seals",
    "",
    "  ~~~",
    "title: x",
    "where:",
    "words ~~~ here",
    "\uFEFF---",
    "`````cell a b",
  );
  const text = fc
    .array(fc.tuple(line, fc.constantFrom("\n", "\r\n", "\n\n", "")))
    .map((lines) => lines.flat().join(""));

  it("for any mixture of fences, front matter and line ends", () => {
    fc.assert(
      fc.property(text, (markdown) => {
        const analysis = readAnalysis(markdown, "a.md");
        expect(writeAnalysis(analysis)).toBe(markdown);
        expect(readAnalysis(writeAnalysis(analysis), "a.md")).toEqual(analysis);
      }),
      {seed: 7, numRuns: 400},
    );
  });

  it("for any text at all", () => {
    fc.assert(
      fc.property(fc.string({unit: "binary"}), (markdown) => {
        expect(writeAnalysis(readAnalysis(markdown, "a.md"))).toBe(markdown);
      }),
      {seed: 7, numRuns: 300},
    );
  });
});
