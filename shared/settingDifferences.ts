/** What a shop's settings say that the defaults do not. */
import {DEFAULT_SETTINGS, type Settings} from "./settings.ts";

/** `fleets.Alder.components.SEAL.failure_cost` → `components.SEAL.failure_cost` */
const FLEET_ENTRY = /^fleets\..*?\.(components\.[^.]+\.[^.]+)$/;

export interface SettingDifference {
  /** where it stands in the settings file, e.g. `components.SEAL.failure_cost` */
  readonly name: string;
  readonly value: string;
  /** what holds when the file says nothing; null when there is no such entry then */
  readonly usual: string | null;
}

/** In the order of the names. A list counts as one value; a fleet's entry is held against what holds for all fleets. */
export function settingDifferences(settings: Settings, usual: Settings = DEFAULT_SETTINGS): SettingDifference[] {
  const here = flat(settings);
  const there = flat(usual);
  return [...here]
    .map(([name, value]) => {
      const general = FLEET_ENTRY.exec(name)?.[1];
      return {name, value, usual: (general === undefined ? there.get(name) : here.get(general)) ?? null};
    })
    .filter(({value, usual: before}) => before !== value)
    .sort((a, b) => a.name.localeCompare(b.name, "en"));
}

function flat(value: unknown, name = "", into = new Map<string, string>()): Map<string, string> {
  if (value === null || value === undefined) into.set(name, "none");
  else if (typeof value === "object" && !Array.isArray(value)) {
    for (const [key, item] of Object.entries(value)) flat(item, name === "" ? key : `${name}.${key}`, into);
  } else into.set(name, Array.isArray(value) ? value.join(", ") : String(value));
  return into;
}
