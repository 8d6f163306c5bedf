/** What the reader is told of files that took the place of others, with a way back. */
import {isText, workspaceName} from "../../workspace/fileRoles.ts";
import type {Texts} from "../../workspace/edits.ts";
import {hasFile} from "./givenFiles.ts";
import type {Notices} from "./Notices.svelte.ts";
import type {WorkspaceFiles} from "./WorkspaceFiles.svelte.ts";

/** A changed file hides the folder's own: the reader is told when that one has changed since. */
export function tellChangedBelow(over: Texts, files: WorkspaceFiles, notices: Notices): void {
  for (const [name, text] of Object.entries(over)) {
    const original = files.original(name);
    if (original === text || original === null) continue;
    notices.tell(`${name} in the folder has changed since you changed it on this page. Yours is in use.`, [
      {label: "Use the folder's instead", act: () => void files.write(name, original)},
    ]);
  }
}

/**
 * @param files what was chosen
 * @param before what was kept till then
 * @param reopen opens others in their place: with those open now, or without
 */
export function tellReplaced(
  files: readonly File[],
  before: readonly File[],
  notices: Notices,
  reopen: (others: readonly File[], withThose: boolean) => void,
): void {
  const logs = before.filter(({name}) => !isText(workspaceName(name)));
  if (logs.length === 0) return;
  const others = logs.filter(({name}) => !hasFile(files, name));
  notices.tell(`These took the place of the logs kept before: ${logs.map(({name}) => name).join(", ")}.`, [
    ...(others.length === 0 || others.length < logs.length
      ? []
      : [{label: "Use the earlier ones as well", act: () => reopen(others, true)}]),
    {label: "Go back to the earlier ones", act: () => reopen(before, false)},
  ]);
}
