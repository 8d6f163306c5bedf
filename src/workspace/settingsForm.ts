/** The settings as a form reads and writes them: one value at a time in the text of `settings.yaml`, all else left alone. */
import * as v from "valibot";
import {isMap, YAMLMap} from "yaml";
import type {SettingSpec} from "../../shared/settings.ts";
import {componentMeaning} from "../../shared/vocabulary/index.ts";
import {entriesIn, setEntry, type EntryValue} from "../notebook/yamlText.ts";
import {readYaml} from "../../shared/readYaml.ts";

/** What a person means by a typed text: a value, none at all (`null` in the file), or the default (`undefined`). */
export type Typed =
  {readonly value: Exclude<EntryValue, null> | null | undefined; readonly wrong: null} | {readonly wrong: string};

/** The word that stands for an explicit "none" in a field; an empty field means the default. */
export const NONE = "none";

/** Reads a typed text by the setting's own schema; what it does not accept gets a sentence. */
export function readTyped({schema, accepts}: SettingSpec, typed: string): Typed {
  const text = typed.trim();
  if (text === "") return {value: undefined, wrong: null};
  if (text.toLowerCase() === NONE && v.is(schema, null)) return {value: null, wrong: null};
  const parts = text
    .replace(/^\[|\]$/g, "")
    .split(/[,;]\s*|\s+to\s+/)
    .map((part) => part.trim());
  const candidates: Exclude<EntryValue, null>[] = [Number(text), parts.map(Number), parts, text];
  const value = candidates.find((candidate) => v.is(schema, candidate));
  return value === undefined ? {wrong: `“${text}” cannot stand here: give ${accepts}.`} : {value, wrong: null};
}

/** What the file gives at a path, as a field shows it; empty where it gives nothing. */
export function shownAt(text: string, path: readonly string[]): string {
  let given: unknown = entriesIn(text);
  for (const name of pathIn(text, path)) {
    if (typeof given !== "object" || given === null || !Object.hasOwn(given, name)) return "";
    given = (given as Record<string, unknown>)[name];
  }
  return shown(given);
}

/** A value in the words of a field. */
export function shown(value: unknown): string {
  if (value === null) return NONE;
  return Array.isArray(value) ? value.join(", ") : typeof value === "object" ? "" : String(value ?? "");
}

/**
 * @param path names from the outside in; a component by its code, under whatever name the file calls it
 * @param value undefined takes the key out, so that its default counts again
 * @returns the new text, comments and unknown keys kept; null when the text is no YAML map, which only its writer can mend
 */
export function withSetting(text: string, path: readonly string[], value: EntryValue | undefined): string | null {
  const named = pathIn(text, path);
  if (value !== null) return setEntry(text, named, value ?? null);
  const document = readYaml(text);
  if (document.errors.length > 0 || (document.contents !== null && !isMap(document.contents))) return null;
  for (let depth = 1; depth < named.length; depth++) {
    const above = named.slice(0, depth);
    if (!isMap(document.getIn(above))) document.setIn(above, new YAMLMap());
  }
  document.setIn(named, null);
  return document.toString({lineWidth: 0, flowCollectionPadding: false});
}

/** The path as the file names it: components may stand there by a shop word. */
function pathIn(text: string, path: readonly string[]): string[] {
  let given: unknown = entriesIn(text);
  return path.map((name, at) => {
    const keys = typeof given === "object" && given !== null ? Object.keys(given) : [];
    const known =
      path[at - 1] === "components" ? (keys.findLast((key) => componentMeaning(key).code === name) ?? name) : name;
    given = keys.includes(known) ? (given as Record<string, unknown>)[known] : undefined;
    return known;
  });
}
