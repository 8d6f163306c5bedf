/** A page under change: what is kept when, what another tab did, what a reload loses (nothing). */
import {afterEach, beforeEach, describe, expect, it, vi} from "vitest";
import {PageDesk} from "../../src/app/state/PageDesk.svelte.ts";
import {duplicateCell, moveBlock, replaceProse} from "../../src/notebook/index.ts";

const PAGE = "# Seals\n\n~~~cell life\ncomponent: seals\n~~~\n";
const TAIL = '<!-- what this page stood on\nkept: "2025-01-01"\n-->\n';

let kept: string;
let writes: string[];

function desk(scope: string | null = "own"): PageDesk {
  const made = new PageDesk("60-a.md", kept, {
    scope,
    kept: () => kept,
    keep: (text) => {
      kept = text;
      writes.push(text);
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
  it("keeps a change once it is settled, and a step back like a change", () => {
    const page = desk();
    write(page, "# S\n\n");
    write(page, "# Se\n\n");
    expect(writes).toEqual([]);
    vi.advanceTimersByTime(400);
    expect(writes).toEqual([PAGE.replace("Seals", "Se")]);
    expect([page.settled, page.last]).toEqual([true, "changed words"]);
    page.undo();
    vi.advanceTimersByTime(400);
    expect(kept).toBe(PAGE);
    expect([page.last, page.next]).toEqual([null, "changed words"]);
  });

  it("keeps nothing while nothing was changed", () => {
    const page = desk();
    page.flush();
    vi.advanceTimersByTime(1000);
    expect(writes).toEqual([]);
  });

  it("puts what is being typed into the page before it steps back or keeps", () => {
    const page = desk();
    page.typing(() => write(page, "# typed\n\n"));
    page.flush();
    expect(kept).toContain("# typed");
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
    expect(again.clash).toContain("# theirs");
  });

  it("follows another tab when it has nothing unkept of its own; what nobody changed has nothing to take back", () => {
    const reader = desk();
    reader.hear(PAGE.replace("Seals", "theirs"));
    expect([reader.text, reader.last, reader.followed]).toEqual([PAGE.replace("Seals", "theirs"), null, false]);
    kept = PAGE;
    const writer = desk();
    write(writer, "# mine\n\n");
    vi.advanceTimersByTime(400);
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

    it("overwrites nothing, whatever time passes and whatever is typed on", () => {
      const page = clashing();
      write(page, "# mine still\n\n");
      vi.advanceTimersByTime(5000);
      expect([writes, page.clash]).toEqual([[], PAGE.replace("Seals", "theirs")]);
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

    it("notices too when it is only about to keep", () => {
      const page = desk();
      write(page, "# mine\n\n");
      kept = PAGE.replace("Seals", "theirs");
      vi.advanceTimersByTime(400);
      expect([writes, page.clash]).toEqual([[], kept]);
    });
  });

  it("a note of what the answers stood on is kept, is no step, and survives steps", () => {
    const page = desk();
    write(page, "# new\n\n");
    page.note(TAIL);
    vi.advanceTimersByTime(400);
    expect(kept.endsWith(TAIL)).toBe(true);
    page.undo();
    vi.advanceTimersByTime(400);
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
