/** Fetches or reads the files of a source. Every failure is a sentence. */
import {isLogManifest} from "../logManifest.ts";
import {INVENTED_FILE} from "../../workspace/fileRoles.ts";
import type {NamedBytes} from "../../workspace/openLogs.ts";
import type {LogSource} from "./protocol.ts";

export interface SourceRead {
  readonly files: readonly NamedBytes[];
  readonly invented: boolean;
  /** identifies the folder they were served from; null: files of the reader's own */
  readonly folder: string | null;
}

/** @throws Error with a sentence for the reader */
export async function readSource(source: LogSource, say: (text: string) => void): Promise<SourceRead> {
  if (source.from === "files") return ownFiles(source.files, say);
  say("reading the list of logs …");
  const manifest: unknown = await (await fetched(source.manifest)).json().catch(() => null);
  if (!isLogManifest(manifest)) throw new Error(`${nameOf(source.manifest)} beside this page is no list of logs`);
  if (manifest.invented && source.own !== undefined) return ownFiles(source.own, say);
  const names = [...manifest.logs, ...manifest.texts];
  // all at once: they come from this machine
  const files = await Promise.all(
    names.map(async (name) => {
      say(`reading ${name} …`);
      const response = await fetched(new URL(name.split("/").map(encodeURIComponent).join("/"), source.manifest).href);
      return {name, bytes: new Uint8Array(await response.arrayBuffer())};
    }),
  );
  return {files, invented: manifest.invented, folder: manifest.id};
}

async function ownFiles(given: readonly File[], say: (text: string) => void): Promise<SourceRead> {
  const files: NamedBytes[] = [];
  for (const file of given) {
    say(`reading ${file.name} …`);
    files.push({name: file.name, bytes: await bytesOf(file)});
  }
  // the demo fleet's logs are invented wherever they came from
  return {files, invented: files.some(({name}) => name === INVENTED_FILE), folder: null};
}

async function bytesOf(file: File): Promise<Uint8Array> {
  try {
    return new Uint8Array(await file.arrayBuffer());
  } catch {
    // a folder dropped like a file, or a file moved since it was chosen
    throw new Error(`${file.name} could not be read: it is a folder, or it has changed or gone since it was chosen`);
  }
}

async function fetched(address: string): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(address);
  } catch {
    throw new Error(`${nameOf(address)} could not be fetched: is the server that showed this page still running?`);
  }
  if (!response.ok) throw new Error(`${nameOf(address)} is not beside this page (answer ${response.status})`);
  return response;
}

const nameOf = (address: string): string => decodeURIComponent(new URL(address).pathname.replace(/^.*\//, ""));
