/**
 * Writes `licences.txt` beside the built page: for every package that the scripts or fonts hold, its licence, its notice,
 * and what its files say of their authors. The scripts themselves carry none of it, or a tenth of what a reader waits for
 * would be the same few paragraphs.
 */
import {readdirSync, readFileSync} from "node:fs";
import {join} from "node:path";
import type {Plugin} from "vite";

export const LICENCES_FILE = "licences.txt";

const PACKAGE_FOLDER = /^.*[\\/]node_modules[\\/](?:@[^\\/]+[\\/])?[^\\/]+/;
const LICENCE_FILE = /^(licen[cs]e|notice|copying)(\.|-|$)/i;
const COMMENT = /\/\*[\s\S]*?\*\//g;
const OF_AUTHORS = /@license|@licence|@preserve|copyright|\(c\) \d{4}|^\/\*!/i;

export function licences(): Plugin {
  return {
    name: "licences",
    apply: "build",
    transformIndexHtml: () => [
      {tag: "link", attrs: {rel: "license", href: `./${LICENCES_FILE}`, type: "text/plain"}, injectTo: "head"},
    ],
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const modules = Object.values(bundle).flatMap((file) => (file.type === "chunk" ? file.moduleIds : []));
        this.emitFile({type: "asset", fileName: LICENCES_FILE, source: licencesOf(modules)});
      },
    },
  };
}

/** @param modules paths of bundled files, with or without a query; those outside node_modules are ours */
export function licencesOf(modules: readonly string[]): string {
  const packages = new Map<string, Set<string>>();
  for (const module of modules) {
    const file = module.replace(/^\0/, "").replace(/\?.*$/, "");
    const folder = PACKAGE_FOLDER.exec(file)?.[0];
    if (folder === undefined) continue;
    const said = packages.get(folder) ?? new Set();
    if (/\.[cm]?js$/.test(file)) for (const words of wordsOfAuthors(readFileSync(file, "utf8"))) said.add(words);
    packages.set(folder, said);
  }
  // a hundred small packages of one house share their texts: each text once, under the names of all that have it
  const holders = new Map<string, Set<string>>();
  for (const [folder, said] of packages) {
    const {name, texts} = ownTexts(folder);
    for (const text of [...texts, ...said]) holders.set(text, (holders.get(text) ?? new Set()).add(name));
  }
  const sections = [...holders].map(([text, names]) => `${[...names].sort().join(", ")}\n\n${text}`);
  return [
    "Wearbook's page holds these packages, each under its own licence. Wearbook itself is under the MIT licence.",
    ...sections.sort(),
  ].join(`\n\n${"=".repeat(100)}\n\n`);
}

function ownTexts(folder: string): {name: string; texts: string[]} {
  const {name, version, license} = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as PackageFile;
  const files = readdirSync(folder).filter((file) => LICENCE_FILE.test(file));
  return {
    name: `${name} ${version} (${license ?? "licence as below"})`,
    texts: files.length === 0 ? ["No licence file comes with it."] : files.map((file) => textOf(join(folder, file))),
  };
}

const textOf = (file: string): string => readFileSync(file, "utf8").trim();

interface PackageFile {
  readonly name: string;
  readonly version: string;
  readonly license?: string;
}

/** Comments that name authors or a licence, without their stars. */
function wordsOfAuthors(code: string): string[] {
  return (code.match(COMMENT) ?? [])
    .filter((comment) => OF_AUTHORS.test(comment))
    .map((comment) =>
      comment
        .replace(/^\/\*[*!]?|\*\/$/g, "")
        .replace(/^[ \t]*\*[ \t]?/gm, "")
        .trim(),
    );
}
