/**
 * Actions agreed in job reviews, kept beside the logs as `actions.yaml`: who does what by when, and what became of it.
 * Nothing in the file can stop the work: an entry that is not understood becomes a finding and stays in the file as it is.
 *
 *     version: 1
 *     actions:
 *       - id: 2025-11-26-1
 *         job: AW-0001
 *         run: A-00001
 *         tool: K1-205
 *         what: Measure the shaft before it is fitted again
 *         owner: KV
 *         due: 2025-12-10
 *         history:
 *           - {on: 2025-11-26, what: opened, by: HT}
 */
import {isMap, isScalar, isSeq, LineCounter, type Document, type Node, type YAMLMap} from "yaml";
import type {Finding} from "./findings.ts";
import {isDay} from "./calendarDay.ts";
import {readYaml} from "./readYaml.ts";

const VERSION = 1;

export const ACTION_EVENTS = ["opened", "changed", "done", "dropped", "reopened"] as const;
export type ActionEventKind = (typeof ACTION_EVENTS)[number];
export type ActionState = "open" | "done" | "dropped";

export interface ActionEvent {
  /** ISO day */
  readonly on: string;
  readonly what: ActionEventKind;
  /** initials or name; null where nobody signed */
  readonly by: string | null;
  readonly note: string | null;
}

export interface ReviewAction {
  /** unique in the file */
  readonly id: string;
  /** what the action was agreed about; null where it concerns no single one */
  readonly job: string | null;
  readonly run: string | null;
  readonly tool: string | null;
  readonly what: string;
  readonly owner: string | null;
  /** ISO day */
  readonly due: string | null;
  /** what the last event of the history leaves it in */
  readonly state: ActionState;
  /** oldest first */
  readonly history: readonly ActionEvent[];
}

/** @param fileName named in the findings */
export function parseActions(
  yamlText: string,
  fileName = "actions.yaml",
): {readonly actions: readonly ReviewAction[]; readonly findings: readonly Finding[]} {
  const lines = new LineCounter();
  const document = readYaml(yamlText, {lineCounter: lines, uniqueKeys: false});
  const findings: Finding[] = [];
  const tell: Tell = (node, column, message, remedy, offset = node?.range?.[0]) => {
    findings.push({
      kind: "set aside",
      rule: "actions",
      file: fileName,
      line: offset === undefined ? null : lines.linePos(offset).line,
      column,
      found: isScalar(node) ? String(node.value) : null,
      taken: null,
      message,
      remedy,
    });
  };
  const unreadable = whyUnreadable(document);
  if (unreadable !== null) {
    const at = document.errors[0]?.pos[0] ?? document.contents?.range?.[0];
    tell(null, null, `the actions are not read: ${unreadable}`, "mend the line; until then no action is shown", at);
    return {actions: [], findings};
  }
  const root = document.contents;
  if (!isMap(root)) return {actions: [], findings};
  const version: unknown = root.get("version");
  if (version !== undefined && version !== VERSION)
    tell(
      nodeAt(root, "version"),
      "version",
      `the file says version ${String(version)}, and version ${VERSION} is known; what is understood is shown`,
      "open the file with the program that wrote it to change it",
    );
  for (const {key} of root.items) {
    const name = isScalar(key) ? String(key.value) : String(key);
    if (name !== "version" && name !== "actions")
      tell(null, name, `"${name}" is no key of the actions`, "write version or actions");
  }
  const listed = nodeAt(root, "actions");
  if (listed !== null && !isSeq(listed) && !(isScalar(listed) && listed.value === null)) {
    tell(listed, "actions", "actions must be a list", "write each action on its own lines behind a dash");
    return {actions: [], findings};
  }
  const seen = new Set<string>();
  const actions: ReviewAction[] = [];
  for (const node of isSeq(listed) ? (listed.items as (Node | null)[]) : []) {
    const action = readAction(node, tell);
    if (action === null) continue;
    if (seen.has(action.id)) {
      tell(node, "id", `two actions are called ${action.id}; the first is used`, "give one of them another id");
      continue;
    }
    seen.add(action.id);
    actions.push(action);
  }
  return {actions, findings};
}

/** @param offset where it stands in the text, when that is not where the node does */
type Tell = (node: Node | null, column: string | null, message: string, remedy: string, offset?: number) => void;

/** Why a document cannot be read as a list of actions; null where it can. */
export function whyUnreadable(document: Document): string | null {
  const [error] = document.errors;
  if (error !== undefined) return `it is not YAML (${error.message.split("\n")[0] ?? ""})`;
  const root = document.contents;
  if (root === null || isMap(root) || (isScalar(root) && root.value === null)) return null;
  return "it holds no keys";
}

function readAction(node: Node | null, tell: Tell): ReviewAction | null {
  if (!isMap(node)) {
    tell(node, "actions", "an entry of the actions is no action", "give it at least what is to be done, as what: …");
    return null;
  }
  const id = textOf(node, "id");
  const what = textOf(node, "what");
  if (id === null || what === null) {
    const lacks = id === null ? "id" : "what";
    tell(node, lacks, `an action has no ${lacks}, so it is not shown`, `give it ${lacks}: …`);
    return null;
  }
  const dueText = textOf(node, "due");
  const due = dueText !== null && isDay(dueText) ? dueText : null;
  if (dueText !== null && due === null)
    tell(nodeAt(node, "due"), "due", `action ${id} is due on no day: ${dueText}`, "write the day as 2025-12-31");
  const history = readHistory(node, id, tell);
  return {
    id,
    job: textOf(node, "job"),
    run: textOf(node, "run"),
    tool: textOf(node, "tool"),
    what,
    owner: textOf(node, "owner"),
    due,
    state: stateAfter(history),
    history,
  };
}

function readHistory(action: YAMLMap, id: string, tell: Tell): ActionEvent[] {
  const node = nodeAt(action, "history");
  if (node === null) return [];
  const events: ActionEvent[] = [];
  for (const entry of isSeq(node) ? (node.items as (Node | null)[]) : [node]) {
    const on = isMap(entry) ? textOf(entry, "on") : null;
    const what = isMap(entry) ? ACTION_EVENTS.find((kind) => kind === textOf(entry, "what")) : undefined;
    if (!isMap(entry) || on === null || !isDay(on) || what === undefined) {
      tell(
        entry,
        "history",
        `a line of the history of action ${id} is not understood and left out`,
        `write {on: 2025-12-31, what: ${ACTION_EVENTS.join(" | ")}, by: initials}`,
      );
      continue;
    }
    events.push({on, what, by: textOf(entry, "by"), note: textOf(entry, "note")});
  }
  return events;
}

export function stateAfter(history: readonly Pick<ActionEvent, "what">[]): ActionState {
  const last = history.findLast(({what}) => what !== "changed")?.what;
  return last === "done" || last === "dropped" ? last : "open";
}

export function nodeAt(map: YAMLMap, key: string): Node | null {
  return (map.get(key, true) as Node | undefined) ?? null;
}

/** A text, or a number as it was written; null for nothing. */
export function textOf(map: YAMLMap, key: string): string | null {
  const node = nodeAt(map, key);
  if (!isScalar(node) || node.value === null) return null;
  const text = (typeof node.value === "string" ? node.value : (node.source ?? String(node.value))).trim();
  return text === "" ? null : text;
}
