/** What each file of a workspace is, told from its name alone. A workspace and the batch runner's FOLDER are alike. */

/** `other`: kept beside the rest, and read by nobody. */
export type FileRole = "log" | "settings" | "mapping" | "register" | "actions" | "analysis" | "contents" | "other";

export const SETTINGS_FILE = "settings.yaml";
export const MAPPING_FILE = "mapping.yaml";
export const REGISTER_FILE = "register.yaml";
export const ACTIONS_FILE = "actions.yaml";

/** Stands in a pack of the demo fleet: its logs are told to be invented wherever they are opened. */
export const INVENTED_FILE = "INVENTED.txt";

/** Small files that people edit: kept as text, and changed without reading the logs again (but for the mapping). */
const TEXT_FILES: readonly (readonly [FileRole, RegExp, string])[] = [
  ["settings", /^settings\.ya?ml$/i, SETTINGS_FILE],
  ["mapping", /^mapping\b[^/\\]*\.ya?ml$/i, MAPPING_FILE],
  ["register", /^register\.ya?ml$/i, REGISTER_FILE],
  ["actions", /^actions\.ya?ml$/i, ACTIONS_FILE],
];

/** The order of the pages, where someone has changed it. */
const CONTENTS = /^analyses\/contents\.ya?ml$/i;
const ANALYSIS = /^analyses\/[^/\\]+\.md$/i;
const LOG = /^(?:runs|rebuilds)[^/\\]*\.(?:csv|tsv|txt|xlsx|parquet)$/i;
/** A workbook may hold both logs, whatever its name; spreadsheets lock an open one by a file that begins with ~$. */
const WORKBOOK = /^(?!~\$)[^/\\]*\.xlsx$/i;

export function roleOf(name: string): FileRole {
  const text = TEXT_FILES.find(([, pattern]) => pattern.test(name));
  if (text !== undefined) return text[0];
  if (ANALYSIS.test(name) && !/\/readme\.md$/i.test(name)) return "analysis";
  if (CONTENTS.test(name)) return "contents";
  return LOG.test(name) || WORKBOOK.test(name) ? "log" : "other";
}

/** True for the small files that people edit. */
export function isText(name: string): boolean {
  return !["log", "other"].includes(roleOf(name));
}

/** The name under which a workspace keeps a file: `Settings.yml` is its `settings.yaml`; a page stands in `analyses/`. */
export function workspaceName(name: string): string {
  const text = TEXT_FILES.find(([, pattern]) => pattern.test(name));
  if (text !== undefined) return text[2];
  return /^[^/\\]+\.md$/i.test(name) ? `analyses/${name}` : name;
}

/** Files named as logs; where one of the two logs has none, workbooks of any name may hold it. */
export function logsAmong(names: readonly string[]): string[] {
  const named = names.filter((name) => LOG.test(name));
  const both = ["runs", "rebuilds"].every((log) => named.some((name) => name.toLowerCase().startsWith(log)));
  return both ? named : names.filter((name) => LOG.test(name) || WORKBOOK.test(name));
}

/** @param day ISO, e.g. `2026-11-26` */
export const packName = (day: string): string => `wearbook-${day}.zip`;

/** True for a file that `unpack` may open, by its name. */
export const isPack = (name: string): boolean => /\.zip$/i.test(name);
