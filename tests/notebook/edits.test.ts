/** Any page, any change: what was not meant stays as it was, letter by letter. */
import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {followBlocks} from "../../src/notebook/followBlocks.ts";
import {
  duplicateCell,
  insertCell,
  insertProse,
  moveBlock,
  readAnalysis,
  removeBlock,
  replaceCell,
  replaceProse,
  setFront,
  withTail,
  writeAnalysis,
  type Analysis,
} from "../../src/notebook/index.ts";

const TAIL = '<!-- what this page stood on\nkept: "2025-01-01"\n-->\n';

const piece = fc.constantFrom(
  "Words.\n\n",
  "Words without a blank line after\n",
  "## A heading\n\nMore words, with <b>HTML</b> and <!-- a remark -->.\n\n",
  "~~~cell life\ncomponent: seals # why seals\ncolour: red\n~~~\n",
  "````cell  pareto\nrank: money\n~~~\n````\n\n",
  "  ~~~cell nobody\n[not yaml\n  ~~~\n",
  "```js\n~~~cell life\n~~~\n```\n",
  "~~~cell lives\r\nshow: failures\r\n~~~\r\n",
  "- a list\n- of two\n",
);
const ending = fc.constantFrom("", "no line end", "~~~cell life\ncomponent: seals", "```\nopen example");
const head = fc.constantFrom("", "---\ntitle: x\nmine: kept # remark\n---\n", "---\n---\n");
const page = fc
  .tuple(head, fc.array(piece, {maxLength: 6}), ending, fc.constantFrom("", TAIL))
  .map(([front, pieces, end, tail]) => {
    const text = front + pieces.join("") + end;
    return readAnalysis(tail === "" ? text : `${text}${text === "" || text.endsWith("\n") ? "" : "\n"}${tail}`, "a.md");
  });
const bare = (texts: readonly {text: string}[]) => texts.map(({text}) => text.trim()).filter((text) => text !== "");

describe("any change to any page", () => {
  it("is read back from its own text as it is", () => {
    fc.assert(
      fc.property(page, fc.nat(8), fc.nat(8), fc.nat(6), (before, at, to, how) => {
        const after = change(before, at, to, how);
        expect(readAnalysis(writeAnalysis(after), "a.md")).toEqual(after);
        expect([after.head, after.tail.trim()]).toEqual([before.head, before.tail.trim()]);
      }),
      {seed: 21, numRuns: 600},
    );
  });

  it("leaves every other cell's text and order alone", () => {
    fc.assert(
      fc.property(page, fc.nat(8), fc.nat(8), fc.nat(6), (before, at, to, how) => {
        const {blocks} = before;
        if (blocks.length === 0) return;
        const index = at % blocks.length;
        const after = change(before, at, to, how);
        const cells = (analysis: Analysis, without: string | null) =>
          bare(analysis.blocks.filter(({type, text}) => type === "cell" && text.trim() !== without));
        const meant = blocks[index]!.text.trim();
        const others = cells(before, meant);
        // an open cell is closed when something comes after it; a copy, a new cell and the one meant may be there too
        const kept = cells(after, meant).filter((text) => text !== "~~~cell pareto\nrank: rate\n~~~");
        const closed = (text: string) => (/\n *[~`]{3,}$/.test(text) ? text : `${text}\n~~~`);
        const expected = others.map(closed);
        const found = kept.map(closed);
        expect(found.filter((text) => expected.includes(text))).toEqual(
          expected.filter((text) => found.includes(text)),
        );
        expect(expected.every((text) => found.includes(text))).toBe(true);
      }),
      {seed: 22, numRuns: 600},
    );
  });

  it("setFront keeps what the front matter holds besides, and every block", () => {
    fc.assert(
      fc.property(page, fc.constantFrom("New title", "a: b", "# c", "---"), (before, title) => {
        const after = setFront(before, ["title"], title)!;
        expect(after.title).toBe(title);
        expect(bare(after.blocks)).toEqual(bare(before.blocks));
        if (before.head.includes("mine")) expect(after.head).toContain("mine: kept # remark");
      }),
      {seed: 23, numRuns: 200},
    );
  });

  it("withTail keeps the page, and taking the note away gives it back", () => {
    fc.assert(
      fc.property(page, (before) => {
        const kept = withTail(before, TAIL);
        expect(kept.tail).toBe(TAIL);
        expect(kept.blocks.filter(({type}) => type === "cell")).toHaveLength(
          before.blocks.filter(({type}) => type === "cell").length,
        );
        expect(withTail(kept, "").tail).toBe("");
      }),
      {seed: 24, numRuns: 200},
    );
  });
});

function change(page: Analysis, at: number, to: number, how: number): Analysis {
  const {blocks} = page;
  const index = blocks.length === 0 ? 0 : at % blocks.length;
  const block = blocks[index];
  if (block === undefined || how === 0) return insertCell(page, index, "pareto", "rank: rate\n");
  if (how === 1) return insertProse(page, index, "new words\n");
  if (how === 2) return removeBlock(page, index);
  if (how === 3) return moveBlock(page, index, to);
  if (block.type === "prose") return replaceProse(page, index, how === 4 ? "other words" : "```\nopen");
  return how === 4 ? duplicateCell(page, index) : replaceCell(page, index, block.kind, "component: liner\n~~~\n");
}

describe("replaceCell", () => {
  it("keeps the fences as they were written", () => {
    const before = readAnalysis("````cell  pareto \nrank: money\n````   \n", "a.md");
    const text = writeAnalysis(replaceCell(before, 0, "pareto", "rank: rate\n"));
    expect(text).toBe("````cell  pareto \nrank: rate\n````   \n");
  });

  it("gives longer fences to a body that holds its own", () => {
    const before = readAnalysis("~~~cell life\na: 1\n~~~\nend\n", "a.md");
    const after = replaceCell(before, 0, "life", "a: |\n  x\n~~~\n");
    expect(after.blocks.map(({type}) => type)).toEqual(["cell", "prose"]);
    expect(after.blocks[0]).toMatchObject({body: "a: |\n  x\n~~~\n", closed: true});
  });
});

describe("followBlocks(before, ids, after, fresh)", () => {
  const text = "one\n\n~~~cell life\n~~~\n\ntwo\n\n~~~cell pareto\n~~~\n";
  const before = readAnalysis(text, "a.md");
  const ids = ["a", "b", "c", "d"];
  const follow = (after: Analysis) => followBlocks(before.blocks, ids, after.blocks, () => "new");

  it("knows a block that moved, one that changed, a new one and a copy", () => {
    expect(follow(moveBlock(before, 3, 0))).toEqual(["d", "a", "b", "c"]);
    expect(follow(replaceCell(before, 1, "life", "component: seals\n"))).toEqual(["a", "b", "c", "d"]);
    expect(follow(replaceProse(before, 2, "other"))).toEqual(["a", "b", "c", "d"]);
    expect(follow(insertCell(before, 1, "lives", ""))).toContain("new");
    expect(follow(insertCell(before, 1, "lives", "")).filter((id) => id !== "new")).toEqual(
      expect.arrayContaining(["a", "b", "c", "d"]),
    );
    expect(follow(removeBlock(before, 1)).at(-1)).toBe("d");
  });

  it("never gives one id twice", () => {
    fc.assert(
      fc.property(page, fc.nat(8), fc.nat(8), fc.nat(6), (start, at, to, how) => {
        const names = start.blocks.map((_, i) => `b${i}`);
        let made = 0;
        const followed = followBlocks(start.blocks, names, change(start, at, to, how).blocks, () => `n${made++}`);
        expect(new Set(followed).size).toBe(followed.length);
      }),
      {seed: 25, numRuns: 200},
    );
  });
});
