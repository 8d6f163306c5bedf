/**
 * A workspace in one file: a zip of its folder, so that what any program unzips is a FOLDER for the batch runner.
 * Unpacking trusts nothing the archive says of itself: sizes are summed before anything is unpacked, nothing is unpacked
 * beyond what was summed, and no name leads out of the folder.
 */
import {Zip, ZipDeflate, ZipPassThrough} from "fflate";
import {printable, unzipEntry, zipEntries, ZipTrouble, type ZipEntry} from "../logs/zip/readZip.ts";
import {INVENTED_FILE, isPack, roleOf, workspaceName} from "./fileRoles.ts";
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

/** Of 1 to 9: half the time of the usual 6, for a file that is a twentieth larger (logs of 250 MB). */
const LEVEL = 3;

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
    const entry = PACKED.test(name) ? new ZipPassThrough(name) : new ZipDeflate(name, {level: LEVEL});
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
    for (const {entry, name} of placed(entries, told)) {
      // within the folder that was packed as a whole
      if (leadsOut(name)) told.push(leftOut(entry.name));
      else if (files.has(name))
        told.push(`${printable(entry.name)} was left out: ${name} stands in the zip file twice.`);
      else files.set(name, {name, bytes: unzipEntry(archive, entry)});
    }
  } catch (error) {
    if (error instanceof ZipTrouble) return refuse(error.message);
    throw error;
  }
  return {files: [...files.values()], told: [...told, ...toldOf([...files.keys()])], refused: null};
}

interface Placed {
  readonly entry: ZipEntry;
  /** what a workspace keeps it by */
  readonly name: string;
}

/**
 * What is kept of an archive, and by which names. One that holds a file of a workspace is kept whole, with the logs that
 * stand in folders within beside the others. Of any other archive the tables may be logs; the rest is named and left.
 */
function placed(entries: readonly ZipEntry[], told: string[]): Placed[] {
  const top = commonTop(entries.map(({name}) => name));
  const all = entries.map((entry) => ({entry, name: workspaceName(slashed(entry.name).slice(top.length))}));
  const isWorkspace = all.some(({name}) => roleOf(name) !== "other" || name === INVENTED_FILE);
  if (isWorkspace) {
    const nested = all.filter(({name}) => name.includes("/") && roleOf(bare(name)) === "log" && !leadsOut(name));
    const moved = new Set(nested);
    const move = inFolder(all, told);
    return all.map((one) => (moved.has(one) ? move(one) : one));
  }
  const inner = all.filter(({name}) => isPack(name));
  for (const {entry} of inner)
    told.push(`${printable(entry.name)} is a zip file within the zip file: open it by itself.`);
  const tables = all.filter(({name}) => TABLE.test(name) && !leadsOut(name));
  const others = all.filter(({name}) => !TABLE.test(name) && !isPack(name) && !leadsOut(name));
  if (others.length > 0) told.push(`Left out, since they are no logs: ${listed(others.map(({name}) => name))}.`);
  return [...tables.map(inFolder(tables, told)), ...all.filter(({name}) => leadsOut(name))];
}

/** A log in a folder of its own is kept beside the others: `2024/runs.csv` as `runs.csv`, or as `runs.2024.csv`. */
function inFolder(all: readonly Placed[], told: string[]): (one: Placed) => Placed {
  const times = new Map<string, number>();
  for (const {name} of all) times.set(bare(name), (times.get(bare(name)) ?? 0) + 1);
  return (one) => {
    const {entry, name} = one;
    if (!name.includes("/") || leadsOut(name)) return one;
    const folders = name.split("/").slice(0, -1).join(" ");
    const [, stem = "", ending = ""] = /^(.*)(\.[^.]+)$/.exec(bare(name)) ?? [];
    const kept = times.get(bare(name)) === 1 ? bare(name) : `${stem}.${folders}${ending}`;
    told.push(`${printable(entry.name)} is kept as ${printable(kept)}.`);
    return {entry, name: kept};
  };
}

const bare = (name: string): string => name.split("/").at(-1)!;

/** What a log may be, by its name. */
const TABLE = /\.(csv|tsv|txt|xlsx|parquet)$/i;

const SHOWN = 8;
const listed = (names: readonly string[]): string =>
  names.slice(0, SHOWN).map(printable).join(", ") + (names.length > SHOWN ? ` and ${names.length - SHOWN} more` : "");

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

/** `FOLDER/` or `A/B/` when every file stands in that one folder: someone packed the folder, not what is in it. */
function commonTop(names: readonly string[]): string {
  let top = "";
  for (;;) {
    const further = /^[^/]+\//.exec(slashed(names[0] ?? "").slice(top.length))?.[0] ?? "";
    const next = top + further;
    if (
      further === "" ||
      further.toLowerCase() === "analyses/" ||
      !names.every((name) => slashed(name).startsWith(next))
    )
      return top;
    top = next;
  }
}

function toldOf(names: readonly string[]): string[] {
  const told: string[] = [];
  const logs = names.filter((name) => roleOf(name) === "log");
  const others = names.filter((name) => roleOf(name) === "other" && name !== INVENTED_FILE);
  // a table of any other name may be either log: its headers say
  const isRead = (name: string): boolean => TABLE.test(name) && !name.includes("/");
  const either = others.some(isRead);
  if (logs.length === 0 && !either)
    told.push("It holds no run log and no rebuild log: only what people wrote beside them was taken.");
  else if (!either && !logs.some((name) => /\.xlsx$/i.test(name))) {
    for (const [log, words] of [
      ["runs", "run log"],
      ["rebuilds", "rebuild log"],
    ] as const)
      if (!logs.some((name) => name.toLowerCase().startsWith(log)))
        told.push(`It holds no ${words}: no file named ${log}.*`);
  }
  const unread = others.filter((name) => !isRead(name));
  if (unread.length > 0) told.push(`Kept with the rest, though nothing here reads it: ${listed(unread)}.`);
  return told;
}
