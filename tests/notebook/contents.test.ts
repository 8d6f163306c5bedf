import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {Shelf} from "../../src/app/state/Shelf.svelte.ts";
import {SHIPPED} from "../../src/app/sheets.ts";
import {
  arrangePages,
  movePage,
  newPageName,
  pagesOver,
  readContents,
  writeContents,
} from "../../src/notebook/contents.ts";

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

describe("pagesOver(shipped, own, contents)", () => {
  const shipped = ["01-a.md", "02-b.md", "10-c.md"].map((name) => ({name, text: `shipped ${name}`}));

  it("puts an own page in the place of one of the same name, others beside, and leaves out what is left out", () => {
    const own = [
      {name: "02-b.md", text: "own b"},
      {name: "60-mine.md", text: "own mine"},
    ];
    const pages = pagesOver(shipped, own, {order: ["60-mine.md", "01-a.md"], leftOut: ["10-c.md"]});
    expect(pages.map(({text}) => text)).toEqual(["own mine", "shipped 01-a.md", "own b"]);
    expect(pagesOver(shipped, [], NOTHING)).toEqual(shipped);
  });

  it("gives the pages that the app's list of contents gives", () => {
    const names = [...SHIPPED.keys()];
    const own = [
      {name: names[3]!, text: "# Another\n"},
      {name: "60-mine.md", text: "# Mine\n"},
    ];
    const contents = {order: [names[5]!, "60-mine.md", names[0]!], leftOut: [names[7]!]};
    const files = new Map([
      ...own.map(({name, text}) => [`analyses/${name}`, text] as const),
      ["analyses/contents.yaml", writeContents(contents)],
    ]);
    const shelf = new Shelf({
      scope: "own",
      names: [...files.keys()],
      text: (name) => files.get(name) ?? null,
      write: () => Promise.resolve({how: "kept"}),
      remove: () => Promise.resolve({how: "kept"}),
    });
    const listed = shelf.sheets.map(({file}) => ({name: file, text: shelf.textOf(file)}));
    const come = [...SHIPPED].map(([name, text]) => ({name, text}));
    expect(pagesOver(come, own, contents)).toEqual(listed);
  });
});
