/** Which files of a folder the page reads as its logs. Written by the build and by the server, read by the worker. */

export interface LogManifest {
  /** file names, beside the manifest */
  readonly logs: readonly string[];
  /** name of the settings file, when there is one */
  readonly settings: string | null;
  /** the demo fleet's logs, which are invented */
  readonly invented: boolean;
}

const LOG_NAME = /^(runs|rebuilds)[^/\\]*\.(csv|tsv|txt|xlsx|parquet)(\.gz)?$/i;
const SETTINGS_NAME = /^settings\.ya?ml$/i;

/** The manifest of a folder that holds the named files. */
export function logManifest(names: readonly string[], invented: boolean): LogManifest {
  const sorted = [...names].sort((a, b) => a.localeCompare(b, "en"));
  return {
    logs: sorted.filter((name) => LOG_NAME.test(name)),
    settings: sorted.find((name) => SETTINGS_NAME.test(name)) ?? null,
    invented,
  };
}

/** True for a manifest as written above; a server that answers every address with a page does not pass. */
export function isLogManifest(value: unknown): value is LogManifest {
  if (typeof value !== "object" || value === null) return false;
  const {logs, settings, invented} = value as Record<string, unknown>;
  return (
    Array.isArray(logs) &&
    logs.every((name) => typeof name === "string") &&
    (settings === null || typeof settings === "string") &&
    typeof invented === "boolean"
  );
}
