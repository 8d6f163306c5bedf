import {describe, expect, it} from "vitest";
import {CELL_KINDS} from "../../src/cells/cellKinds.ts";
import {createMemo, evaluateCell, readCell} from "../../src/notebook/index.ts";
import {effects, inputsOf} from "../cells/inputs.ts";

const problem = (kind: string, body: string, closed = true) => {
  const read = readCell({kind, body, bodyLine: 10, closed});
  if (!("problem" in read)) throw new Error("no problem");
  return read.problem;
};

describe("readCell(source) says what is wrong where it stands", () => {
  it("an unknown kind, with the kinds there are", () => {
    expect(problem("paretto", "")).toMatchObject({
      line: 9,
      message: "no cell kind is called “paretto”; did you mean pareto?",
    });
    expect(problem("", "").remedy).toContain("pareto");
  });

  it("an unknown parameter, with those accepted", () => {
    const {line, message} = problem("pareto", "component: seals\nrnak: rate\n");
    expect(line).toBe(11);
    expect(message).toContain("no parameter is called “rnak”; did you mean rank?");
    expect(message).toContain("component, rank, of, by, most");
  });

  it("a value that is not accepted, with the list", () => {
    expect(problem("pareto", "# why\nrank: profit\n")).toMatchObject({line: 11});
    expect(problem("pareto", "rank: mony\n").message).toBe(
      "rank: “mony” is not known; did you mean money? Accepted: count, rate, lost hours, money",
    );
    expect(problem("pareto", "component: seels\n").message).toContain("did you mean SEAL?");
    expect(problem("pareto", "component: rotor\n").message).toContain("Accepted: seal, liner");
    expect(problem("pareto", "most: -3\n").message).toBe("most: must be a number from 1 to 50, got -3");
  });

  it("a body that is not YAML, not a list of values, or never closed", () => {
    expect(problem("pareto", "a: b\nrank: [x\n")).toMatchObject({remedy: "write lines of “name: value”"});
    expect(problem("pareto", "just words\n").message).toContain("lines of “name: value”");
    expect(problem("pareto", "- a\n").message).toContain("lines of “name: value”");
    expect(problem("pareto", "", false).message).toContain("never closed");
  });

  it("takes an empty body and empty values for their defaults", () => {
    expect(readCell({kind: "pareto", body: "rank:\n", bodyLine: 2})).toMatchObject({
      params: {rank: "count", component: null, by: "none", most: 12},
    });
    expect(readCell({kind: "pareto", body: "", bodyLine: 2})).toMatchObject({params: {rank: "count"}});
  });

  it("takes shop words, codes and lists", () => {
    expect(readCell({kind: "pareto", body: "component: [lip seals, LINR]\n", bodyLine: 2})).toMatchObject({
      params: {component: ["SEAL", "LINR"]},
    });
    expect(readCell({kind: "pareto", body: "component: seals, wear band\n", bodyLine: 2})).toMatchObject({
      params: {component: ["SEAL", "BAND"]},
    });
  });
});

describe("a choice that a form offers", () => {
  it("is accepted as it stands", () => {
    for (const {kind, fields, example} of CELL_KINDS) {
      for (const {name, choices = []} of fields) {
        for (const {value} of choices) {
          const body = `${example
            .split("\n")
            .filter((line) => line !== "" && !line.startsWith(name))
            .join("\n")}\n${name}: ${value}\n`;
          expect(readCell({kind, body, bodyLine: 1}), `${kind}, ${name}: ${value}`).toHaveProperty("params");
        }
      }
    }
  });
});

describe("every cell kind", () => {
  it.each(CELL_KINDS)(
    "$kind: its example reads, its fields are its parameters, and empty logs give a sentence",
    (kind) => {
      const read = readCell({kind: kind.kind, body: kind.example, bodyLine: 1});
      if ("problem" in read) throw new Error(read.problem.message);
      expect(Object.keys(read.params as object)).toEqual(kind.fields.map(({name}) => name));
      const result = evaluateCell({kind: kind.kind, body: kind.example, bodyLine: 1}, inputsOf({}), effects());
      if ("problem" in result) throw new Error(result.problem.message);
      expect(result.presentation.headline).toMatch(/^[A-Z].*\.$/);
      expect(JSON.stringify(result.presentation)).not.toMatch(/NaN|Infinity|undefined/);
      expect(structuredClone(result)).toEqual(result);
    },
  );
});

describe("createMemo()", () => {
  it("makes a value once", () => {
    const memo = createMemo();
    let made = 0;
    expect(memo("a", () => ++made)).toBe(1);
    expect(memo("a", () => ++made)).toBe(1);
    expect(memo("b", () => ++made)).toBe(2);
  });

  it("forgets the oldest beyond its most", () => {
    const memo = createMemo(2);
    let made = 0;
    for (const key of ["a", "b", "c"]) memo(key, () => ++made);
    expect(memo("c", () => ++made)).toBe(3);
    expect(memo("b", () => ++made)).toBe(2);
    expect(memo("a", () => ++made)).toBe(4);
  });
});
