/** Files → everything the cells look at: checked tables, conditions, lives, settings. Runs in a worker and in Node. */
import type {ReviewAction} from "../../shared/actions.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {parseMapping, type Mapping} from "../../shared/mapping.ts";
import type {Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import {withSynonyms} from "../../shared/vocabulary/index.ts";
import type {RunConditions} from "../hydraulics/index.ts";
import type {FailureTable, LifeTable} from "../lives/index.ts";
import {
  importLogs,
  type Progress,
  type Question,
  type RebuildTable,
  type RunTable,
  type SheetPreview,
} from "../logs/index.ts";
import {assemble, type ReadLogs} from "./assemble.ts";
import {NO_EDITS, withEdits, type Edits, type Texts} from "./edits.ts";
import {INVENTED_FILE, isText, MAPPING_FILE, SETTINGS_FILE, workspaceName} from "./fileRoles.ts";

export interface NamedBytes {
  /** file name, never a path but for `analyses/NAME.md` */
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** A file as the page and the reports name it. */
export interface FileRead {
  readonly name: string;
  readonly bytes: number;
  /** first 12 hex digits of its SHA-256; null where the platform cannot compute one */
  readonly digest: string | null;
}

/** Survives structured clone: a worker hands it to another whole. */
export interface OpenLogs {
  /** identifies the content of logs, mapping and settings */
  readonly id: string;
  /** identify the texts of the workspace's records, which change apart from the logs; empty: there is none */
  readonly recordIds: {readonly register: string; readonly actions: string};
  readonly invented: boolean;
  /** identifies the folder they were served from, whatever it holds now; null: files of the reader's own */
  readonly folder: string | null;
  readonly files: readonly FileRead[];
  /** what reading the log files gave, kept so that settings and records can change without reading them again */
  readonly read: ReadLogs;
  /** the small text files that came with the logs, by name, and what was changed of them since */
  readonly texts: Texts;
  readonly edits: Edits;
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly conditions: RunConditions;
  readonly lives: LifeTable;
  /** every failure of the logs */
  readonly failures: FailureTable;
  /** of conditions and lives */
  readonly builtFindings: readonly Finding[];
  readonly settings: Settings;
  /** actions agreed in job reviews */
  readonly actions: readonly ReviewAction[];
  /** interval decisions of the shop */
  readonly register: Register;
  readonly findings: readonly Finding[];
  readonly counts: readonly RowCount[];
  /** what only the people of the files can answer */
  readonly questions?: readonly Question[];
  /** what they have answered so far */
  readonly mapping?: Mapping;
  /** every sheet as it was read */
  readonly previews?: readonly SheetPreview[];
}

export type OpeningOutcome =
  | {readonly opened: true; readonly logs: OpenLogs}
  | {
      readonly opened: false;
      readonly message: string;
      readonly findings: readonly Finding[];
      readonly counts: readonly RowCount[];
      readonly questions?: readonly Question[];
      readonly mapping?: Mapping;
      readonly previews?: readonly SheetPreview[];
    };

const YAML_NAME = /\.ya?ml$/i;

export interface OpeningOptions {
  /** stops the reading: the promise then fails with its reason */
  readonly signal?: AbortSignal;
  /** changes to the small text files, over what `given` holds */
  readonly edits?: Edits;
  /** dates after it cannot be; now when left out */
  readonly today?: number;
  /** identifies the folder the files were served from */
  readonly folder?: string | null;
}

/**
 * @param given the files of a workspace, told apart by name: logs, `settings.yaml`, `mapping.yaml`, `register.yaml`,
 *   `actions.yaml`, `analyses/*.md`. A settings file of another name is taken when there is no `settings.yaml`.
 * @param invented whether the files are the demo's
 * @param say told what is under way, for whoever waits, and how much of all files is read, 0 to 1, while they are
 */
export async function openLogs(
  given: readonly NamedBytes[],
  invented: boolean,
  say: (text: string, share?: number) => void,
  {signal, edits = NO_EDITS, folder = null, today = Date.now()}: OpeningOptions = {},
): Promise<OpeningOutcome> {
  const {logFiles, textFiles} = sorted(given);
  const texts = Object.fromEntries(textFiles.map(({name, bytes}) => [name, new TextDecoder().decode(bytes)]));
  const mappingText = withEdits(texts, edits)[MAPPING_FILE] ?? "";
  say(`checking ${logFiles.map(({name}) => name).join(", ")} …`);
  const {mapping, findings: mappingFindings} = parseMapping(mappingText, MAPPING_FILE);
  const logs = await importLogs(logFiles, {
    answers: mapping.files,
    synonyms: withSynonyms(mapping.synonyms),
    serials: mapping.serials,
    today,
    progress: sayingOf(logFiles, say),
    ...(signal === undefined ? {} : {signal}),
  });
  const {runs, rebuilds, counts, questions, previews} = logs;
  const findings = [...mappingFindings, ...logs.findings];
  if (runs.rows === 0 && rebuilds.rows === 0) {
    return {
      opened: false,
      message: nothingUsable(logFiles, questions.length),
      findings,
      counts,
      questions,
      mapping,
      previews,
    };
  }
  const files = await Promise.all([...logFiles, ...textFiles].map(fileRead));
  const read: ReadLogs = {
    invented,
    folder,
    files,
    runs,
    rebuilds,
    leftOut: logs.leftOut,
    findings,
    counts,
    questions,
    previews,
    mapping,
    mappingText,
  };
  return {opened: true, logs: assemble(read, texts, edits, null, say)};
}

/**
 * Open logs under other settings or records, without reading the log files again; the same object when nothing changed.
 * A changed mapping says how files are read: it takes effect when they are read again.
 */
export function amendLogs(logs: OpenLogs, edits: Edits, say: (text: string) => void): OpenLogs {
  return assemble(logs.read, logs.texts, edits, logs, say);
}

/** Words for the progress of an import; files count by their bytes. */
function sayingOf(
  files: readonly NamedBytes[],
  say: (text: string, share?: number) => void,
): (progress: Progress) => void {
  const total = files.reduce((sum, {bytes}) => sum + bytes.length, 0);
  return ({file, rows, share}) => {
    if (rows === null) {
      say("checking the rows of all files against each other …");
      return;
    }
    const at = files.findIndex(({name}) => name === file);
    const before = files.slice(0, at).reduce((sum, {bytes}) => sum + bytes.length, 0);
    const text = `reading ${file}: ${rows.toLocaleString("en")} rows …`;
    if (at < 0 || share === undefined) say(text);
    else say(text, (before + share * files[at]!.bytes.length) / total);
  };
}

/** Logs apart from the small text files beside them, those under the names the workspace keeps them by. */
function sorted(given: readonly NamedBytes[]): {logFiles: NamedBytes[]; textFiles: NamedBytes[]} {
  const logFiles: NamedBytes[] = [];
  const textFiles = new Map<string, NamedBytes>();
  const strangers: NamedBytes[] = [];
  for (const {name, bytes} of given) {
    const kept = workspaceName(name);
    if (isText(kept)) textFiles.set(kept, {name: kept, bytes});
    else if (name.includes("/") || name === INVENTED_FILE)
      continue; // kept with the rest, and read by nobody
    else if (YAML_NAME.test(name)) strangers.push({name: SETTINGS_FILE, bytes});
    else logFiles.push({name, bytes});
  }
  const [settings] = strangers;
  if (settings !== undefined && !textFiles.has(SETTINGS_FILE)) textFiles.set(SETTINGS_FILE, settings);
  return {logFiles, textFiles: [...textFiles.values()]};
}

function nothingUsable(files: readonly NamedBytes[], questions: number): string {
  if (files.length === 0)
    return "No log was among them: a run log and a rebuild log are needed, as CSV, workbook (.xlsx) or Parquet.";
  const names = files.map(({name}) => name).join(", ");
  if (questions > 0)
    return `No row of ${names} can be used before ${questions === 1 ? "the question" : "the questions"} below ${questions === 1 ? "is" : "are"} answered; nothing of them is lost.`;
  return `No run and no rebuild row could be read from ${names}. What was found stands below.`;
}

/** A file with the digest that tells it from another one of its name. */
export async function fileRead({name, bytes}: NamedBytes): Promise<FileRead> {
  // crypto.subtle exists in secure contexts only; 127.0.0.1 is one, a plain http host on a network is not
  const subtle = globalThis.crypto?.subtle as SubtleCrypto | undefined;
  if (subtle === undefined) return {name, bytes: bytes.length, digest: null};
  const sum = new Uint8Array(await subtle.digest("SHA-256", bytes as Uint8Array<ArrayBuffer>));
  const digest = [...sum.subarray(0, 6)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return {name, bytes: bytes.length, digest};
}
