import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {parse, parseDocument} from "yaml";
import {canonical} from "../../src/notebook/contentKey.ts";
import {setEntry} from "../../src/notebook/yamlText.ts";

describe("setEntry(text, path, value)", () => {
  it.each([
    ["a new entry goes last", "a: 1\n", ["b"], "x", "a: 1\nb: x\n"],
    ["a value is replaced beside its remark", "a: 1 # why\nb: 2\n", ["a"], 3, "a: 3 # why\nb: 2\n"],
    ["an empty entry is filled", "a:   # none yet\n", ["a"], "x", "a: x   # none yet\n"],
    ["a list over several lines comes up", "a:\n  - x\n  - y\n# end\nb: 1\n", ["a"], ["z"], "a: [z]\n# end\nb: 1\n"],
    ["an entry goes with its line", "a: 1\nb: 2 # gone\nc: 3\n", ["b"], null, "a: 1\nc: 3\n"],
    ["the last entry leaves the remarks", "# kept\na: 1\n", ["a"], null, "# kept\n"],
    ["text without a line end", "a: 1", ["b"], "x", "a: 1\nb: x\n"],
    ["no text at all", "", ["a"], "x", "a: x\n"],
    ["quotes where YAML needs them", "", ["a"], "x: y # z", 'a: "x: y # z"\n'],
    ["spacing between name and value stays", "a:    1\n", ["a"], 2, "a:    2\n"],
    ["an entry within an entry", "w:\n  a: 1\n", ["w", "b"], ["x", "y"], "w:\n  a: 1\n  b: [x, y]\n"],
    ["an entry within one that is not there yet", "t: x\n", ["w", "b"], "y", "t: x\nw:\n  b: y\n"],
    ["the last of an entry's entries takes it along", "t: x\nw:\n  b: y\n", ["w", "b"], null, "t: x\n"],
    ["what is not there is not taken out", "a: 1\n", ["b"], null, "a: 1\n"],
  ])("%s", (_what, text, path, value, expected) => {
    expect(setEntry(text, path, value)).toBe(expected);
  });

  it.each(["a: [1", "- a\n- b\n", "just words"])("gives nothing for %j, which is no map", (text) => {
    expect(setEntry(text, ["a"], 1)).toBeNull();
  });

  it("says the new value, every other entry and every remark, whatever the text and the value", () => {
    const name = fc.constantFrom("a", "b", "long name", "c");
    const scalar = fc.oneof(
      fc.constantFrom(
        "x",
        "12",
        "true",
        "null",
        "~",
        "a: b",
        "# no",
        "- x",
        "'",
        '"',
        "",
        " padded ",
        "[x]",
        "tür",
        "x\ny",
      ),
      fc.integer({min: -9, max: 999}),
    );
    const written = fc.oneof(
      scalar.map((value) => ` ${JSON.stringify(value)}`),
      fc.constantFrom(
        "",
        " plain words",
        " [1, 2]",
        " {x: 1}",
        "\n  - x\n  - y",
        "\n  x: 1\n  # inside\n  y: 2",
        " |\n  one\n  two",
      ),
    );
    const line = fc.record({name, value: written, remark: fc.constantFrom("", " # why", "\n# above the next")});
    fc.assert(
      fc.property(
        fc.uniqueArray(line, {selector: ({name: n}) => n, maxLength: 4}),
        name,
        fc.oneof(scalar, fc.array(scalar, {minLength: 1, maxLength: 3}), fc.constant(null)),
        (lines, key, value) => {
          const text = lines.map((each) => `${each.name}:${each.value}${each.remark}\n`).join("");
          if (parseDocument(text).errors.length > 0) return;
          const before = (parse(text) ?? {}) as Record<string, unknown>;
          const changed = setEntry(text, [key], value);
          const {[key]: _, ...others} = before;
          const expected = value === null ? others : {...before, [key]: value};
          expect(canonical(parse(changed!) ?? {})).toBe(canonical(expected));
          for (const each of lines) {
            if (each.name !== key && each.remark !== "") expect(changed).toContain(each.remark.trim());
          }
        },
      ),
      {seed: 11, numRuns: 600},
    );
  });
});
