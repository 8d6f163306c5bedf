/** A worker of the pool: holds the tables, answers one question at a time. */
import {Answerer} from "./Answerer.ts";
import {openLogs, type OpenLogs} from "../../workspace/openLogs.ts";
import type {FromWorker, LogSource, Question, ToWorker} from "./protocol.ts";
import {readSource} from "./readSource.ts";
import {importView, summarise} from "./summarise.ts";

let open: {readonly logs: OpenLogs; readonly answerer: Answerer} | null = null;

const tell = (message: FromWorker): void => postMessage(message);

function hold(logs: OpenLogs): void {
  open = {logs, answerer: new Answerer(logs)};
}

addEventListener("message", ({data}: MessageEvent<ToWorker>) => {
  switch (data.type) {
    case "load":
      void load(data.source);
      return;
    case "give":
      data.port.postMessage(open?.logs);
      return;
    case "take":
      data.port.onmessage = ({data: logs}: MessageEvent<OpenLogs>) => {
        hold(logs);
        data.port.close();
        tell({type: "taken"});
      };
      return;
    case "question":
      answer(data.id, data.question);
  }
});

async function load(source: LogSource): Promise<void> {
  const from = performance.now();
  const say = (text: string): void => tell({type: "reading", text});
  try {
    const {files, invented} = await readSource(source, say);
    const outcome = await openLogs(files, invented, say);
    if (!outcome.opened) {
      tell({type: "refused", message: outcome.message, findings: outcome.findings, view: importView(outcome)});
      return;
    }
    hold(outcome.logs);
    tell({type: "loaded", summary: summarise(outcome.logs, performance.now() - from)});
  } catch (error) {
    tell({type: "refused", message: `${sentence(error)}.`, findings: []});
  }
}

function answer(id: number, question: Question): void {
  try {
    if (open === null) throw new Error("no logs are open");
    const effects = {
      progress: (done: number, of: number) => tell({type: "progress", id, done, of}),
      // a cell computes without a pause: stopping one means ending this worker
      signal: new AbortController().signal,
    };
    const given =
      question.kind === "cell" ? open.answerer.cell(question.ask, effects) : open.answerer.view(question.ask);
    tell({type: "answer", id, answer: given});
  } catch (error) {
    tell({type: "failed", id, message: sentence(error)});
  }
}

const sentence = (error: unknown): string => (error instanceof Error ? error.message : String(error));
