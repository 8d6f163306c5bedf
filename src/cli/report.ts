/** `report FOLDER --out DIR`: every analysis as a page, its figures as SVG, its tables as CSV. */
import {mkdir, writeFile} from "node:fs/promises";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import type {CellEffects, Presentation} from "../cells/contract.ts";
import {chartTable, csvOf} from "../charts/index.ts";
import {toCsv} from "../logs/index.ts";
import {createMemo, evaluateCell, mergeWhere, readAnalysis, type Analysis} from "../notebook/index.ts";
import {cellInputs} from "../workspace/cellInputs.ts";
import type {OpenLogs} from "../workspace/openLogs.ts";
import {drawFigure} from "./drawFigure.ts";
import {CommandError, type Effects} from "./effects.ts";
import {markdownIn} from "./folder.ts";
import {loadFolder} from "./loadFolder.ts";
import {reportIndex, reportPage, type ReportBlock} from "./reportPage.ts";

/** The pages that come with Wearbook, for a folder without its own. */
const OWN_ANALYSES = fileURLToPath(new URL("../../analyses", import.meta.url));

/** @throws CommandError (bad input) after writing what could be written, when a cell could not be computed */
export async function report(path: string, {out}: {readonly out: string}, effects: Effects): Promise<void> {
  const {folder, logs} = await loadFolder(path, effects);
  const texts = folder.analyses.length > 0 ? folder.analyses : await markdownIn(OWN_ANALYSES);
  const origin = originOf(logs);
  await makeFolder(out);
  // one memory for all pages: they share the tables, and its keys name the filters
  const cellEffects: CellEffects = {
    progress: () => undefined,
    signal: new AbortController().signal,
    memo: createMemo(),
  };
  const pages: {file: string; title: string; question: string}[] = [];
  const failures: string[] = [];
  for (const [at, {name, text}] of texts.entries()) {
    effects.say(`${at + 1} of ${texts.length}: ${name}`);
    const analysis = readAnalysis(text, name);
    const base = name.replace(/\.md$/, "");
    const blocks = await answer(analysis, logs, cellEffects, {base, out, origin});
    for (const block of blocks) if (block.type === "problem") failures.push(`${name}: ${block.message}`);
    const page = {title: analysis.title, question: analysis.question, origin, blocks};
    await writeFile(join(out, `${base}.html`), reportPage(page));
    pages.push({file: `${base}.html`, title: analysis.title, question: analysis.question});
  }
  await writeFile(join(out, "index.html"), reportIndex(pages, origin));
  effects.print(`${pages.length} pages written, ${failures.length} cells could not be computed`);
  if (failures.length > 0) throw new CommandError(failures.join("; "), 1);
}

interface Place {
  /** begins every file name of the page */
  readonly base: string;
  readonly out: string;
  readonly origin: string;
}

async function answer(analysis: Analysis, logs: OpenLogs, effects: CellEffects, place: Place): Promise<ReportBlock[]> {
  const inputs = cellInputs(logs, mergeWhere(analysis.where, {}));
  const blocks: ReportBlock[] = analysis.problems.map(({line, message, remedy}) => ({
    type: "problem",
    message: `Line ${line}: ${message}.`,
    remedy,
  }));
  let cells = 0;
  for (const block of analysis.blocks) {
    if (block.type === "prose") {
      blocks.push({type: "prose", markdown: block.text});
      continue;
    }
    cells += 1;
    const result = evaluateCell(block, inputs, effects);
    if ("problem" in result) {
      const {line, message, remedy} = result.problem;
      blocks.push({type: "problem", message: `Line ${line}: ${message}.`, remedy});
    } else blocks.push(await written(result.presentation, `${cells}-${block.kind}`, place));
  }
  return blocks;
}

/** Writes figures and tables beside the page; gives back what the page shows of them. */
async function written(presentation: Presentation, cell: string, {base, out, origin}: Place): Promise<ReportBlock> {
  const figures = [];
  for (const figure of presentation.figures) {
    const stem = `${base}-${cell}-${figure.name}`;
    const {inline, standalone} = await drawFigure(figure, origin);
    await writeFile(join(out, `${stem}.svg`), standalone);
    await writeFile(join(out, `${stem}.csv`), csvOf(chartTable(figure.chart)));
    const {title, caption} = figure;
    figures.push({title, caption, svg: inline, svgFile: `${stem}.svg`, csvFile: `${stem}.csv`});
  }
  const tables = [];
  for (const table of presentation.tables) {
    const csvFile = `${base}-${cell}-table-${table.name}.csv`;
    await writeFile(join(out, csvFile), toCsv(table.columns));
    tables.push({table, csvFile});
  }
  return {type: "answer", headline: presentation.headline, figures, tables, cautions: presentation.cautions};
}

/** What the report stands on, on every page and under every figure. */
function originOf({files, runs, lives, findings}: OpenLogs): string {
  const last = runs.columns.end.reduce((latest, time) => (time > latest ? time : latest), -Infinity);
  return [
    files.map(({name, digest}) => (digest === null ? name : `${name} (${digest})`)).join(", "),
    Number.isFinite(last) ? `runs until ${new Date(last).toISOString().slice(0, 10)}` : "no run",
    `${runs.rows} runs, ${lives.rows} lives, ${findings.length} findings`,
  ].join(" · ");
}

async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, {recursive: true});
  } catch (error) {
    throw new CommandError(`cannot make folder ${path}: ${error instanceof Error ? error.message : String(error)}`, 1);
  }
}
