import {describe, expect, it} from "vitest";
import {findTerm, firstUses, GLOSSARY, termParts, termsIn} from "../../shared/glossary.ts";

const named = (name: string) => GLOSSARY.find((term) => term.name === name)!;

describe("findTerm(term, text)", () => {
  it("finds a word of its own, in any of its forms and letters, across a line end", () => {
    expect(findTerm(named("life"), "The Lives of seals")).toEqual({at: 4, form: "Lives"});
    expect(findTerm(named("flow regime"), "each flow\nregime")).toEqual({at: 5, form: "flow\nregime"});
    expect(findTerm(named("interval"), "a renewal interval")?.form).toBe("renewal interval");
  });

  it("leaves alone a word that only holds it", () => {
    expect(findTerm(named("mode"), "the model, a-mode-b, modest")).toBeNull();
    expect(findTerm(named("scale"), "scaled, upscale")).toBeNull();
  });
});

describe("termParts(text, wanted)", () => {
  it("cuts a text at the first use of each wanted term and takes it out of the wanted ones", () => {
    const wanted = new Set(GLOSSARY);
    const parts = termParts("Lives end; a life has a B10 life.", wanted);
    expect(parts.map(({text, term}) => [text, term?.name ?? null])).toEqual([
      ["Lives", "life"],
      [" end; a life has a ", null],
      ["B10 life", "B10 life"],
    ]);
    expect(termParts("the life", wanted)).toEqual([{text: "the life", term: null, before: "", after: ""}]);
  });

  it("keeps the signs of a term with it", () => {
    const [lead, term, rest] = termParts("a curve (Kaplan-Meier; steps)", new Set(GLOSSARY));
    expect([lead!.text, rest!.text]).toEqual(["a curve ", " steps)"]);
    expect(term).toMatchObject({before: "(", text: "Kaplan-Meier", after: ";"});
  });

  it("loses no letter, whatever the text", () => {
    for (const text of ["", "no term", "shape", "found\u00a0at  teardown; p-value", "caused at\nservice"])
      expect(
        termParts(text, new Set(GLOSSARY))
          .map(({before, text: word, after}) => before + word + after)
          .join(""),
      ).toBe(text);
  });
});

describe("firstUses(texts)", () => {
  it("gives each term to the text that uses it first, and to no other", () => {
    const uses = firstUses(["A life ends.", "Lives and shapes; a shape.", "The shape of a life."]);
    expect(uses.map((terms) => terms.map(({name}) => name))).toEqual([["life"], ["shape"], []]);
  });
});

describe("termsIn(texts)", () => {
  it("lists what a page uses by name; nothing for no words", () => {
    expect(termsIn(["B10 life 300 h", "a suspension"]).map(({name}) => name)).toEqual([
      "B10 life",
      "life",
      "suspension",
    ]);
    expect(termsIn([])).toEqual([]);
  });

  it("every term has a meaning in whole sentences", () => {
    for (const {name, meaning} of GLOSSARY) expect(meaning, name).toMatch(/^[A-Z].*\.$/s);
    expect(new Set(GLOSSARY.map(({name}) => name)).size).toBe(GLOSSARY.length);
  });
});
