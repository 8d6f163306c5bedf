import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {mergeAnalyses, type Choice} from "../../src/notebook/mergeAnalyses.ts";
import {splitProse} from "../../src/notebook/splitProse.ts";

const PAGE = `---
title: Seals
where:
  fleet: [Alder]
---

First words.

Second words.

~~~cell life
component: seals
~~~

Between.

~~~cell pareto
rank: count
~~~
`;
const merge = (mine: string, theirs: string, choices: Readonly<Record<string, Choice>> = {}) =>
  mergeAnalyses(PAGE, mine, theirs, new Map(Object.entries(choices)));

const one = PAGE.replace("component: seals", "component: liner");
const other = PAGE.replace("rank: count", "rank: money");

describe("mergeAnalyses(base, mine, theirs)", () => {
  it("takes from each what only it has changed: cells, paragraphs, the title and each filter", () => {
    const pairs: [mine: string, theirs: string, both: string][] = [
      [one, other, one.replace("rank: count", "rank: money")],
      [
        PAGE.replace("First", "1st"),
        PAGE.replace("Second", "2nd"),
        PAGE.replace("First", "1st").replace("Second", "2nd"),
      ],
      [
        PAGE.replace("title: Seals", "title: Ours"),
        PAGE.replace("[Alder]", "[Basalt]"),
        PAGE.replace("title: Seals", "title: Ours").replace("[Alder]", "[Basalt]"),
      ],
      [PAGE.replace("Between.\n\n", ""), other, other.replace("Between.\n\n", "")],
    ];
    for (const [mine, theirs, both] of pairs) {
      expect(merge(mine, theirs)).toEqual({text: both, clashes: []});
      expect(merge(theirs, mine)).toEqual({text: both, clashes: []});
    }
  });

  it("keeps what both have put in, in the same place too, and once where it is the same", () => {
    const added = (words: string): string => PAGE.replace("Between.\n", `Between.\n\n${words}\n`);
    const {text, clashes} = merge(added("Mine."), added("Theirs."));
    expect(clashes).toEqual([]);
    expect(text).toBe(PAGE.replace("Between.\n", "Between.\n\nTheirs.\n\nMine.\n"));
    expect(merge(added("Same."), `${added("Same.")}\nAnd more.\n`)).toEqual({
      text: `${added("Same.")}\nAnd more.\n`,
      clashes: [],
    });
  });

  it("follows what one has moved while the other changed it", () => {
    const life = "~~~cell life\ncomponent: seals\n~~~\n";
    const moved = `${PAGE.replace(`${life}\n`, "")}\n${life}`;
    const {text, clashes} = merge(moved, one);
    expect(clashes).toEqual([]);
    expect(text).toBe(moved.replace("component: seals", "component: liner"));
    expect(merge(one, moved).text).toBe(text);
  });

  it("asks only where both changed the same cell, with mine standing until someone has chosen", () => {
    const theirs = PAGE.replace("component: seals", "component: tip").replace("rank: count", "rank: money");
    const {text, clashes} = merge(one, theirs);
    expect(text).toBe(one.replace("rank: count", "rank: money"));
    expect(clashes).toMatchObject([
      {what: "cell", mine: expect.stringContaining("liner"), theirs: expect.stringContaining("tip")},
    ]);
    const [{key} = {key: ""}] = clashes;
    expect(merge(one, theirs, {[key]: "theirs"}).text).toBe(theirs);
    const both = merge(one, theirs, {[key]: "both"}).text;
    expect(both.indexOf("liner")).toBeGreaterThan(0);
    expect(both.indexOf("tip")).toBeGreaterThan(both.indexOf("liner"));
  });

  it("asks where one took out what the other changed, and loses it only when told", () => {
    const gone = PAGE.replace("~~~cell life\ncomponent: seals\n~~~\n\n", "");
    const {clashes, text} = merge(gone, one);
    expect(clashes).toMatchObject([{what: "cell", mine: null, theirs: expect.stringContaining("liner")}]);
    expect(text).toBe(gone);
    expect(merge(gone, one, {[clashes[0]!.key]: "theirs"}).text).toBe(one);
    expect(merge(one, gone).text).toBe(one);
  });

  it("asks where both gave another title", () => {
    const [mine, theirs] = ["Ours", "Yours"].map((title) => PAGE.replace("title: Seals", `title: ${title}`));
    const {clashes, text} = merge(mine!, theirs!);
    expect(clashes).toMatchObject([{key: "head", what: "title and filters"}]);
    expect(text).toBe(mine);
    expect(merge(mine!, theirs!, {head: "theirs"}).text).toBe(theirs);
  });

  it("loses no line that either has put in, whatever the two have done, and asks for every line that it must choose of", () => {
    const line = fc.constantFrom("a", "b", "c", "", "~~~cell life\nx: 1\n~~~", "```\nb\n```", "# d", "---");
    const page = fc.array(line, {maxLength: 7}).map((lines) => lines.join("\n"));
    const fresh = fc.array(fc.tuple(fc.nat(9), fc.constantFrom("new", "~~~cell new\n~~~")), {maxLength: 3});
    const grown = (text: string, puts: readonly (readonly [number, string])[], whose: string): string => {
      const lines = splitProse(text);
      puts.forEach(([at, put], i) =>
        lines.splice(at % (lines.length + 1), 0, `${put.replace("new", `${whose}${i}`)}\n\n`),
      );
      return lines.join("");
    };
    fc.assert(
      fc.property(page, fresh, fresh, (base, mine, theirs) => {
        const [here, there] = [grown(base, mine, "m"), grown(base, theirs, "t")];
        const {text, clashes} = mergeAnalyses(base, here, there);
        const all = [text, ...clashes.flatMap(({mine: a, theirs: b}) => [a ?? "", b ?? ""])].join("\n");
        for (const [whose, puts] of [
          ["m", mine],
          ["t", theirs],
        ] as const)
          puts.forEach((_, i) => expect(all).toContain(`${whose}${i}`));
      }),
      {seed: 11, numRuns: 300},
    );
  });
});

describe("splitProse(prose)", () => {
  it("gives pieces that make the text again, and never cuts a fence", () => {
    expect(splitProse("\na\nb\n\n\n```\nc\n\nd\n```\n\ne")).toEqual(["\na\nb\n\n\n", "```\nc\n\nd\n```\n\n", "e"]);
    fc.assert(
      fc.property(fc.array(fc.constantFrom("a", "\n", " ", "```", "~~~", "\r\n", "> "), {maxLength: 30}), (pieces) => {
        expect(splitProse(pieces.join("")).join("")).toBe(pieces.join(""));
      }),
      {seed: 12, numRuns: 300},
    );
  });
});
