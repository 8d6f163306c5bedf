import {LineCounter} from "yaml";
import {describe, expect, it} from "vitest";
import {parseActions} from "../../shared/actions.ts";
import {parseMapping} from "../../shared/mapping.ts";
import {readYaml} from "../../shared/readYaml.ts";
import {parseRegister} from "../../shared/register.ts";
import {parseSettings} from "../../shared/settings.ts";

describe("readYaml(text)", () => {
  it("reads what people write", () => {
    expect(readYaml("a: [1, 2]\nb: {c: &x d}\ne: *x\n").toJS()).toEqual({a: [1, 2], b: {c: "d"}, e: "d"});
    const plain = Array.from({length: 300}, (_, i) => `- key: "- a - b ? c [" # ${i} [`).join("\n");
    expect(readYaml(plain.replaceAll(" [", "")).errors).toEqual([]);
  });

  // 20 kB of [ in a settings.yaml once ended the whole program: an engine that compiles a pattern at the end of its stack
  // gives up, and nothing can catch that
  it.each([
    ["[".repeat(20_000)],
    [`a:\n  b: ${"[1, ".repeat(400)}`],
    ["{a: ".repeat(5000)],
    ["- ".repeat(20_000)],
    ["? ".repeat(5000)],
    ["? - ".repeat(3000)],
    [Array.from({length: 800}, (_, i) => `${" ".repeat(i)}a:`).join("\n")],
  ])("says of a text nested beyond all measure that it is (%#)", (text) => {
    const lines = new LineCounter();
    const [error] = readYaml(text, {lineCounter: lines}).errors;
    expect(error?.message).toMatch(/nested deeper/);
    expect(lines.linePos(error!.pos[0]).line).toBeLessThanOrEqual(text.split("\n").length);
  });

  it.each([
    ["a: *b", "*b means nothing"],
    ["a: &a [*a]", "*a stands in what it means"],
    ["a: &a\n  b: *a", "*a stands in what it means"],
    [
      `a: &a [1,2,3,4,5,6,7,8,9]\n${"abcd"
        .slice(1)
        .split("")
        .map((key, i) => `${key}: &${key} [${Array(9).fill(`*${"abcd"[i]}`).join()}]`)
        .join("\n")}\n`,
      "alias",
    ],
  ])("says of a name that leads astray where it does (%#)", (text, words) => {
    expect(readYaml(text).errors[0]?.message).toContain(words);
  });

  it("is what every file of a workspace is read by: each tells of it by file and line", () => {
    const deep = `# mine\n${"[".repeat(20_000)}`;
    for (const {findings} of [
      parseSettings(deep, "f.yaml"),
      parseMapping(deep, "f.yaml"),
      parseActions(deep, "f.yaml"),
      parseRegister(deep, "f.yaml", "2026-01-01"),
    ])
      expect(findings).toMatchObject([{file: "f.yaml", line: 2, message: expect.stringContaining("nested deeper")}]);
  });
});
