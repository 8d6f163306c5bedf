/**
 * Changes to `actions.yaml` as text → text. Comments, order and entries that are not understood stay as they are; a file
 * that cannot be read, or that a later version wrote, is not written into.
 */
import {isMap, isSeq, type Document, type Node, type YAMLMap} from "yaml";
import {nodeAt, parseActions, textOf, whyUnreadable, type ActionEventKind, type ReviewAction} from "./actions.ts";
import {readYaml} from "./readYaml.ts";

/** The changed text, or why the file is not touched. */
export type Kept = {readonly text: string} | {readonly refused: string};

export type NewAction = Pick<ReviewAction, "job" | "run" | "tool" | "what" | "owner" | "due">;

export interface Signed {
  /** ISO day */
  readonly on: string;
  readonly by: string | null;
  readonly note?: string | null;
}

const HEAD = ` Actions agreed in job reviews. Written by the page; may be edited by hand.
 States: an action is open until its history says done or dropped; "reopened" opens it again.
`;

/** @param text the file as it is; empty or null where there is none yet */
export function withAction(text: string | null, action: NewAction, {on, by, note = null}: Signed): Kept {
  const opened = openFile(text);
  if ("refused" in opened) return opened;
  if (action.what.trim() === "") return {refused: "An action needs words for what is to be done."};
  const {document} = opened;
  const entry = {
    id: freeId(text ?? "", on),
    ...given({job: action.job, run: action.run, tool: action.tool, what: action.what.trim()}),
    ...given({owner: action.owner, due: action.due}),
    history: [event("opened", {on, by, note})],
  };
  const list = listOf(document);
  if (list === null) return {refused: "The actions of actions.yaml are no list; mend the file first."};
  const node = document.createNode(entry) as YAMLMap;
  flowHistory(node);
  list.add(node);
  return {text: document.toString({lineWidth: 120})};
}

/** An action done, dropped or opened again. */
export function withEvent(text: string | null, id: string, what: ActionEventKind, signed: Signed): Kept {
  return changed(text, id, (document, node) => addEvent(document, node, event(what, signed)));
}

/** Another owner, day or wording; the history says what it was before. */
export function withChange(
  text: string | null,
  id: string,
  to: Partial<Pick<ReviewAction, "what" | "owner" | "due">>,
  signed: Signed,
): Kept {
  return changed(text, id, (document, node) => {
    const was: string[] = [];
    for (const key of ["what", "owner", "due"] as const) {
      const value = to[key];
      if (value === undefined) continue;
      const before = textOf(node, key);
      const after = value === null || value.trim() === "" ? null : value.trim();
      if (before === after || (key === "what" && after === null)) continue;
      was.push(`${key} was ${before ?? "empty"}`);
      if (after === null) node.delete(key);
      else node.set(key, after);
    }
    if (was.length > 0)
      addEvent(
        document,
        node,
        event("changed", {...signed, note: [was.join("; "), signed.note ?? ""].filter(Boolean).join(". ")}),
      );
  });
}

function changed(text: string | null, id: string, change: (document: Document, node: YAMLMap) => void): Kept {
  const opened = openFile(text);
  if ("refused" in opened) return opened;
  const {document} = opened;
  const list = nodeAt(document.contents as YAMLMap, "actions");
  const node = isSeq(list)
    ? (list.items as (Node | null)[]).find((item): item is YAMLMap => isMap(item) && textOf(item, "id") === id)
    : undefined;
  if (node === undefined) return {refused: `There is no action ${id} in the file any more.`};
  change(document, node);
  return {text: document.toString({lineWidth: 120})};
}

function openFile(text: string | null): {readonly document: Document} | {readonly refused: string} {
  const document: Document = readYaml(text ?? "", {uniqueKeys: false});
  const unreadable = whyUnreadable(document);
  if (unreadable !== null)
    return {refused: `actions.yaml is left as it is, since it cannot be read: ${unreadable}. Mend it first.`};
  if (!isMap(document.contents)) {
    const fresh: Document = readYaml("version: 1\nactions: []\n");
    fresh.commentBefore = HEAD.trimEnd();
    return {document: fresh};
  }
  const version: unknown = document.contents.get("version");
  if (version !== undefined && version !== 1)
    return {refused: `actions.yaml was written as version ${String(version)}; it is not changed by version 1.`};
  return {document};
}

/** The list to add to; made where there is none, null where something else stands in its place. */
function listOf(document: Document) {
  const root = document.contents as YAMLMap;
  const list = nodeAt(root, "actions");
  if (isSeq(list)) {
    list.flow = false;
    return list;
  }
  if (list !== null && root.get("actions") !== null) return null;
  const made = document.createNode([]);
  if (!isSeq(made)) return null;
  made.flow = false;
  root.set("actions", made);
  return made;
}

/** The day and the next number of that day; an id once in the file, understood or not, is not given again. */
function freeId(text: string, day: string): string {
  const taken = new Set(parseActions(text).actions.map(({id}) => id));
  for (let n = 1; ; n++) {
    const id = `${day}-${n}`;
    if (!taken.has(id) && !text.includes(`id: ${id}\n`)) return id;
  }
}

function event(what: ActionEventKind, {on, by, note = null}: Signed) {
  return {on, what, ...given({by, note})};
}

function addEvent(document: Document, node: YAMLMap, entry: ReturnType<typeof event>): void {
  const history = nodeAt(node, "history");
  if (isSeq(history)) history.add(document.createNode(entry));
  else node.set("history", document.createNode([entry]));
  flowHistory(node);
}

/** One event a line. */
function flowHistory(node: YAMLMap): void {
  const history = nodeAt(node, "history");
  if (!isSeq(history)) return;
  history.flow = false;
  for (const item of history.items) if (isMap(item)) item.flow = true;
}

/** Without what is empty. */
function given<T extends Record<string, string | null>>(fields: T): Partial<Record<keyof T, string>> {
  const kept: Partial<Record<keyof T, string>> = {};
  for (const [key, value] of Object.entries(fields) as [keyof T, string | null][])
    if (value !== null && value.trim() !== "") kept[key] = value.trim();
  return kept;
}
