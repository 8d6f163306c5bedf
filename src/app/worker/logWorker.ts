/** A worker of the pool: holds the tables, answers one question at a time. */
import {CELL_KINDS, type CellEffects} from "../../cells/index.ts";
import {Answerer} from "./Answerer.ts";
import {NO_EDITS} from "../../workspace/edits.ts";
import {amendLogs, openLogs, type OpenLogs} from "../../workspace/openLogs.ts";
import type {FromWorker, LogSource, Question, QuestionKind, Questions, ToWorker} from "./protocol.ts";
import {readSource} from "./readSource.ts";
import {importView, summarise} from "./summarise.ts";

let open: {readonly logs: OpenLogs; readonly answerer: Answerer} | null = null;

/** An amendment that came before the tables it is for. */
let due: Amendment | null = null;

type Amendment = Extract<ToWorker, {type: "amend"}>;

const tell = (message: FromWorker): void => postMessage(message);
const say = (text: string): void => tell({type: "reading", text});

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
      data.port.postMessage(open?.logs);
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

function answer(id: number, question: Question): void {
  try {
    if (open === null) throw new Error("no logs are open");
    const effects = {
      progress: (done: number, of: number) => tell({type: "progress", id, done, of}),
      // a cell computes without a pause: stopping one means ending this worker
      signal: new AbortController().signal,
    };
    const given = answerTo(question, open.answerer, effects);
    tell({type: "answer", id, answer: given});
  } catch (error) {
    tell({type: "failed", id, message: sentence(error)});
  }
}

function answerTo(question: Question, answerer: Answerer, effects: CellEffects): Questions[QuestionKind]["answer"] {
  switch (question.kind) {
    case "cell":
      return answerer.cell(question.ask, effects);
    case "view":
      return answerer.view(question.ask);
    case "kinds":
      return CELL_KINDS.map(({kind, summary, fields, example}) => ({kind, summary, fields, example}));
  }
}

const sentence = (error: unknown): string => (error instanceof Error ? error.message : String(error));
