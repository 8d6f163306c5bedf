import {describe, expect, it} from "vitest";
import {CELL_KINDS} from "../../src/cells/index.ts";
import {readForm, writeField} from "../../src/notebook/cellForm.ts";
import {readCell} from "../../src/notebook/index.ts";

const fieldsOf = (name: string) => CELL_KINDS.find(({kind}) => kind === name)!.fields;
const fieldOf = (kind: string, name: string) => fieldsOf(kind).find((field) => field.name === name)!;
const given = (kind: string, body: string) =>
  Object.fromEntries(readForm(fieldsOf(kind), body)!.values.map(({field, given: values}) => [field.name, values]));

describe("readForm(fields, body)", () => {
  it("tells what the body gives and what it leaves out", () => {
    expect(given("pareto", "rank: money\ncomponent: seals, liner\nmost: 10\nby:\n")).toEqual({
      component: ["seals", "liner"],
      rank: ["money"],
      of: null,
      by: null,
      most: ["10"],
    });
  });

  it("names what the kind does not know, and gives nothing for a body that is no map", () => {
    expect(readForm(fieldsOf("pareto"), "rank: money\ncolour: red\n")?.unknown).toEqual(["colour"]);
    expect(readForm(fieldsOf("pareto"), "rank: [")).toBeNull();
  });
});

describe("writeField(field, body, values)", () => {
  it("keeps remarks and what the kind does not know", () => {
    const body = "# ours\nrank: money # asked by the fleet manager\ncolour: red\n";
    expect(writeField(fieldOf("pareto", "rank"), body, ["rate"])).toBe(
      "# ours\nrank: rate # asked by the fleet manager\ncolour: red\n",
    );
    expect(writeField(fieldOf("pareto", "rank"), body, [])).toBe("# ours\ncolour: red\n");
  });

  it("of every kind offers only choices that the kind accepts, and reads them back", () => {
    let tried = 0;
    for (const kind of CELL_KINDS) {
      for (const field of kind.fields) {
        for (const {value} of field.choices ?? []) {
          const body = writeField(field, kind.example, [value])!;
          const read = readCell({kind: kind.kind, body, bodyLine: 1});
          expect("problem" in read ? `${kind.kind} ${field.name}: ${read.problem.message}` : "").toBe("");
          expect(readForm(kind.fields, body)?.values.find((each) => each.field === field)?.given).toEqual([value]);
          tried++;
        }
      }
    }
    expect(tried).toBeGreaterThan(50);
  });

  it("of every kind takes the default that the form shows for the same as leaving the field out", () => {
    for (const kind of CELL_KINDS) {
      for (const field of kind.fields) {
        if (field.fallback === undefined) continue;
        const without = readCell({kind: kind.kind, body: writeField(field, kind.example, [])!, bodyLine: 1});
        const withIt = readCell({
          kind: kind.kind,
          body: writeField(field, kind.example, [field.fallback])!,
          bodyLine: 1,
        });
        expect("params" in withIt && "params" in without && withIt.params, `${kind.kind} ${field.name}`).toEqual(
          "params" in without && without.params,
        );
      }
    }
  });
});
