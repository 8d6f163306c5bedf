/** FOLDER → open logs, with the exits that all folder commands share. */
import {openLogs, type OpenLogs} from "../workspace/openLogs.ts";
import {CommandError, type Effects} from "./effects.ts";
import {readFolder, type Folder} from "./folder.ts";

export interface LoadedFolder {
  readonly folder: Folder;
  readonly logs: OpenLogs;
}

/** @throws CommandError (bad input) when nothing usable could be read */
export async function loadFolder(path: string, effects: Effects): Promise<LoadedFolder> {
  const folder = await readFolder(path);
  const outcome = await openLogs(folder.files, false, () => undefined);
  if (!outcome.opened) {
    for (const {file, message} of outcome.findings) effects.say(`${file}: ${message}`);
    throw new CommandError(outcome.message, 1);
  }
  return {folder, logs: outcome.logs};
}
