/** Ways to damage the Markdown of a page: its front matter, its words, its cells, and what its answers stood on. */
import {readdirSync, readFileSync} from "node:fs";
import {writeStands} from "../../src/notebook/stands.ts";
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {YAML_PIECES} from "./damageYaml.ts";
import {chance, changed, changedLines, oneOf, pick} from "./draws.ts";

const FOLDER = new URL("../../analyses/", import.meta.url);
const NOTE = writeStands({
  kept: "2024-05-01",
  version: "0.0.1",
  units: "metric",
  files: [{name: "runs.csv", rows: 12, digest: "aaaa"}],
  settings: [{name: "level", value: "0.8"}],
  answers: [{cell: "77", says: "The old sentence --> leads.", numbers: "0"}],
});
const PAGES = readdirSync(FOLDER)
  .filter((name) => name.endsWith(".md"))
  .map((name) => `${readFileSync(new URL(name, FOLDER), "utf8")}\n${NOTE}`);

const PIECES = [
  ...YAML_PIECES,
  ...[
    "---",
    "~~~",
    "```",
    "~~~cell",
    "~~~cell life",
    "~~~~cell pareto",
    "``` cell life",
    "   ~~~",
    "<!-- what this page stood on",
  ],
  ...[
    "-->",
    "--!>",
    "# ",
    "## A `b` [c](javascript:x)",
    "<img src=x onerror=y>",
    "component: seals",
    "by: [mud, mud]",
    "top: 1e9",
  ],
  ...[
    "where: {fleet: [",
    "title: [a, b]",
    "where: {from: 2024-99-99}",
    "section: nowhere",
    "rank: monay",
    "group: __proto__",
  ],
];

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

export const PAGE_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "text of a page": (random) => named(utf8(changedLines(random, oneOf(random, PAGES), PIECES, 8))),
  "bytes of a page": (random) => named(changed(random, utf8(oneOf(random, PAGES)))),
  "a page beyond measure": (random) =>
    named(utf8(`---\n${huge(random)}\n---\n~~~cell life\n${huge(random)}\n~~~\n${huge(random)}`)),
};

const named = (bytes: Uint8Array): LogFile[] => [{name: "60-mine.md", bytes}];

function huge(random: Random): string {
  if (chance(random, 3)) return "";
  return oneOf(random, [
    "[",
    "{a: ",
    "- ",
    "> ",
    "*",
    "_",
    "# ",
    "`",
    "~~~\n",
    "<",
    "a\n",
    "&",
    "[a](",
    "![",
    "|",
  ]).repeat(10 ** (1 + pick(random, 4)));
}
