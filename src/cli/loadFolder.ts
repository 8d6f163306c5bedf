/** FOLDER → open logs, with the exits that all folder commands share. */
import {realpath} from "node:fs/promises";
import {fileURLToPath} from "node:url";
import {openLogs, type OpenLogs} from "../workspace/openLogs.ts";
import {CommandError, type Effects} from "./effects.ts";
import {readFolder, type Folder} from "./folder.ts";

export interface LoadedFolder {
  readonly folder: Folder;
  readonly logs: OpenLogs;
}

/** The demo fleet that comes with Wearbook; a report on it says that it is invented. */
const DEMO = fileURLToPath(new URL("../../data", import.meta.url));

/** @throws CommandError (bad input) when nothing usable could be read */
export async function loadFolder(path: string, effects: Effects): Promise<LoadedFolder> {
  const folder = await readFolder(path);
  const outcome = await openLogs(folder.files, (await realpath(path)) === (await realpath(DEMO)), () => undefined);
  if (!outcome.opened) {
    for (const {file, message} of outcome.findings) effects.say(`${file}: ${message}`);
    throw new CommandError(outcome.message, 1);
  }
  return {folder, logs: outcome.logs};
}
