import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {arrangePages, movePage, newPageName, readContents, writeContents} from "../../src/notebook/contents.ts";

const NAMES = ["01-a.md", "02-b.md", "10-c.md", "60-mine.md"];
const NOTHING = {order: [], leftOut: []};

describe("the contents", () => {
  it("stand in the order of the file names until someone moves a page", () => {
    expect(arrangePages([...NAMES].reverse(), NOTHING)).toEqual(NAMES);
    const moved = movePage(NAMES, NOTHING, "60-mine.md", "01-a.md");
    expect(arrangePages(NAMES, moved)).toEqual(["60-mine.md", "01-a.md", "02-b.md", "10-c.md"]);
    expect(arrangePages(NAMES, movePage(NAMES, moved, "01-a.md", null)).at(-1)).toBe("01-a.md");
  });

  it("give a page they do not name its place after its neighbour", () => {
    expect(arrangePages([...NAMES, "03-new.md"], {order: ["10-c.md", "02-b.md", "01-a.md"], leftOut: []})).toEqual([
      "10-c.md",
      "60-mine.md",
      "02-b.md",
      "03-new.md",
      "01-a.md",
    ]);
  });

  it("hold every page once, whatever they say, but those left out", () => {
    const some = fc.array(fc.constantFrom(...NAMES, "gone.md"), {maxLength: 6});
    fc.assert(
      fc.property(some, some, (order, leftOut) => {
        const arranged = arrangePages(NAMES, {order, leftOut});
        expect([...arranged].sort()).toEqual(NAMES.filter((name) => !leftOut.includes(name)));
      }),
      {seed: 8, numRuns: 100},
    );
  });

  it("are read back from their file, and a file that says something else changes nothing", () => {
    const contents = {order: ["02-b.md"], leftOut: ["01-a.md"]};
    expect(readContents(writeContents(contents))).toEqual(contents);
    expect(readContents(writeContents(NOTHING))).toEqual(NOTHING);
    for (const text of [null, "", "order: [", "order: 3", "- x"]) expect(readContents(text)).toEqual(NOTHING);
  });

  it("newPageName(title, names) is free in the folder and in the address", () => {
    expect(newPageName("Seals: OBM, 2025", NAMES)).toBe("60-seals-obm-2025.md");
    expect(newPageName("Mine", NAMES)).toBe("60-mine-2.md");
    expect(newPageName("a", NAMES)).toBe("60-a-2.md");
    expect(newPageName("油", [])).toBe("60-page.md");
  });
});
