/** The files that a reader chose, and what is made of them. */
import {isPack, isText, workspaceName} from "../../workspace/fileRoles.ts";
import type {LogSource, LogSummary} from "../worker/protocol.ts";
import type {WorkerPool} from "../worker/WorkerPool.ts";

export type GivenFiles =
  | {readonly files: readonly File[]; /** what the reader must know of them */ readonly told: readonly string[]}
  | {readonly files: null; /** a sentence */ readonly refused: string};

/** The files chosen, with those of packed workspaces in their place. */
export async function unpackGiven(pool: WorkerPool, given: readonly File[]): Promise<GivenFiles> {
  const files: File[] = [];
  const told: string[] = [];
  for (const file of given) {
    if (!isPack(file.name)) {
      files.push(file);
      continue;
    }
    const unpacked = await pool.ask("unpack", file).done;
    if (unpacked.how !== "answered" || unpacked.answer.files === null) {
      const why = unpacked.how === "answered" ? unpacked.answer.refused : "it could not be read";
      return {files: null, refused: `${file.name} cannot be opened: ${why ?? ""}.`};
    }
    if (unpacked.answer.files.length === 0) {
      const sentences = unpacked.answer.told.join(" ");
      return {files: null, refused: `${file.name} holds no log and nothing else of a workspace. ${sentences}`};
    }
    told.push(...unpacked.answer.told);
    files.push(...unpacked.answer.files);
  }
  return {files, told};
}

/** In the order of their names, so that the same files always give the same logs. */
export const inOrder = (files: readonly File[]): File[] => [...files].sort((a, b) => (a.name < b.name ? -1 : 1));

export const hasFile = (files: readonly File[], name: string): boolean =>
  files.some((file) => workspaceName(file.name) === name);

/** Files of the workspace besides the small text files. */
export function othersOf(summary: LogSummary, source: LogSource): readonly string[] {
  const names = source.from === "files" ? source.files.map(({name}) => name) : summary.files.map(({name}) => name);
  return names.filter((name) => !isText(workspaceName(name)));
}

/** What was opened in fact: the reader's own files come before an invented folder. */
export function sourceOpened(source: LogSource, {folder}: LogSummary): LogSource {
  if (source.from === "files" || source.own === undefined) return source;
  return folder === null ? {from: "files", files: source.own} : {from: "folder", manifest: source.manifest};
}
