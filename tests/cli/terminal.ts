/** A terminal that keeps what it was told, and folders that go when the test ends. */
import {mkdtemp, rm, writeFile} from "node:fs/promises";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {onTestFinished} from "vitest";
import {main} from "../../src/cli/main.ts";

export interface Told {
  readonly code: number;
  /** stdout */
  readonly out: string;
  /** stderr */
  readonly err: string;
}

export async function wearbook(...words: string[]): Promise<Told> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await main(words, {print: (text) => void out.push(text), say: (text) => void err.push(text)});
  return {code, out: out.join("\n"), err: err.join("\n")};
}

/** A folder with these files, by name. */
export async function folderOf(files: Readonly<Record<string, string | Uint8Array>>): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "wearbook-"));
  onTestFinished(() => rm(folder, {recursive: true, force: true}));
  for (const [name, content] of Object.entries(files)) await writeFile(join(folder, name), content);
  return folder;
}

/** One CSV file with these lines; its path. */
export async function fileOf(...lines: string[]): Promise<string> {
  return join(await folderOf({"lives.csv": `${lines.join("\n")}\n`}), "lives.csv");
}
