/** A packed workspace unpacked, packed again and opened. */
import {isPack} from "../../src/workspace/fileRoles.ts";
import {MOST_UNPACKED, pack, unpack} from "../../src/workspace/pack.ts";
import {joined} from "../logs/zipFiles.ts";
import type {Trial} from "./tried.ts";
import {triedWorkspace} from "./triedWorkspace.ts";

export const triedPack: Trial = async ([file]) => {
  const {files, told, refused} = unpack(file!.bytes);
  if (files === null) return {rows: 0, wrong: refused === "" ? "it is refused without a reason" : null};
  const size = files.reduce((sum, {bytes}) => sum + bytes.length, 0);
  const wrong = (what: string): {rows: number; wrong: string} => ({rows: 0, wrong: what});
  if (size > MOST_UNPACKED) return wrong(`it unpacked to ${size} bytes`);
  const out = files.find(({name}) => /^[/\\]|^[a-z]:|(^|[/\\])\.\.?([/\\]|$)|\p{Cc}/iu.test(name) || name === "");
  if (out !== undefined) return wrong(`a name leads out of the folder: ${JSON.stringify(out.name)}`);
  if (new Set(files.map(({name}) => name)).size < files.length) return wrong("two files have one name");
  if (told.some((sentence) => /undefined|\[object/.test(sentence))) return wrong(`it says: ${told.join(" ")}`);
  const again = unpack(joined(pack(files, new Date("2026-11-26T12:00:00Z")))).files ?? [];
  if (again.length !== files.length) return wrong("it is not packed again as it was unpacked");
  for (const [i, {name, bytes}] of files.entries())
    if (again[i]?.name !== name || !bytes.every((byte, at) => again[i]!.bytes[at] === byte))
      return wrong(`${name} is not packed again as it was unpacked`);
  // what nobody reads is kept, and not opened
  return triedWorkspace(files.filter(({name}) => !isPack(name)));
};
