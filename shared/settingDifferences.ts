/** What a shop's settings say that the defaults do not. */
import {DEFAULT_SETTINGS, type Settings} from "./settings.ts";

export interface SettingDifference {
  /** where it stands in the settings file, e.g. `components.SEAL.failure_cost` */
  readonly name: string;
  readonly value: string;
  /** what holds when the file says nothing; null when there is no such entry then */
  readonly usual: string | null;
}

/** In the order of the names. A list counts as one value. */
export function settingDifferences(settings: Settings, usual: Settings = DEFAULT_SETTINGS): SettingDifference[] {
  const here = flat(settings);
  const there = flat(usual);
  return [...here]
    .filter(([name, value]) => there.get(name) !== value)
    .map(([name, value]) => ({name, value, usual: there.get(name) ?? null}))
    .sort((a, b) => a.name.localeCompare(b.name, "en"));
}

function flat(value: unknown, name = "", into = new Map<string, string>()): Map<string, string> {
  if (value === null || value === undefined) into.set(name, "none");
  else if (typeof value === "object" && !Array.isArray(value)) {
    for (const [key, item] of Object.entries(value)) flat(item, name === "" ? key : `${name}.${key}`, into);
  } else into.set(name, Array.isArray(value) ? value.join(", ") : String(value));
  return into;
}
