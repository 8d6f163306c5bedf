/** Logs as read, and the small text files beside them → open logs. What a change of text does not touch is kept. */
import {parseActions} from "../../shared/actions.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {Mapping} from "../../shared/mapping.ts";
import {parseRegister} from "../../shared/register.ts";
import {parseSettings, type Settings} from "../../shared/settings.ts";
import {runConditions} from "../hydraulics/index.ts";
import {buildLives} from "../lives/index.ts";
import type {LeftOutRows, Question, RebuildTable, RunTable, SheetPreview} from "../logs/index.ts";
import {canonical, hash} from "../notebook/index.ts";
import {sameTexts, withEdits, type Edits, type Texts} from "./edits.ts";
import {ACTIONS_FILE, isText, REGISTER_FILE, SETTINGS_FILE} from "./fileRoles.ts";
import type {FileRead, OpenLogs} from "./openLogs.ts";

/** What reading the log files gave. It stays as it is while settings and records change. */
export interface ReadLogs {
  readonly invented: boolean;
  readonly folder: string | null;
  readonly files: readonly FileRead[];
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly leftOut: LeftOutRows;
  readonly findings: readonly Finding[];
  readonly counts: readonly RowCount[];
  readonly questions: readonly Question[];
  readonly previews: readonly SheetPreview[];
  readonly mapping: Mapping;
  /** the text of the mapping that the files were read by */
  readonly mappingText: string;
}

/**
 * @param before open logs of the same reading: their lives are used again unless the settings that lives depend on
 *   have changed, and they themselves when no text has
 */
export function assemble(
  read: ReadLogs,
  texts: Texts,
  edits: Edits,
  before: OpenLogs | null,
  say: (text: string) => void,
): OpenLogs {
  const now = withEdits(texts, edits);
  if (before !== null && sameTexts(now, withEdits(before.texts, before.edits))) return before;
  const {settings, findings: settingsFindings} = parseSettings(now[SETTINGS_FILE] ?? "", SETTINGS_FILE);
  const today = new Date().toISOString().slice(0, 10);
  const {register, findings: registerFindings} = parseRegister(now[REGISTER_FILE] ?? "", REGISTER_FILE, today);
  // the records of a workspace are parsed here, beside the settings: `register.yaml` → logs.register, and so on; what
  // they hold then reaches the cells through cellInputs.ts, and a change of them builds no life again
  const {actions, findings: actionFindings} = parseActions(now[ACTIONS_FILE] ?? "", ACTIONS_FILE);
  const built = before !== null && sameLives(settings, before.settings) ? before : build(read, settings, say);
  return {
    id: idOf(read, now[SETTINGS_FILE] ?? ""),
    recordIds: {register: textId(now[REGISTER_FILE]), actions: textId(now[ACTIONS_FILE])},
    invented: read.invented,
    folder: read.folder,
    files: filesNow(read.files, texts, now),
    read,
    texts,
    edits,
    runs: read.runs,
    rebuilds: read.rebuilds,
    conditions: built.conditions,
    lives: built.lives,
    failures: built.failures,
    builtFindings: built.builtFindings,
    settings,
    actions,
    register,
    findings: [...settingsFindings, ...registerFindings, ...actionFindings, ...read.findings, ...built.builtFindings],
    counts: read.counts,
    questions: read.questions,
    previews: read.previews,
    mapping: read.mapping,
  };
}

type Built = Pick<OpenLogs, "conditions" | "lives" | "failures" | "builtFindings">;

function build(read: ReadLogs, settings: Settings, say: (text: string) => void): Built {
  say("building component lives …");
  const conditions = runConditions(read.runs, settings);
  const {lives, failures, findings} = buildLives(read, conditions, settings);
  return {conditions, lives, failures, builtFindings: [...conditions.findings, ...findings]};
}

/** Conditions depend on the flow regime, lives on the clock and on what lost in hole counts as; on no cost or interval. */
function sameLives(a: Settings, b: Settings): boolean {
  const used = ({flow_regime, exposure, lost_in_hole}: Settings): string =>
    canonical([flow_regime, exposure, lost_in_hole]);
  return used(a) === used(b);
}

function idOf({files, mappingText}: ReadLogs, settingsText: string): string {
  const logs = files.filter(({name}) => !isText(name));
  const content = logs.map(({name, bytes, digest}) => `${name}:${bytes}:${digest ?? ""}`);
  return [...content, hash(mappingText), hash(settingsText)].join("|");
}

const textId = (text: string | undefined): string => (text === undefined ? "" : hash(text));

/** The files that the logs now stand on: those read, without what was taken away, with what was written since. */
function filesNow(files: readonly FileRead[], texts: Texts, now: Texts): FileRead[] {
  const unchanged = files.filter(({name}) => !Object.hasOwn(texts, name) || now[name] === texts[name]);
  const written = Object.entries(now).filter(([name, text]) => texts[name] !== text);
  const encoder = new TextEncoder();
  return [...unchanged, ...written.map(([name, text]) => ({name, bytes: encoder.encode(text).length, digest: null}))];
}
