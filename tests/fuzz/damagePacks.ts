/** Ways to damage a workspace packed in one file. */
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {pack} from "../../src/workspace/pack.ts";
import {joined, zip, zip64} from "../logs/zipFiles.ts";
import {WORKSPACE_TEXTS} from "./damageYaml.ts";
import {lying} from "./damageZip.ts";
import {chance, changed, oneOf, times} from "./draws.ts";
import {bookFile, TEXTS} from "./logs.ts";

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const FILES = [
  ...TEXTS.map(([name, lines]) => ({name, bytes: utf8(lines.join("\n"))})),
  ...Object.entries(WORKSPACE_TEXTS).map(([name, text]) => ({name, bytes: utf8(text)})),
  bookFile(),
  {name: "analyses/60-mine.md", bytes: utf8("# Mine\n\n~~~cell pareto\n~~~\n")},
];
const GOOD = joined(pack(FILES, new Date("2026-11-26T12:00:00Z")));

const NAMES = [
  ...["../runs.csv", "..\\runs.csv", "/etc/passwd", "C:\\runs.csv", "a/../../b", "a//b", "ru\u0000ns.csv", "~/x", "."],
  ...[
    "Settings.YML",
    "settings.yml",
    "RUNS.CSV",
    "runs.csv",
    "analyses/60-MINE.md",
    "analyses/a/b.md",
    "__MACOSX/x",
    "x/",
    "",
  ],
  ...["con.csv", "runs .csv", "rüns.csv", "💧.md", "inner.zip", "__proto__", "constructor"],
];

export const PACK_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "bytes of a packed workspace": (random) => named(changed(random, GOOD)),
  "what a pack says of itself": (random) => named(lying(random, chance(random, 3) ? zip64(GOOD) : GOOD)),
  "names in a pack": (random) => {
    const files = FILES.filter(() => !chance(random, 3)).map(({name, bytes}) => [name, bytes] as const);
    const others = Array.from(
      {length: 1 + times(random, 4)},
      () => [oneOf(random, NAMES), oneOf(random, FILES).bytes] as const,
    );
    const top = oneOf(random, ["", "", "Shop/", "../", "analyses/"]);
    return named(zip([...files, ...others].map(([name, bytes]) => [top + name, bytes] as const)));
  },
  "a pack in a pack": (random) => {
    let archive = GOOD;
    for (let depth = times(random, 6); depth >= 0; --depth) archive = zip({"inner.zip": archive, "runs.zip": archive});
    return named(archive);
  },
};

const named = (bytes: Uint8Array): LogFile[] => [{name: "wearbook-2026-11-26.zip", bytes}];
