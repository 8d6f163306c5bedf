/** A worker of the pool: holds the tables, answers one question at a time. */
import {CELL_KINDS, type CellEffects} from "../../cells/index.ts";
import {Answerer} from "./Answerer.ts";
import {INVENTED_FILE, isText, workspaceName} from "../../workspace/fileRoles.ts";
import {NO_EDITS} from "../../workspace/edits.ts";
import {amendLogs, openLogs, type OpenLogs} from "../../workspace/openLogs.ts";
import type {SheetTold} from "../../workspace/rowsTold.ts";
import {movable} from "./movable.ts";
import type {FromWorker, LogSource, Question, QuestionKind, Questions, RowsOrder, ToWorker} from "./protocol.ts";
import {readSource} from "./readSource.ts";
import {importView, summarise} from "./summarise.ts";

let open: {readonly logs: OpenLogs; readonly answerer: Answerer} | null = null;

/** An amendment that came before the tables it is for. */
let due: Amendment | null = null;

type Amendment = Extract<ToWorker, {type: "amend"}>;

const tell = (message: FromWorker): void => postMessage(message);
const say = (text: string, share?: number): void =>
  tell({type: "reading", text, ...(share === undefined ? {} : {share})});

function hold(logs: OpenLogs): void {
  open = {logs, answerer: new Answerer(logs, open?.answerer)};
}

addEventListener("message", ({data}: MessageEvent<ToWorker>) => {
  switch (data.type) {
    case "load":
      void load(data.source);
      return;
    case "amend":
      if (open === null) due = data;
      else amend(open.logs, data);
      return;
    case "give":
      give(data.port);
      return;
    case "take":
      data.port.onmessage = ({data: logs}: MessageEvent<OpenLogs>) => {
        hold(logs);
        data.port.close();
        tell({type: "taken"});
        amendAsDue();
      };
      return;
    case "question":
      answer(data.id, data.question);
  }
});

function give(port: MessagePort): void {
  const {value, buffers} = movable(open?.logs);
  port.postMessage(value, buffers);
}

async function load(source: LogSource): Promise<void> {
  const from = performance.now();
  try {
    const {files, invented, folder} = await readSource(source, say);
    const outcome = await openLogs(files, invented, say, {folder, edits: source.edits ?? NO_EDITS});
    if (!outcome.opened) {
      tell({type: "refused", message: outcome.message, findings: outcome.findings, view: importView(outcome)});
      return;
    }
    hold(outcome.logs);
    tell({type: "loaded", summary: summarise(outcome.logs, performance.now() - from)});
    amendAsDue();
  } catch (error) {
    tell({type: "refused", message: `${sentence(error)}.`, findings: []});
  }
}

/** Between messages, so that a question asked after it finds the amended logs. */
function amend(logs: OpenLogs, {edits, serial}: Amendment): void {
  const from = performance.now();
  hold(amendLogs(logs, edits, say));
  if (open !== null) tell({type: "amended", serial, summary: summarise(open.logs, performance.now() - from)});
}

function amendAsDue(): void {
  if (open !== null && due !== null) amend(open.logs, due);
  due = null;
}

async function answer(id: number, question: Question): Promise<void> {
  try {
    const effects = {
      progress: (done: number, of: number) => tell({type: "progress", id, done, of}),
      // a cell computes without a pause: stopping one means ending this worker
      signal: new AbortController().signal,
    };
    tell({type: "answer", id, answer: isFileWork(question) ? await workOnFiles(question) : look(question, effects)});
  } catch (error) {
    tell({type: "failed", id, message: sentence(error)});
  }
}

type FileWork = Extract<Question, {kind: "pack" | "unpack" | "rows"}>;

const isFileWork = (question: Question): question is FileWork =>
  question.kind === "pack" || question.kind === "unpack" || question.kind === "rows";

/** Without a pause: what is answered is answered from the logs that were open when it was asked. */
function look(question: Exclude<Question, FileWork>, effects: CellEffects): Questions[QuestionKind]["answer"] {
  if (open === null) throw new Error("no logs are open");
  switch (question.kind) {
    case "cell":
      return open.answerer.cell(question.ask, effects);
    case "view":
      return open.answerer.view(question.ask);
    case "kinds":
      return CELL_KINDS.map(({kind, summary, fields, example}) => ({kind, summary, fields, example}));
  }
}

async function rowsAsWritten({source, places}: RowsOrder): Promise<readonly SheetTold[]> {
  if (open === null) throw new Error("no logs are open");
  const {logs} = open;
  const [{rowsTold}, {files}] = await Promise.all([
    import("../../workspace/rowsTold.ts"),
    readSource(source, () => undefined),
  ]);
  return rowsTold(logs, files, places);
}

async function workOnFiles(question: FileWork): Promise<Questions[FileWork["kind"]]["answer"]> {
  if (question.kind === "rows") return rowsAsWritten(question.ask);
  const {INVENTED_TEXT, pack, unpack} = await import("../../workspace/pack.ts");
  if (question.kind === "unpack") {
    const unpacked = unpack(new Uint8Array(await question.ask.arrayBuffer()));
    if (unpacked.files === null) return unpacked;
    const files = unpacked.files.map(({name, bytes}) => new File([bytes as Uint8Array<ArrayBuffer>], name));
    return {...unpacked, files};
  }
  const {source, texts} = question.ask;
  const {files, invented} = await readSource(source, () => undefined);
  const encoder = new TextEncoder();
  const written = Object.entries(texts).map(([name, text]) => ({name, bytes: encoder.encode(text)}));
  const others = files.filter(({name}) => !isText(workspaceName(name)) && name !== INVENTED_FILE);
  const marked = invented ? [{name: INVENTED_FILE, bytes: encoder.encode(INVENTED_TEXT)}] : [];
  return new Blob(pack([...others, ...written, ...marked], new Date()), {type: "application/zip"});
}

const sentence = (error: unknown): string => (error instanceof Error ? error.message : String(error));
