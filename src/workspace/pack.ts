/**
 * A workspace in one file: a zip of its folder, so that what any program unzips is a FOLDER for the batch runner.
 * Unpacking trusts nothing the archive says of itself: sizes are summed before anything is unpacked, nothing is unpacked
 * beyond what was summed, and no name leads out of the folder.
 */
import {unzipSync, zipSync, type Zippable} from "fflate";
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

/** @param at noted as the date of every file */
export function pack(files: readonly NamedBytes[], at: Date): Uint8Array {
  const entries: Zippable = {};
  for (const {name, bytes} of files) entries[name] = [bytes, {level: PACKED.test(name) ? 0 : 6, mtime: at}];
  return zipSync(entries);
}

/** The files of a packed workspace, under the names a workspace keeps them by; or in plain words why there are none. */
export function unpack(archive: Uint8Array): Unpacked {
  const refuse = (refused: string): Unpacked => ({files: null, told: [], refused});
  const told: string[] = [];
  let names: string[];
  let parts: Record<string, Uint8Array>;
  try {
    // the first pass unpacks nothing: it only reads what the archive says of itself
    names = namesSafeIn(archive, told);
    const wanted = new Set(names);
    parts = unzipSync(archive, {filter: ({name}) => wanted.has(name)});
  } catch (error) {
    return refuse(error instanceof Refusal ? error.message : "the zip file is damaged, or is none");
  }
  const top = commonTop(names);
  const files = new Map<string, NamedBytes>();
  for (const name of names) {
    const kept = workspaceName(slashed(name).slice(top.length));
    const bytes = parts[name];
    if (bytes === undefined) continue;
    if (files.has(kept)) told.push(`${name} was left out: ${kept} stands in the zip file twice.`);
    else files.set(kept, {name: kept, bytes});
  }
  return {files: [...files.values()], told: [...told, ...toldOf([...files.keys()])], refused: null};
}

class Refusal extends Error {}

/** Names of the files that may be unpacked; whatever else there is goes into `told`. */
function namesSafeIn(archive: Uint8Array, told: string[]): string[] {
  const names: string[] = [];
  let size = 0;
  let count = 0;
  unzipSync(archive, {
    filter: ({name, originalSize}) => {
      if (++count > MOST_FILES) throw new Refusal(`it holds more than ${MOST_FILES} files`);
      if (name.endsWith("/") || isLitter(name)) return false;
      if (leadsOut(name)) {
        told.push(`${printable(name)} was left out: its name leads out of the folder.`);
        return false;
      }
      size += originalSize;
      if (originalSize < 0 || size > MOST_UNPACKED)
        throw new Refusal(`it would unpack to more than ${Math.round(MOST_UNPACKED / 1e6)} MB`);
      names.push(name);
      return false;
    },
  });
  return names;
}

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

/** As a person can read it. */
const printable = (name: string): string => name.replace(/\p{Cc}/gu, "·").slice(0, 120);

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
