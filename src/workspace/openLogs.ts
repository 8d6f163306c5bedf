/** Files → everything the cells look at: checked tables, conditions, lives, settings. Runs in a worker and in Node. */
import type {Finding, RowCount} from "../../shared/findings.ts";
import {parseMapping, type Mapping} from "../../shared/mapping.ts";
import {parseSettings, type Settings} from "../../shared/settings.ts";
import {withSynonyms} from "../../shared/vocabulary/index.ts";
import {runConditions, type RunConditions} from "../hydraulics/index.ts";
import {buildLives, type FailureTable, type LifeTable} from "../lives/index.ts";
import {importLogs, type Question, type RebuildTable, type RunTable, type SheetPreview} from "../logs/index.ts";

export interface NamedBytes {
  /** file name, never a path */
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
  /** identifies the content of files and settings */
  readonly id: string;
  readonly invented: boolean;
  readonly files: readonly FileRead[];
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly conditions: RunConditions;
  readonly lives: LifeTable;
  /** every failure of the logs */
  readonly failures: FailureTable;
  readonly settings: Settings;
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
/** What a mapping is called among the files. */
export const MAPPING_NAME = /^mapping\b.*\.ya?ml$/i;

/**
 * @param given logs, at most one settings file and at most one mapping (`mapping.yaml`), told apart by name
 * @param invented whether the files are the demo's
 * @param say told what is under way, for whoever waits
 * @param signal stops the reading: the promise then fails with its reason
 */
export async function openLogs(
  given: readonly NamedBytes[],
  invented: boolean,
  say: (text: string) => void,
  signal?: AbortSignal,
): Promise<OpeningOutcome> {
  const logFiles = given.filter(({name}) => !YAML_NAME.test(name));
  const mappingFile = given.find(({name}) => MAPPING_NAME.test(name));
  const settingsFile = given.find(({name}) => YAML_NAME.test(name) && !MAPPING_NAME.test(name));
  const {settings, findings: settingsFindings} = parseSettings(
    settingsFile === undefined ? "" : new TextDecoder().decode(settingsFile.bytes),
    settingsFile?.name ?? "settings.yaml",
  );
  say(`checking ${logFiles.map(({name}) => name).join(", ")} …`);
  const {mapping, findings: mappingFindings} = parseMapping(
    mappingFile === undefined ? "" : new TextDecoder().decode(mappingFile.bytes),
    mappingFile?.name ?? "mapping.yaml",
  );
  const logs = await importLogs(logFiles, {
    answers: mapping.files,
    synonyms: withSynonyms(mapping.synonyms),
    serials: mapping.serials,
    progress: ({file, rows}) =>
      say(rows === null ? `checking ${file} …` : `reading ${file}: ${rows.toLocaleString("en")} rows …`),
    ...(signal === undefined ? {} : {signal}),
  });
  const findings = [...settingsFindings, ...mappingFindings, ...logs.findings];
  if (logs.runs.rows === 0 && logs.rebuilds.rows === 0) {
    const {counts, questions, previews} = logs;
    return {opened: false, message: nothingUsable(logFiles), findings, counts, questions, mapping, previews};
  }
  say("building component lives …");
  const conditions = runConditions(logs.runs, settings);
  const built = buildLives(logs, conditions, settings);
  const files = await Promise.all(given.map(fileRead));
  return {
    opened: true,
    logs: {
      id: files.map(({name, bytes, digest}) => `${name}:${bytes}:${digest ?? ""}`).join("|"),
      invented,
      files,
      runs: logs.runs,
      rebuilds: logs.rebuilds,
      conditions,
      lives: built.lives,
      failures: built.failures,
      settings,
      findings: [...findings, ...conditions.findings, ...built.findings],
      counts: logs.counts,
      questions: logs.questions,
      mapping,
      previews: logs.previews,
    },
  };
}

function nothingUsable(files: readonly NamedBytes[]): string {
  if (files.length === 0)
    return "No log was among them: a run log and a rebuild log are needed, as CSV, workbook (.xlsx) or Parquet.";
  const names = files.map(({name}) => name).join(", ");
  return `No run and no rebuild row could be read from ${names}. What was found stands below.`;
}

async function fileRead({name, bytes}: NamedBytes): Promise<FileRead> {
  // crypto.subtle exists in secure contexts only; 127.0.0.1 is one, a plain http host on a network is not
  const subtle = globalThis.crypto?.subtle as SubtleCrypto | undefined;
  if (subtle === undefined) return {name, bytes: bytes.length, digest: null};
  const sum = new Uint8Array(await subtle.digest("SHA-256", Uint8Array.from(bytes)));
  const digest = [...sum.subarray(0, 6)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return {name, bytes: bytes.length, digest};
}
