/**
 * What the page and its workers say to each other. Everything here survives structured clone.
 *
 * Every worker of the pool is the same: it holds the tables, either read from files (`load`) or taken from another
 * worker through a port (`take`), so that any of them can be stopped and replaced.
 */
import type {Finding, RowCount} from "../../../shared/findings.ts";
import type {Mapping} from "../../../shared/mapping.ts";
import type {Settings} from "../../../shared/settings.ts";
import type {CellKind, Presentation, RecordName, Where} from "../../cells/contract.ts";
import type {FileLines} from "../../charts/behind.ts";
import type {Question as LogQuestion, SheetPreview} from "../../logs/index.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import type {Edits, Texts} from "../../workspace/edits.ts";
import type {FileRead} from "../../workspace/openLogs.ts";
import type {Unpacked} from "../../workspace/pack.ts";
import type {SheetTold} from "../../workspace/rowsTold.ts";

/** Where logs come from: the folder served beside the page, or files of the reader's own. */
export type LogSource = (
  | {
      readonly from: "folder";
      readonly manifest: string;
      /** files of the reader's own, read in its place if the folder is the invented one */
      readonly own?: readonly File[];
    }
  | {readonly from: "files"; readonly files: readonly File[]}
) & {
  /** changes to the small text files, over what the source holds: settings, the mapping, records */
  readonly edits?: Edits;
};

/** How the files were read, whether or not a table came of them: what the logs page shows and asks. */
export interface ImportView {
  readonly counts: readonly RowCount[];
  readonly previews: readonly SheetPreview[];
  readonly questions: readonly LogQuestion[];
  readonly mapping: Mapping;
}

/** One choice of a filter, with how many lives it would leave. */
export interface Choice {
  readonly code: string;
  readonly label: string;
  readonly lives: number;
}

/** What the page must know of the logs it opened. The tables stay with the workers. */
export interface LogSummary {
  /** identifies the content of the logs, their mapping and their settings */
  readonly id: string;
  /** identify the records beside the logs, and the cell kinds that look at them */
  readonly recordIds: Readonly<Record<RecordName, string>>;
  readonly reads: Readonly<Record<string, readonly RecordName[]>>;
  readonly invented: boolean;
  /** identifies the folder they were served from, whatever it holds now; null: files of the reader's own */
  readonly folder: string | null;
  /** the small text files as the source holds them, by name */
  readonly texts: Texts;
  readonly files: readonly FileRead[];
  readonly counts: readonly RowCount[];
  readonly view: ImportView;
  readonly settings: Settings;
  readonly choices: {
    readonly fleet: readonly Choice[];
    readonly component: readonly Choice[];
    readonly mud: readonly Choice[];
    readonly regime: readonly Choice[];
  };
  /** ISO dates of the first and last run; null when there is no run */
  readonly firstDay: string | null;
  readonly lastDay: string | null;
  readonly runs: number;
  readonly rebuilds: number;
  readonly lives: number;
  readonly failures: number;
  readonly findings: number;
  readonly bands: readonly [number, number];
  readonly convention: string;
  /** ms spent reading, building lives, in all */
  readonly took: number;
}

export interface CellQuestion {
  readonly kind: string;
  /** the YAML body of the cell, as it stands in the analysis */
  readonly body: string;
  readonly closed: boolean;
  /** choices made on the page */
  readonly picks?: Picks;
  /** the page's filters within the analysis' own */
  readonly where: Where;
  readonly units: Settings["units"];
}

/** A cell's answer, or the sentence that says what is wrong with the cell. */
export type CellAnswer =
  | {readonly answered: true; readonly presentation: Presentation; readonly took: number}
  | {readonly answered: false; readonly problem: CellProblem};

/** Its line counts within the cell, so that a cell may move on its page without being asked again. */
export interface CellProblem {
  /** 0: the line with the kind; 1: the first of the body; null: no line is at fault */
  readonly line: number | null;
  readonly message: string;
  readonly remedy: string | null;
}

/** A cell kind as a form shows it. */
export type KindCard = Pick<CellKind, "kind" | "summary" | "fields" | "example">;

/** How much is in view under the filters. */
export interface InView {
  readonly lives: number;
  readonly failures: number;
  readonly exposure: number;
}

/** Logs are read from the source again; the small text files are given. */
export interface PackOrder {
  readonly source: LogSource;
  readonly texts: Texts;
}

/** Rows of the open logs, to be looked at as they stand in their files. */
export interface RowsOrder {
  readonly source: LogSource;
  readonly places: readonly FileLines[];
}

/** What a packed workspace holds, as files: bytes would be copied on the page's own thread, which takes seconds for large logs. */
export type UnpackedFiles =
  | {readonly files: readonly File[]; readonly told: readonly string[]; readonly refused: null}
  | Extract<Unpacked, {readonly files: null}>;

export interface Questions {
  readonly cell: {readonly ask: CellQuestion; readonly answer: CellAnswer};
  readonly view: {readonly ask: Where; readonly answer: InView};
  readonly kinds: {readonly ask: null; readonly answer: readonly KindCard[]};
  /** all files of a workspace as they now stand, in one file */
  readonly pack: {readonly ask: PackOrder; readonly answer: Blob};
  readonly unpack: {readonly ask: Blob; readonly answer: UnpackedFiles};
  readonly rows: {readonly ask: RowsOrder; readonly answer: readonly SheetTold[]};
}

export type QuestionKind = keyof Questions;

export type Question = {
  [K in QuestionKind]: {readonly kind: K; readonly ask: Questions[K]["ask"]};
}[QuestionKind];

export type ToWorker =
  | {readonly type: "load"; readonly source: LogSource}
  /** the small text files have changed: the tables stay, and what depends on those texts is made anew */
  | {readonly type: "amend"; readonly edits: Edits; readonly serial: number}
  | {readonly type: "give"; readonly port: MessagePort}
  | {readonly type: "take"; readonly port: MessagePort}
  | {readonly type: "question"; readonly id: number; readonly question: Question};

export type FromWorker =
  /** `share` of the files that is read, 0 to 1, where it can be told */
  | {readonly type: "reading"; readonly text: string; readonly share?: number}
  | {readonly type: "loaded"; readonly summary: LogSummary}
  /** nothing usable came: the worker keeps the tables it had */
  | {
      readonly type: "refused";
      readonly message: string;
      readonly findings: readonly Finding[];
      readonly view?: ImportView;
    }
  | {readonly type: "taken"}
  | {readonly type: "amended"; readonly summary: LogSummary; readonly serial: number}
  | {readonly type: "progress"; readonly id: number; readonly done: number; readonly of: number}
  | {readonly type: "answer"; readonly id: number; readonly answer: Questions[QuestionKind]["answer"]}
  | {readonly type: "failed"; readonly id: number; readonly message: string};
