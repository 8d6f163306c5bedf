/** Which files of a folder the page reads. Written by the build and by the server, read by the worker. */
import {isText, logsAmong} from "../workspace/fileRoles.ts";

export interface LogManifest {
  /** identifies the folder, whatever it holds today; tells nothing of where it is */
  readonly id: string;
  /** names of the logs, beside the manifest */
  readonly logs: readonly string[];
  /** settings, mapping, register, actions and `analyses/NAME.md`, where there are any */
  readonly texts: readonly string[];
  /** the demo fleet's logs, which are invented */
  readonly invented: boolean;
}

/** The demo fleet's folder, wherever it is served from. */
export const DEMO_FOLDER = "demo";

/** The manifest of a folder that holds the named files; those of its folder `analyses` as `analyses/NAME.md`. */
export function logManifest(names: readonly string[], id: string, invented: boolean): LogManifest {
  const sorted = [...names].sort((a, b) => a.localeCompare(b, "en"));
  return {id, logs: logsAmong(sorted), texts: sorted.filter(isText), invented};
}

/** True for a manifest as written above; a server that answers every address with a page does not pass. */
export function isLogManifest(value: unknown): value is LogManifest {
  if (typeof value !== "object" || value === null) return false;
  const {id, logs, texts, invented} = value as Record<string, unknown>;
  const areNames = (list: unknown): boolean => Array.isArray(list) && list.every((name) => typeof name === "string");
  return typeof id === "string" && areNames(logs) && areNames(texts) && typeof invented === "boolean";
}
