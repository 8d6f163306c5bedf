/** The direction of imports (DEVELOPERS.md, "The map"): a folder uses only what stands to its left. */
import {readdirSync, readFileSync, statSync} from "node:fs";
import {dirname, join, relative, resolve, sep} from "node:path";
import {fileURLToPath} from "node:url";
import {describe, expect, it} from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** What each folder may import of ours, besides itself. */
const ALLOWED: Readonly<Record<string, readonly string[]>> = {
  shared: [],
  seeds: ["shared"],
  "src/statistics": [],
  "src/logs": ["shared", "src/statistics"],
  "src/hydraulics": ["shared", "src/statistics", "src/logs"],
  "src/lives": ["shared", "src/statistics", "src/logs", "src/hydraulics"],
  "src/decisions": ["shared", "src/statistics", "src/logs", "src/hydraulics", "src/lives"],
  "src/charts": ["shared", "src/statistics"],
  "src/cells": ["shared", "src/statistics", "src/logs", "src/hydraulics", "src/lives", "src/decisions", "src/charts"],
  "src/notebook": [
    "shared",
    "src/statistics",
    "src/logs",
    "src/hydraulics",
    "src/lives",
    "src/decisions",
    "src/charts",
    "src/cells",
  ],
  "src/workspace": [
    "shared",
    "src/statistics",
    "src/logs",
    "src/hydraulics",
    "src/lives",
    "src/decisions",
    "src/charts",
    "src/cells",
    "src/notebook",
  ],
  "src/report": [
    "shared",
    "src/statistics",
    "src/logs",
    "src/hydraulics",
    "src/lives",
    "src/decisions",
    "src/charts",
    "src/cells",
    "src/notebook",
    "src/workspace",
  ],
};
const BELOW = Object.keys(ALLOWED).filter((folder) => folder !== "seeds");
const RULES: Readonly<Record<string, readonly string[]>> = {...ALLOWED, "src/app": BELOW, "src/cli": BELOW};

interface Import {
  readonly file: string;
  readonly from: string;
  readonly typeOnly: boolean;
}

/** Every import statement of a source text: `import`, `export … from` and `import()`. */
export function importsOf(text: string): {from: string; typeOnly: boolean}[] {
  const found: {from: string; typeOnly: boolean}[] = [];
  const statement = /^\s*(?:import|export)\s+(type\s+)?(?:[^;"'`]*?\sfrom\s+)?["']([^"']+)["']/gm;
  for (const [, typed, from] of text.matchAll(statement)) if (from) found.push({from, typeOnly: typed !== undefined});
  for (const [, from] of text.matchAll(/\bimport\(\s*["']([^"']+)["']\s*\)/g))
    if (from) found.push({from, typeOnly: false});
  return found;
}

const files = sources(root);
const imports: Import[] = files.flatMap((file) =>
  importsOf(readFileSync(join(root, file), "utf8")).map((found) => ({file, ...found})),
);

describe("imports follow the path of data", () => {
  it("importsOf(text) sees plain, multi-line, type, re-export and dynamic imports", () => {
    const text = `import {a,\n  b} from "./x.ts";\nimport type {C} from "./y.ts";\nexport {d} from "./z.ts";\nimport "./w.css";\nconst e = import("./v.ts");`;
    expect(importsOf(text)).toEqual([
      {from: "./x.ts", typeOnly: false},
      {from: "./y.ts", typeOnly: true},
      {from: "./z.ts", typeOnly: false},
      {from: "./w.css", typeOnly: false},
      {from: "./v.ts", typeOnly: false},
    ]);
  });

  it("every folder imports only what stands to its left; types may go sideways", () => {
    expect(files.length).toBeGreaterThan(20);
    const wrong = imports.filter(({file, from, typeOnly}) => {
      const home = folderOf(file);
      const rule = home === null ? undefined : RULES[home];
      if (rule === undefined || !from.startsWith(".")) return false;
      const target = folderOf(
        relative(root, resolve(root, dirname(file), from))
          .split(sep)
          .join("/"),
      );
      if (target === null || target === home || rule.includes(target)) return false;
      return !(typeOnly && target.startsWith("src/") && home !== "src/statistics");
    });
    expect(wrong.map(({file, from}) => `${file} imports ${from}`)).toEqual([]);
  });

  it("nothing outside src/app knows Svelte", () => {
    const wrong = imports.filter(
      ({file, from}) =>
        /^svelte(\/|$)|\.svelte(\.ts)?$/.test(from) && file.startsWith("src/") && !file.startsWith("src/app/"),
    );
    expect(wrong).toEqual([]);
  });

  it("no two files import each other in a circle", () => {
    const graph = new Map<string, string[]>();
    for (const {file, from, typeOnly} of imports) {
      if (typeOnly || !from.startsWith(".")) continue;
      const target = relative(root, resolve(root, dirname(file), from))
        .split(sep)
        .join("/");
      graph.set(file, [...(graph.get(file) ?? []), target]);
    }
    expect(circle(graph)).toEqual([]);
  });
});

/** The house folder a file stands in, or null when no rule concerns it. */
function folderOf(file: string): string | null {
  return Object.keys(RULES).find((folder) => file.startsWith(`${folder}/`)) ?? null;
}

function sources(from: string): string[] {
  return ["src", "shared", "seeds"]
    .flatMap((top) => walk(join(from, top)))
    .map((path) => relative(from, path).split(sep).join("/"));
}

function walk(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return walk(path);
    return /\.(ts|svelte|mjs)$/.test(name) ? [path] : [];
  });
}

/** The files of one circle, or none. */
function circle(graph: ReadonlyMap<string, readonly string[]>): string[] {
  const done = new Set<string>();
  const visit = (file: string, trail: readonly string[]): string[] => {
    if (trail.includes(file)) return [...trail.slice(trail.indexOf(file)), file];
    if (done.has(file)) return [];
    for (const next of graph.get(file) ?? []) {
      const found = visit(next, [...trail, file]);
      if (found.length > 0) return found;
    }
    done.add(file);
    return [];
  };
  for (const file of graph.keys()) {
    const found = visit(file, []);
    if (found.length > 0) return found;
  }
  return [];
}
