/** A page read, written, changed and kept, and one of its cells asked. */
import {compareAnswer} from "../../src/notebook/compareStands.ts";
import {
  cellKeys,
  evaluateCell,
  insertCell,
  moveBlock,
  readAnalysis,
  readCell,
  removeBlock,
  setFront,
  writeAnalysis,
  type Analysis,
  type CellBlock,
} from "../../src/notebook/index.ts";
import {readContents, writeContents} from "../../src/notebook/contents.ts";
import {mergeAnalyses} from "../../src/notebook/mergeAnalyses.ts";
import {readStands, writeStands} from "../../src/notebook/stands.ts";
import {cellInputs} from "../../src/workspace/cellInputs.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {TEXTS} from "./logs.ts";
import type {Trial} from "./tried.ts";

const silent = (): void => undefined;
const LOGS = openLogs(
  TEXTS.map(([name, lines]) => ({name, bytes: new TextEncoder().encode(lines.join("\n"))})),
  false,
  silent,
);

export const triedPage: Trial = async (files) => {
  let wrong: string | null = null;
  for (const {name, bytes} of files) {
    const text = new TextDecoder().decode(bytes);
    const page = readAnalysis(text, name);
    wrong ??= notKept(page, text) ?? notTold(page, text) ?? notMerged(page, text) ?? (await notAnswered(page, text));
    wrong ??= notNoted(page);
    readContents(text);
  }
  return {rows: 0, wrong};
};

/** What is not meant by a change stays as it is, to the letter. */
function notKept(page: Analysis, text: string): string | null {
  if (writeAnalysis(page) !== text) return "the page is not written as it was read";
  const named = setFront(page, ["title"], "Another");
  if (named !== null && named.title !== "Another") return `the title was not changed: ${named.title}`;
  if (named !== null && named.blocks.length !== page.blocks.length) return "a change of the title changed the blocks";
  const more = insertCell(page, 0, "pareto", "rank: count\n");
  if (!more.blocks.some((block) => block.type === "cell" && block.body === "rank: count\n"))
    return "a new cell is not there";
  moveBlock(page, 0, page.blocks.length);
  if (page.blocks.length > 0) removeBlock(page, page.blocks.length - 1);
  return null;
}

/** Every mistake names a line that there is. */
function notTold(page: Analysis, text: string): string | null {
  const lines = text.split("\n").length;
  const cells = page.blocks.filter((block): block is CellBlock => block.type === "cell");
  if (new Set(cellKeys(cells)).size !== cells.length) return "two cells have one key";
  const problems = [
    ...page.problems,
    ...cells.flatMap((cell) => {
      const read = readCell(cell);
      return "problem" in read ? [read.problem] : [];
    }),
  ];
  for (const {line, message, remedy} of problems) {
    if (!(Number.isInteger(line) && line >= 1 && line <= lines)) return `there is no line ${line}: ${message}`;
    if (message === "" || remedy === undefined) return `a problem of line ${line} says nothing`;
  }
  return null;
}

/** The tables of ten rows are answered, or the cell says what is wrong with it. */
async function notAnswered(page: Analysis, text: string): Promise<string | null> {
  const cells = page.blocks.filter((block): block is CellBlock => block.type === "cell");
  const cell = cells[text.length % Math.max(1, cells.length)];
  const outcome = await LOGS;
  if (cell === undefined || !outcome.opened) return null;
  const effects = {progress: silent, signal: new AbortController().signal};
  const result = evaluateCell(cell, cellInputs(outcome.logs, page.where), effects);
  if ("problem" in result) return /could not be computed/.test(result.problem.message) ? result.problem.message : null;
  return result.presentation.headline === "" ? `${cell.kind} says nothing` : null;
}

/** Two tabs that changed one page: what one of them did not change is taken from the other. */
function notMerged(page: Analysis, text: string): string | null {
  const same = mergeAnalyses(text, text, text);
  if (same.text !== text || same.clashes.length > 0) return "a page does not merge with itself";
  const theirs = writeAnalysis(insertCell(page, 0, "pareto", "rank: count\n"));
  const merged = mergeAnalyses(text, text, theirs);
  if (merged.text !== theirs || merged.clashes.length > 0) return "what only the other tab changed is not taken";
  const kept = mergeAnalyses(text, theirs, text);
  if (kept.text !== theirs || kept.clashes.length > 0) return "what only this tab changed is not kept";
  const mine = writeAnalysis(insertCell(page, page.blocks.length, "life", "component: marked\n"));
  const both = mergeAnalyses(text, mine, theirs);
  // a cell that is never closed takes in what follows: then it is asked
  const all = [both.text, ...both.clashes.flatMap(({mine: one, theirs: other}) => [one, other])].join("\n");
  return all.includes("component: marked") && all.includes("rank: count") ? null : "of two new cells one is lost";
}

function notNoted(page: Analysis): string | null {
  const stands = readStands(page.tail);
  if (stands === null) return null;
  const again = readStands(writeStands(stands));
  if (JSON.stringify(again) !== JSON.stringify(stands)) return "what answers stood on is not read as it was written";
  for (const answer of stands.answers) compareAnswer(answer, answer);
  writeContents(readContents(page.tail));
  return null;
}
