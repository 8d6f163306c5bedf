/**
 * Changes one entry of a YAML text and leaves every other letter where it stands: comments, order, spacing, and keys
 * nobody here knows. What cannot be changed in place is written again by the YAML library, which keeps comments too.
 */
import {Document, isMap, isScalar, YAMLMap, type Pair} from "yaml";
import {canonical} from "./contentKey.ts";
import {readYaml} from "../../shared/readYaml.ts";

/** What an entry may be given: one value, several, or none. */
export type EntryValue = string | number | boolean | readonly (string | number)[] | null;

/**
 * @param text a YAML map of any depth; empty text is an empty map
 * @param path names from the outside in, e.g. `["where", "fleet"]`
 * @param value null takes the entry out
 * @returns the new text; null when `text` is no YAML map, which only its writer can mend
 */
export function setEntry(text: string, path: readonly string[], value: EntryValue): string | null {
  const document = readYaml(text);
  if (document.errors.length > 0 || (document.contents !== null && !isMap(document.contents))) return null;
  if (document.contents === null && value === null) return text;
  const written = document.clone();
  makeWay(written, path.slice(0, -1));
  if (value === null) written.deleteIn(path);
  else written.setIn(path, written.createNode(value, {flow: true}));
  dropEmpty(written, path.slice(0, -1));
  const inPlace = changedInPlace(text, document, path, value);
  // the text is taken only if it says exactly what the library would have written
  if (inPlace !== null && meaning(inPlace) === canonical(orEmpty(written.toJS()))) return inPlace;
  return isEmpty(written) ? commentsOf(text) : written.toString({lineWidth: 0});
}

/** The map that a YAML text says; null when it says none. */
export function entriesIn(text: string): Readonly<Record<string, unknown>> | null {
  const document = readYaml(text);
  if (document.errors.length > 0) return null;
  const given = orEmpty(document.toJS());
  return typeof given === "object" && !Array.isArray(given) ? (given as Record<string, unknown>) : null;
}

function meaning(text: string): string | null {
  const document = readYaml(text);
  return document.errors.length > 0 ? null : canonical(orEmpty(document.toJS()));
}

const orEmpty = (given: unknown): unknown => given ?? {};

const isEmpty = ({contents}: Document): boolean =>
  contents === null || (isMap(contents) && contents.items.length === 0);

const commentsOf = (text: string): string => (text.match(/^[ \t]*#.*(?:\n|$)/gm) ?? []).join("");

/** What stands where a map must is given up for it. */
function makeWay(document: Document, path: readonly string[]): void {
  for (let depth = 1; depth <= path.length; depth++) {
    const node = document.getIn(path.slice(0, depth));
    if (node !== undefined && !isMap(node)) document.setIn(path.slice(0, depth), new YAMLMap());
  }
}

/** A filter map that has lost its last filter goes too. */
function dropEmpty(document: Document, path: readonly string[]): void {
  if (path.length === 0) return;
  const map = document.getIn(path);
  if (isMap(map) && map.items.length === 0) document.deleteIn(path);
}

function changedInPlace(text: string, document: Document, path: readonly string[], value: EntryValue): string | null {
  let map = document.contents as YAMLMap | null;
  for (const [depth, name] of path.entries()) {
    if (map?.flow === true) return null;
    const pair = map?.items.find(({key}) => isScalar(key) && key.value === name);
    const last = depth === path.length - 1;
    if (pair === undefined) return value === null ? text : added(text, map, path.slice(depth), value);
    if (last) return value === null ? without(text, pair) : replaced(text, pair, value);
    if (!isMap(pair.value)) return null;
    map = pair.value;
  }
  return null;
}

function added(text: string, map: YAMLMap | null, path: readonly string[], value: EntryValue): string {
  const first = rangeOf(map?.items[0]?.key)?.[0] ?? 0;
  const indent = text.slice(text.lastIndexOf("\n", first - 1) + 1, first).match(/^ */)?.[0] ?? "";
  const lines = path.map((name, depth) => {
    const end = depth === path.length - 1 ? ` ${inline(value)}` : "";
    return `${indent}${"  ".repeat(depth)}${name}:${end}\n`;
  });
  const at = map === null || map.items.length === 0 ? text.length : endOf(text, map.items.at(-1)!);
  const before = text.slice(0, at);
  return `${before}${before === "" || before.endsWith("\n") ? "" : "\n"}${lines.join("")}${text.slice(at)}`;
}

function replaced(text: string, {key, value: node}: Pair, value: EntryValue): string | null {
  const name = rangeOf(key);
  const old = rangeOf(node);
  if (name === null) return null;
  const colon = text.indexOf(":", name[1]);
  if (colon < 0) return null;
  const from = old === null ? colon + 1 : old[0];
  const to = old === null ? colon + 1 : Math.max(from, from + text.slice(from, old[1]).trimEnd().length);
  if (from === to) return `${text.slice(0, colon + 1)} ${inline(value)}${text.slice(colon + 1)}`;
  // a list that began on the next line comes up beside its name
  const space = text.slice(colon + 1, from);
  return text.slice(0, colon + 1) + (space.includes("\n") ? " " : space) + inline(value) + text.slice(to);
}

function without(text: string, pair: Pair): string | null {
  const name = rangeOf(pair.key);
  if (name === null) return null;
  const from = text.lastIndexOf("\n", name[0] - 1) + 1;
  return text.slice(0, from) + text.slice(endOf(text, pair));
}

/** Where the line ends on which a pair ends. */
function endOf(text: string, {key, value}: Pair): number {
  const end = Math.max(rangeOf(key)?.[1] ?? 0, rangeOf(value)?.[1] ?? 0);
  if (end > 0 && text[end - 1] === "\n") return end;
  const line = text.indexOf("\n", end);
  return line < 0 ? text.length : line + 1;
}

function rangeOf(node: unknown): readonly [number, number, number] | null {
  return node !== null && typeof node === "object" && "range" in node
    ? ((node.range as [number, number, number] | null | undefined) ?? null)
    : null;
}

/** A value on one line. */
function inline(value: EntryValue): string {
  if (typeof value === "string" && /[\r\n]/.test(value)) return JSON.stringify(value);
  const document = new Document(null);
  document.contents = document.createNode(value, {flow: true});
  return document.toString({lineWidth: 0, flowCollectionPadding: false}).trimEnd();
}
