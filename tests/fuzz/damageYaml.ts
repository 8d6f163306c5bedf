/** Ways to damage the small files beside good logs: settings, mapping, register, actions. */
import {readFileSync} from "node:fs";
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {chance, changed, changedLines, oneOf, pick, times} from "./draws.ts";
import {TEXTS} from "./logs.ts";

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const demo = (name: string): string => readFileSync(new URL(`../../data/${name}`, import.meta.url), "utf8");

const MAPPING = `files:
  runs.csv:
    log: runs
    columns: {Circ Hrs: circulating_h, Remarks: null}
    units: {mud_weight_sg: SG}
    dateOrder: day first
    decimalMark: "."
    fleet: Alder
synonyms:
  mud: {mystery mud: OBM}
  mode: {abraded: SEAL-ABR}
serials:
  K1-1O1: K1-101
`;
const ACTIONS = `version: 1
actions:
  - id: A1
    job: AW-0001
    run: "1"
    tool: K1-101
    what: take the liner out
    owner: KV
    due: 2024-03-01
    history:
      - {on: 2024-01-08, what: agreed, by: KV}
      - {on: 2024-02-01, what: done, by: HT, note: see the sheet}
`;

export const WORKSPACE_TEXTS: Readonly<Record<string, string>> = {
  "settings.yaml": demo("settings.yaml"),
  "mapping.yaml": MAPPING,
  "register.yaml": demo("register.yaml"),
  "actions.yaml": ACTIONS,
};

export const YAML_PIECES = [
  ...[
    "",
    "null",
    "~",
    "yes",
    "0",
    "-1",
    "1e400",
    "-1e309",
    ".inf",
    ".nan",
    "NaN",
    "0x10",
    "1_000",
    "9".repeat(400),
    "0.5.1",
  ],
  ...[
    "[",
    "]",
    "{",
    "}",
    "[[]]",
    "{a: {b: c}}",
    "|",
    ">",
    "|2-",
    "? x",
    ": ",
    "- ",
    "-",
    "--- ",
    "...",
    "%YAML 9",
    "# ",
    "\t",
  ],
  ...[
    "*alias",
    "&a [*a]",
    "&a",
    "*a",
    "<<: *a",
    "!!binary x",
    "!!js/function x",
    "!t",
    "@",
    "`",
    '"',
    "'",
    '"\\x"',
    '"\\ud800"',
  ],
  ...["2024-99-99", "2024-02-30", "0000-00-00", "99999-01-01", "2024-01-01T00:00:00Z", "03/04/24", "tomorrow"],
  ...[
    "__proto__",
    "constructor",
    "toString",
    "version: 99",
    "version: []",
    "files: []",
    "*-101",
    "SEAL",
    "seals",
    "OBM",
    "high",
  ],
  ...["\u0000", "💧", "\u2028", "é", "\ufeff", "=cmd|'/C calc'!A0", "<script>alert(1)</script>"],
];

/** Signs that nest; so many of them as nobody writes. */
const NESTING = ["[", "{", "- ", "? ", ": ", "a: ", "{a: ", "[a, ", "? - ", "&a ", "!a ", "- ? ", "[{", "a:\n "];

/** The good logs with their texts, one or two of which are damaged. */
export const YAML_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "settings, mapping, register and actions": (random) =>
    beside(random, (text) => utf8(changedLines(random, text, YAML_PIECES, 8))),
  "bytes of settings and records": (random) => beside(random, (text) => changed(random, utf8(text))),
  "texts nested beyond measure": (random) =>
    beside(random, (text) => {
      const nest = oneOf(random, NESTING).repeat(10 ** (1 + pick(random, 4)));
      const deep = Array.from({length: pick(random, 300)}, (_, i) => `${" ".repeat(i)}k:`).join("\n");
      return utf8(chance(random, 2) ? `${text}\nx: ${nest}` : chance(random, 2) ? nest : deep);
    }),
};

function beside(random: Random, damage: (text: string) => Uint8Array): LogFile[] {
  const logs = TEXTS.map(([name, lines]) => ({name, bytes: utf8(lines.join("\n"))}));
  const names = Object.keys(WORKSPACE_TEXTS);
  const hurt = new Set(Array.from({length: 1 + times(random, 1)}, () => oneOf(random, names)));
  return [
    ...logs,
    ...names.map((name) => {
      const text = WORKSPACE_TEXTS[name] ?? "";
      return {name, bytes: hurt.has(name) ? damage(text) : utf8(text)};
    }),
  ];
}
