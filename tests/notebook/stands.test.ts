import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {changedGround, compareAnswer} from "../../src/notebook/compareStands.ts";
import {cellKeys} from "../../src/notebook/cellKeys.ts";
import {readAnalysis} from "../../src/notebook/index.ts";
import {askedAlike, keptAnswer, readStands, writeStands, type Stands} from "../../src/notebook/stands.ts";
import {wordChanges} from "../../src/notebook/wordChanges.ts";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {settingDifferences} from "../../shared/settingDifferences.ts";

const STANDS: Stands = {
  kept: "2025-03-01",
  version: "0.1.0",
  units: "metric",
  files: [{name: "runs.csv", rows: 412, digest: "5b1c00"}],
  settings: [{name: "level", value: "0.8"}],
  answers: [{cell: "91ac", says: 'Renew at 120 h: --> "now" --!> or <script>', numbers: "77f0"}],
};

describe("writeStands and readStands", () => {
  it("come back as they were from the end of a page, and close no comment early", () => {
    const tail = writeStands(STANDS);
    expect(tail.match(/--!?>/g)).toEqual(["-->"]);
    const page = readAnalysis(`# Title\n\nWords.\n${tail}`, "a.md");
    expect(page.tail).toBe(tail);
    expect(page.blocks.map(({text}) => text)).toEqual(["# Title\n\nWords.\n"]);
    expect(readStands(page.tail)).toEqual(STANDS);
  });

  it("with the filters and choices under which the answers were asked, where there were any", () => {
    const asked = {where: {fleet: ["Alder"], from: "2024-01-01"}, picks: {tool: "K1-0007"}};
    expect(readStands(writeStands({...STANDS, ...asked}))).toEqual({...STANDS, ...asked});
    expect(writeStands(STANDS)).not.toMatch(/where|picks/);
    expect(askedAlike({}, {where: {fleet: []}, picks: {}})).toBe(true);
    expect(askedAlike({where: {mud: ["OBM", "KCL"]}}, {where: {mud: ["KCL", "OBM"]}})).toBe(true);
    expect(askedAlike(asked, {...asked, picks: {}})).toBe(false);
    expect(askedAlike(asked, {...asked, where: {fleet: ["Alder"]}})).toBe(false);
  });

  it("whatever the cells say", () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), (says, name) => {
        const stands = {
          ...STANDS,
          files: [{name, rows: null, digest: null}],
          answers: [{cell: "x", says, numbers: "y"}],
        };
        const page = readAnalysis(`words\n${writeStands(stands)}`, "a.md");
        expect(readStands(page.tail)).toEqual(stands);
      }),
      {seed: 4, numRuns: 300},
    );
  });

  it.each(["", "<!-- what this page stood on\nkept: [\n-->\n", "<!-- what this page stood on\nnobody: knows\n-->\n"])(
    "give nothing for %j",
    (tail) => expect(readStands(tail)).toBeNull(),
  );

  it("a remark in the words is no note", () => {
    expect(readAnalysis("words\n<!-- mine\n-->\n", "a.md").tail).toBe("");
  });
});

describe("what moved", () => {
  const presentation = {headline: "B10 life 120 h", figures: [], cautions: []};
  const table = (value: number) => [{name: "t", title: "t", columns: [{name: "x", label: "x", values: [value]}]}];
  const now = keptAnswer("a", {...presentation, tables: table(1.23456789)});

  it("is told by the sentence, or by the numbers below it; the last digit of another engine is no change", () => {
    expect(compareAnswer(keptAnswer("a", {...presentation, tables: table(1.23456788)}), now)).toEqual({how: "same"});
    expect(compareAnswer(keptAnswer("a", {...presentation, tables: table(1.3)}), now).how).toBe("below");
    expect(compareAnswer({...now, says: "B10 life 90 h"}, now)).toEqual({
      how: "moved",
      before: "B10 life 90 h",
      now: "B10 life 120 h",
    });
    expect(compareAnswer(undefined, now)).toEqual({how: "new"});
  });

  it("changedGround tells files, settings and version that differ, and nothing when none does", () => {
    expect(changedGround(STANDS, STANDS)).toEqual([]);
    const later = {
      version: "0.2.0",
      files: [
        {name: "runs.csv", rows: 500, digest: "ffff"},
        {name: "runs.more.csv", rows: 1, digest: "aaaa"},
      ],
      settings: [],
    };
    expect(changedGround(STANDS, later)).toEqual([
      {what: "runs.csv", before: "412 rows", now: "500 rows"},
      {what: "settings: level", before: "0.8", now: null},
      {what: "Wearbook", before: "0.1.0", now: "0.2.0"},
      {what: "runs.more.csv", before: null, now: "1 row"},
    ]);
    const touched = {...STANDS, files: [{...STANDS.files[0]!, digest: "0000"}]};
    expect(changedGround(STANDS, touched)).toEqual([
      {what: "runs.csv", before: "412 rows as they were", now: "412 rows, with other content"},
    ]);
  });

  it("wordChanges(text, other) marks the words that the other has not, and joins to the text", () => {
    expect(wordChanges("Renew at 131 h in OBM", "Renew at 120 h in OBM")).toEqual([
      {text: "Renew at ", changed: false},
      {text: "131", changed: true},
      {text: " h in OBM", changed: false},
    ]);
    fc.assert(
      fc.property(fc.lorem({maxCount: 30}), fc.lorem({maxCount: 30}), (a, b) => {
        expect(
          wordChanges(a, b)
            .map(({text}) => text)
            .join(""),
        ).toBe(a.trimEnd());
        expect(wordChanges(a, a).some(({changed}) => changed)).toBe(false);
      }),
      {seed: 6, numRuns: 50},
    );
  });

  it("settingDifferences(settings) names what is not the default", () => {
    expect(settingDifferences(DEFAULT_SETTINGS)).toEqual([]);
    const settings = {
      ...DEFAULT_SETTINGS,
      level: 0.8,
      // what a fleet repeats of what holds for all is no difference
      fleets: {Alder: {components: {SEAL: {failure_cost: 90000, current_interval_h: null}}}},
    };
    expect(settingDifferences(settings)).toEqual([
      {name: "fleets.Alder.components.SEAL.failure_cost", value: "90000", usual: "20000"},
      {name: "level", value: "0.8", usual: "0.9"},
    ]);
  });
});

describe("cellKeys(cells)", () => {
  it("know a cell by what it asks, not by its remarks, spacing or place", () => {
    const cells = (text: string) =>
      readAnalysis(text, "a.md").blocks.flatMap((block) => (block.type === "cell" ? [block] : []));
    const [a, b] = cellKeys(cells("~~~cell life\ncomponent: seals\nat: 100\n~~~\n~~~cell lives\n~~~\n"));
    expect(
      cellKeys(cells("~~~cell lives\n~~~\n\nwords\n\n~~~cell life\n# why\nat:   100\ncomponent: seals\n~~~\n")),
    ).toEqual([b, a]);
    expect(new Set(cellKeys(cells("~~~cell lives\n~~~\n~~~cell lives\n~~~\n~~~cell life\n~~~\n"))).size).toBe(3);
  });
});
