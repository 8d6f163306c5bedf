/** A page under change: what is kept when, what another tab did, what a reload loses (nothing). */
import {afterEach, beforeEach, describe, expect, it, vi} from "vitest";
import type {WriteAnswer} from "../../src/app/state/KeptFiles.ts";
import {PageDesk} from "../../src/app/state/PageDesk.svelte.ts";
import {duplicateCell, moveBlock, replaceProse} from "../../src/notebook/index.ts";

const PAGE = "# Seals\n\n~~~cell life\ncomponent: seals\n~~~\n";
const TAIL = '<!-- what this page stood on\nkept: "2025-01-01"\n-->\n';

let kept: string;
let writes: string[];
/** what the browser says to the next changes, other than that it keeps them */
let answers: WriteAnswer[];

function desk(scope: string | null = "own"): PageDesk {
  const made = new PageDesk("60-a.md", kept, {
    scope,
    kept: () => kept,
    keep: (text) => {
      const answer = answers.shift();
      if (answer?.how === "refused") kept = answer.other;
      if (answer !== undefined) return Promise.resolve(answer);
      kept = text;
      writes.push(text);
      return Promise.resolve({how: "kept"});
    },
  });
  made.hear(kept);
  return made;
}

const write = (page: PageDesk, words: string) =>
  page.change((analysis) => replaceProse(analysis, 0, words), "changed words", "words");

beforeEach(() => {
  vi.useFakeTimers();
  kept = PAGE;
  writes = [];
  answers = [];
  const store = new Map<string, string>();
  vi.stubGlobal("sessionStorage", {
    getItem: (key: string) => store.get(key) ?? null,
    setItem: (key: string, value: string) => void store.set(key, value),
    removeItem: (key: string) => void store.delete(key),
  });
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe("PageDesk", () => {
  it("keeps a change once it is settled, and a step back like a change", async () => {
    const page = desk();
    write(page, "# S\n\n");
    write(page, "# Se\n\n");
    expect(writes).toEqual([]);
    await vi.advanceTimersByTimeAsync(400);
    expect(writes).toEqual([PAGE.replace("Seals", "Se")]);
    expect([page.settled, page.last]).toEqual([true, "changed words"]);
    page.undo();
    await vi.advanceTimersByTimeAsync(400);
    expect(kept).toBe(PAGE);
    expect([page.last, page.next]).toEqual([null, "changed words"]);
  });

  it("keeps nothing while nothing was changed", async () => {
    const page = desk();
    page.flush();
    await vi.advanceTimersByTimeAsync(1000);
    expect(writes).toEqual([]);
  });

  it("puts what is being typed into the page before it steps back or keeps", () => {
    const page = desk();
    page.typing(() => write(page, "# typed\n\n"));
    page.flush();
    expect(kept).toContain("# typed");
  });

  // a page loaded again within a moment of being kept took its own earlier text for a change upon the other tab's
  it("does not take what it kept just before a reload for a change of what another tab made of it", async () => {
    write(desk(), "# Mine\n\n");
    await vi.advanceTimersByTimeAsync(400);
    kept = kept.replace("# Mine", "# Mine\n\nTheirs upon it.");
    const both = kept;
    for (let loads = 0; loads < 2; loads++) {
      const again = desk();
      expect(again.text).toBe(both);
      expect(again.clash).toBeNull();
      await vi.advanceTimersByTimeAsync(400);
    }
    expect(kept).toBe(both);
  });

  it("keeps asking after reloads where what was typed and not kept meets another tab's change of the same", () => {
    write(desk(), "# Mine\n\n");
    kept = kept.replace("# Seals", "# Theirs");
    for (let loads = 0; loads < 2; loads++) {
      const again = desk();
      expect(again.clash?.theirs).toBe(kept);
      expect(again.text).toContain("# Mine");
    }
    expect(kept).toContain("# Theirs");
  });

  it("finds again what was typed in the moment before a reload", () => {
    write(desk(), "# half a wo");
    const again = desk();
    expect(again.text).toContain("# half a wo");
    expect(again.clash).toBeNull();
    again.undo();
    expect(again.text).toBe(PAGE);
  });

  it("and when another tab kept something else meanwhile, shows both", () => {
    write(desk(), "# mine\n\n");
    kept = PAGE.replace("Seals", "theirs");
    const again = desk();
    expect(again.text).toContain("# mine");
    expect(again.clash?.theirs).toContain("# theirs");
  });

  it("follows another tab when it has nothing unkept of its own; what nobody changed has nothing to take back", async () => {
    const reader = desk();
    reader.hear(PAGE.replace("Seals", "theirs"));
    expect([reader.text, reader.last, reader.followed]).toEqual([PAGE.replace("Seals", "theirs"), null, false]);
    kept = PAGE;
    const writer = desk();
    write(writer, "# mine\n\n");
    await vi.advanceTimersByTimeAsync(400);
    writer.hear(PAGE.replace("Seals", "theirs"));
    expect([writer.last, writer.followed]).toEqual(["changed in another tab", true]);
    writer.undo();
    expect(writer.text).toContain("# mine");
  });

  describe("when two tabs change one page at once", () => {
    function clashing(): PageDesk {
      const page = desk();
      write(page, "# mine\n\n");
      kept = PAGE.replace("Seals", "theirs");
      page.hear(kept);
      return page;
    }

    it("overwrites nothing, whatever time passes and whatever is typed on", async () => {
      const page = clashing();
      write(page, "# mine still\n\n");
      await vi.advanceTimersByTimeAsync(5000);
      expect([writes, page.clash?.theirs]).toEqual([[], PAGE.replace("Seals", "theirs")]);
    });

    it("keeps this one's on demand, and the other's is one step back", () => {
      const page = clashing();
      page.keepMine();
      expect(kept).toContain("# mine");
      page.undo();
      expect(page.text).toContain("# theirs");
    });

    it("takes the other's on demand, and this one's is one step back", () => {
      const page = clashing();
      page.takeOther();
      expect([page.clash, page.text]).toEqual([null, PAGE.replace("Seals", "theirs")]);
      page.undo();
      expect(page.text).toContain("# mine");
    });

    it("notices too when it is only about to keep", async () => {
      const page = desk();
      write(page, "# mine\n\n");
      kept = PAGE.replace("Seals", "theirs");
      await vi.advanceTimersByTimeAsync(400);
      expect([writes, page.clash?.theirs]).toEqual([[], kept]);
    });
  });

  describe("when two tabs change different places of one page", () => {
    const theirs = PAGE.replace("component: seals", "component: liner");

    it("both changes stand and are kept, and each tab's own page is a step back", async () => {
      const page = desk();
      write(page, "# mine\n\n");
      kept = theirs;
      page.hear(kept);
      expect([page.clash, page.text]).toEqual([null, theirs.replace("Seals", "mine")]);
      await vi.advanceTimersByTimeAsync(400);
      expect(writes).toEqual([theirs.replace("Seals", "mine")]);
      expect([page.settled, page.followed]).toEqual([true, true]);
      page.undo();
      expect(page.text).toBe(theirs);
      page.undo();
      expect(page.text).toBe(PAGE.replace("Seals", "mine"));
    });

    it("also when the other tab was first by less than a message takes", async () => {
      const page = desk();
      write(page, "# mine\n\n");
      answers = [{how: "refused", other: theirs}];
      await vi.advanceTimersByTimeAsync(400);
      expect(kept).toBe(theirs.replace("Seals", "mine"));
      expect([page.clash, page.settled]).toEqual([null, true]);
    });

    it("a place that both changed is chosen by itself, what else they changed stands", async () => {
      const page = desk();
      write(page, "# mine\n\n");
      kept = theirs.replace("Seals", "theirs");
      page.hear(kept);
      const [clash, ...others] = page.clash?.clashes ?? [];
      expect([clash?.what, others]).toEqual(["words", []]);
      page.choose(clash!.key, "both");
      await vi.advanceTimersByTimeAsync(400);
      expect(kept).toBe(theirs.replace("# Seals", "# mine\n\n# theirs"));
      expect([page.clash, page.choices.size]).toEqual([null, 0]);
    });

    it("typing on ends a clash when it ends what clashed", async () => {
      const page = desk();
      write(page, "# mine\n\n");
      kept = theirs.replace("Seals", "theirs");
      page.hear(kept);
      write(page, "# theirs\n\n");
      await vi.advanceTimersByTimeAsync(400);
      expect([page.clash, page.text, page.settled]).toEqual([null, kept, true]);
    });
  });

  it("says of a change that the browser did not keep that it is not kept, and keeps it with the next", async () => {
    const page = desk();
    answers = [{how: "not kept"}];
    write(page, "# one\n\n");
    await vi.advanceTimersByTimeAsync(400);
    expect([page.settled, page.unkept, writes]).toEqual([false, true, []]);
    page.hear(page.text);
    expect(page.unkept).toBe(true);
    write(page, "# two\n\n");
    await vi.advanceTimersByTimeAsync(400);
    expect([page.settled, page.unkept, kept]).toEqual([true, false, PAGE.replace("Seals", "two")]);
  });

  it("a note of what the answers stood on is kept, is no step, and survives steps", async () => {
    const page = desk();
    write(page, "# new\n\n");
    page.note(TAIL);
    await vi.advanceTimersByTimeAsync(400);
    expect(kept.endsWith(TAIL)).toBe(true);
    page.undo();
    await vi.advanceTimersByTimeAsync(400);
    expect(kept).toBe(`${PAGE}\n${TAIL}`);
  });

  it("a block keeps its id when it moves, and a copy gets its own", () => {
    const page = desk();
    const [words, cell] = page.ids;
    page.change((analysis) => moveBlock(analysis, 1, 0), "moved");
    expect(page.ids.slice(0, 2)).toEqual([cell, words]);
    page.change((analysis) => duplicateCell(analysis, 0), "copied");
    expect(new Set(page.ids).size).toBe(page.ids.length);
    expect(page.ids).toContain(cell);
  });

  it("keeps nothing of pages read before any logs are open", () => {
    write(desk(null), "# early\n\n");
    expect(desk().text).toBe(PAGE);
  });
});
