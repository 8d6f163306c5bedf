/** Reads FOLDER of the batch commands: run logs, rebuild logs, settings and analyses; or the same packed in one zip file. */
import {readdir, readFile, stat} from "node:fs/promises";
import {join} from "node:path";
import {CONTENTS_FILE, readContents, type Contents, type PageFile} from "../notebook/contents.ts";
import {isPack, isText, logsAmong, roleOf} from "../workspace/fileRoles.ts";
import {unpack} from "../workspace/pack.ts";
import {CommandError} from "./effects.ts";

export interface FolderFile {
  /** name without any path */
  readonly name: string;
  readonly bytes: Uint8Array;
}

export interface Folder {
  /** run and rebuild logs by name, then settings, mapping, register and actions where they are there */
  readonly files: readonly FolderFile[];
  /** analyses/*.md, by name: the shop's own pages */
  readonly analyses: readonly PageFile[];
  /** what analyses/contents.yaml says of the order of all pages */
  readonly contents: Contents;
}

/** @throws CommandError (bad input) when the folder is not there or holds no log */
export async function readFolder(path: string): Promise<Folder> {
  if (isPack(path) && !(await isDirectory(path))) return readPacked(path);
  const names = await namesIn(path);
  const logNames = logsAmong(names);
  if (logNames.length === 0) {
    const held = names.length === 0 ? "nothing" : names.slice(0, 8).join(", ") + (names.length > 8 ? ", …" : "");
    throw new CommandError(
      `no run or rebuild log in ${path}: expected runs.csv and rebuilds.csv (or runs.NAME.csv, runs.xlsx, runs.parquet, one workbook with both …), found ${held}`,
      1,
    );
  }
  const pages = names.includes("analyses") ? join(path, "analyses") : null;
  const analyses = pages === null ? [] : await markdownIn(pages);
  const contents = readContents(pages === null ? null : await textIn(pages, CONTENTS_FILE));
  const wanted = [...logNames, ...names.filter(isText)];
  const files = await Promise.all(wanted.map(async (name) => ({name, bytes: await readBytes(join(path, name))})));
  return {files, analyses, contents};
}

/** A workspace that the page packed into one file, or any zip of such a folder. */
async function readPacked(path: string): Promise<Folder> {
  const {files: unpacked, refused} = unpack(await readBytes(path));
  if (unpacked === null) throw new CommandError(`cannot read ${path}: ${refused}`, 1);
  // the same order as in a folder, so that the same files always give the same lives
  const files = [...unpacked].sort((a, b) => (a.name < b.name ? -1 : 1));
  const logs = logsAmong(files.map(({name}) => name));
  if (logs.length === 0) throw new CommandError(`no run or rebuild log in ${path}`, 1);
  const texts = new Map(files.map(({name, bytes}) => [name, bytes] as const));
  const text = (name: string): string => new TextDecoder().decode(texts.get(name));
  const pages = files.flatMap(({name}) => (roleOf(name) === "analysis" ? [name.slice(ANALYSES.length)] : []));
  const contents = texts.has(ANALYSES + CONTENTS_FILE) ? text(ANALYSES + CONTENTS_FILE) : null;
  return {
    files: files.filter(({name}) => logs.includes(name) || (isText(name) && !name.includes("/"))),
    analyses: pages.map((name) => ({name, text: text(ANALYSES + name)})),
    contents: readContents(contents),
  };
}

const ANALYSES = "analyses/";

async function isDirectory(path: string): Promise<boolean> {
  return stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  );
}

/** The bytes of a file, or a sentence why not. */
export async function readBytes(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (error) {
    throw new CommandError(`cannot read ${path}: ${reason(error)}`, 1);
  }
}

/** The pages in a folder, by name. */
export async function markdownIn(path: string): Promise<PageFile[]> {
  const names = (await namesIn(path)).filter((name) => roleOf(ANALYSES + name) === "analysis");
  return Promise.all(names.map(async (name) => ({name, text: (await textIn(path, name)) ?? ""})));
}

/** The text of a file in a folder; null when it is not there. */
async function textIn(path: string, name: string): Promise<string | null> {
  if (!(await namesIn(path)).includes(name)) return null;
  return new TextDecoder().decode(await readBytes(join(path, name)));
}

async function namesIn(path: string): Promise<string[]> {
  try {
    if (!(await stat(path)).isDirectory()) {
      throw new CommandError(`${path} is a file; give the folder that holds runs.* and rebuilds.*`, 1);
    }
    return (await readdir(path)).sort();
  } catch (error) {
    if (error instanceof CommandError) throw error;
    throw new CommandError(`cannot read folder ${path}: ${reason(error)}`, 1);
  }
}

/** The system's reason in words a person can act on. */
function reason(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  const words: Readonly<Record<string, string>> = {
    ENOENT: "there is no such file or folder",
    EACCES: "no permission to read it",
    EISDIR: "it is a folder, not a file",
  };
  return words[code] ?? (error instanceof Error ? error.message : String(error));
}
