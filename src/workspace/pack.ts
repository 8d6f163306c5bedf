/**
 * A workspace in one file: a zip of its folder, so that what any program unzips is a FOLDER for the batch runner.
 * Unpacking trusts nothing the archive says of itself: sizes are summed before anything is unpacked, nothing is unpacked
 * beyond what was summed, and no name leads out of the folder.
 */
import {Zip, ZipDeflate, ZipPassThrough} from "fflate";
import {printable, unzipEntry, zipEntries, ZipTrouble, type ZipEntry} from "../logs/zip/readZip.ts";
import {INVENTED_FILE, roleOf, workspaceName} from "./fileRoles.ts";
import type {NamedBytes} from "./openLogs.ts";

/** Bytes that all files of a packed workspace may have unpacked: some 12 million rows of log. */
export const MOST_UNPACKED = 2_000_000_000;
const MOST_FILES = 4096;

/** Already packed in themselves: packing them again only costs time. */
const PACKED = /\.(xlsx|parquet|gz|zip|png|jpe?g|pdf)$/i;

export type Unpacked =
  | {
      readonly files: readonly NamedBytes[];
      /** what the reader must know of the files: sentences */
      readonly told: readonly string[];
      readonly refused: null;
    }
  | {readonly files: null; readonly told: readonly []; readonly refused: string};

/** What it says for whoever unzips a pack of the demo fleet. */
export const INVENTED_TEXT =
  "The logs in this folder are an invented demo fleet: no real company, tool, person or well.\n";

/** Bytes packed at a time. */
const SLICE = 1 << 22;

/**
 * @param at noted as the date of every file
 * @returns the archive in pieces, so that one of hundreds of megabytes is never held twice
 * @throws Error of the packer: a name is longer than an archive can hold
 */
export function pack(files: readonly NamedBytes[], at: Date): Uint8Array<ArrayBuffer>[] {
  const pieces: Uint8Array<ArrayBuffer>[] = [];
  const archive = new Zip((error, piece) => {
    if (error) throw error;
    pieces.push(piece as Uint8Array<ArrayBuffer>);
  });
  for (const {name, bytes} of files) {
    const entry = PACKED.test(name) ? new ZipPassThrough(name) : new ZipDeflate(name, {level: 6});
    entry.mtime = at;
    archive.add(entry);
    for (let from = 0; from < bytes.length; from += SLICE) entry.push(bytes.slice(from, from + SLICE));
    entry.push(new Uint8Array(0), true);
  }
  archive.end();
  return pieces;
}

/** The files of a packed workspace, under the names a workspace keeps them by; or in plain words why there are none. */
export function unpack(archive: Uint8Array): Unpacked {
  const refuse = (refused: string): Unpacked => ({files: null, told: [], refused});
  const told: string[] = [];
  const files = new Map<string, NamedBytes>();
  try {
    const entries = safeEntries(archive, told);
    const top = commonTop(entries.map(({name}) => name));
    for (const entry of entries) {
      const kept = workspaceName(slashed(entry.name).slice(top.length));
      // within the folder that was packed as a whole
      if (leadsOut(kept)) told.push(leftOut(entry.name));
      else if (files.has(kept))
        told.push(`${printable(entry.name)} was left out: ${kept} stands in the zip file twice.`);
      else files.set(kept, {name: kept, bytes: unzipEntry(archive, entry)});
    }
  } catch (error) {
    if (error instanceof ZipTrouble) return refuse(error.message);
    throw error;
  }
  return {files: [...files.values()], told: [...told, ...toldOf([...files.keys()])], refused: null};
}

/** The files that may be unpacked; whatever else there is goes into `told`. */
function safeEntries(archive: Uint8Array, told: string[]): ZipEntry[] {
  const entries = zipEntries(archive, MOST_FILES).filter(({name}) => {
    if (name.endsWith("/") || isLitter(name)) return false;
    if (!leadsOut(name)) return true;
    told.push(leftOut(name));
    return false;
  });
  if (entries.reduce((sum, {size}) => sum + size, 0) > MOST_UNPACKED)
    throw new ZipTrouble(`it would unpack to more than ${Math.round(MOST_UNPACKED / 1e6)} MB`);
  return entries;
}

const leftOut = (name: string): string => `${printable(name)} was left out: its name leads out of the folder.`;

const slashed = (name: string): string => name.replaceAll("\\", "/");

/** What systems put beside a folder's own files when they pack it. */
const isLitter = (name: string): boolean =>
  /(^|\/)(__MACOSX\/|\.DS_Store$|Thumbs\.db$|desktop\.ini$)/i.test(slashed(name));

function leadsOut(name: string): boolean {
  const path = slashed(name);
  return (
    path === "" || /^\/|^[a-z]:|\p{Cc}/iu.test(path) || path.split("/").some((part) => ["", ".", ".."].includes(part))
  );
}

/** `FOLDER/` when every file stands in that one folder: someone packed the folder, not what is in it. */
function commonTop(names: readonly string[]): string {
  const [first = ""] = names;
  const top = /^[^/]+\//.exec(slashed(first))?.[0] ?? "";
  return top !== "" && top.toLowerCase() !== "analyses/" && names.every((name) => slashed(name).startsWith(top))
    ? top
    : "";
}

function toldOf(names: readonly string[]): string[] {
  const told: string[] = [];
  const logs = names.filter((name) => roleOf(name) === "log");
  const others = names.filter((name) => roleOf(name) === "other" && name !== INVENTED_FILE);
  if (logs.length === 0)
    told.push("It holds no run log and no rebuild log: only what people wrote beside them was taken.");
  else if (!logs.some((name) => /\.xlsx$/i.test(name))) {
    for (const [log, words] of [
      ["runs", "run log"],
      ["rebuilds", "rebuild log"],
    ] as const)
      if (!logs.some((name) => name.toLowerCase().startsWith(log)))
        told.push(`It holds no ${words}: no file named ${log}.*`);
  }
  if (others.length > 0)
    told.push(`Kept with the rest, though nothing here reads it: ${others.map(printable).join(", ")}.`);
  return told;
}
