import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {
  cellText,
  duplicateCell,
  insertCell,
  moveBlock,
  readAnalysis,
  removeBlock,
  replaceCell,
  replaceProse,
  writeAnalysis,
} from "../../src/notebook/index.ts";

const page = readAnalysis("---\ntitle: x\n---\nwords\n\n~~~cell life\ncomponent: seals\n~~~\n\nend\n", "a.md");
const kinds = ({blocks}: typeof page) => blocks.map((block) => (block.type === "cell" ? block.kind : "prose"));

describe("an analysis is changed by giving a new one", () => {
  it("insertCell puts a cell between blocks and leaves the rest as it was", () => {
    const changed = insertCell(page, 1, "pareto", "rank: rate\n");
    expect(kinds(changed)).toEqual(["prose", "pareto", "prose", "life", "prose"]);
    expect(writeAnalysis(changed)).toContain("words\n\n~~~cell pareto\nrank: rate\n~~~\n");
    expect(kinds(page)).toEqual(["prose", "life", "prose"]);
  });

  it("insertCell at the end stands apart from words without a line end", () => {
    const changed = insertCell(readAnalysis("words", "a.md"), 1, "lives", "");
    expect(writeAnalysis(changed)).toBe("words\n\n~~~cell lives\n~~~\n");
  });

  it("replaceCell changes kind and body", () => {
    expect(replaceCell(page, 1, "life", "component: liner").blocks[1]).toMatchObject({
      kind: "life",
      body: "component: liner\n",
    });
    expect(() => replaceCell(page, 0, "life", "")).toThrow("no cell at block 0");
  });

  it("replaceProse, removeBlock, duplicateCell and moveBlock do what they say", () => {
    expect(replaceProse(page, 0, "other").blocks[0]!.text).toBe("other\n");
    expect(kinds(removeBlock(page, 1))).toEqual(["prose"]);
    expect(kinds(duplicateCell(page, 1)).filter((kind) => kind === "life")).toHaveLength(2);
    expect(kinds(moveBlock(page, 1, 0))).toEqual(["life", "prose"]);
  });

  it("cellText(kind, body) reads back as that cell, whatever the body", () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom("a: 1", "~~~", "~~~~~", "```", "")), (lines) => {
        const body = lines.map((line) => `${line}\n`).join("");
        const {blocks} = readAnalysis(cellText("life", body), "a.md");
        expect(blocks).toHaveLength(1);
        expect(blocks[0]).toMatchObject({type: "cell", kind: "life", body, closed: true});
      }),
      {seed: 3, numRuns: 200},
    );
  });
});
