/**
 * Changes to an analysis: each gives a new one, read again from its text, so that lines stay true. Every block that is
 * not meant keeps its text; only what would run into its neighbour gets the blank line or the fence that it lacks.
 */
import type {Analysis, Block, CellBlock, ProseBlock} from "./analysis.ts";
import {missingFence, readAnalysis, writeAnalysis} from "./readAnalysis.ts";
import {setEntry, type EntryValue} from "./yamlText.ts";

/** Text of a cell as it stands in a file. The fence is longer than any in the body. */
export function cellText(kind: string, body: string): string {
  const longest = Math.max(2, ...(body.match(/~{3,}/g) ?? []).map((fence) => fence.length));
  const fence = "~".repeat(longest + 1);
  return `${fence}cell ${kind}\n${ended(body)}${fence}\n`;
}

/** Puts a cell before block `index`; `index` equal to the number of blocks puts it last. */
export function insertCell(analysis: Analysis, index: number, kind: string, body: string): Analysis {
  return insertText(analysis, index, cellText(kind, body));
}

/** Puts words before block `index`; beside other words they become one block with them. */
export function insertProse(analysis: Analysis, index: number, text: string): Analysis {
  return insertText(analysis, index, ended(text));
}

/** Gives the cell at `index` another kind or body. Its fences stay as they were written. */
export function replaceCell(analysis: Analysis, index: number, kind: string, body: string): Analysis {
  const cell = requireCell(analysis, index);
  return withTexts(analysis, textsOf(analysis.blocks).with(index, changedCell(cell, kind, body)));
}

/** Gives the prose at `index` another text. */
export function replaceProse(analysis: Analysis, index: number, text: string): Analysis {
  return withTexts(analysis, textsOf(analysis.blocks).with(index, ended(text)));
}

export function duplicateCell(analysis: Analysis, index: number): Analysis {
  const {kind, body} = requireCell(analysis, index);
  return insertCell(analysis, index + 1, kind, body);
}

export function removeBlock(analysis: Analysis, index: number): Analysis {
  return withTexts(analysis, parted(analysis.blocks.filter((_, i) => i !== index)));
}

/** Moves the block at `from` so that it stands at `to` among the others. */
export function moveBlock(analysis: Analysis, from: number, to: number): Analysis {
  const blocks = [...analysis.blocks];
  const [moved] = blocks.splice(from, 1);
  if (moved !== undefined) blocks.splice(Math.min(Math.max(0, to), blocks.length), 0, moved);
  return withTexts(analysis, parted(blocks));
}

/**
 * Changes one entry of the front matter, e.g. `["title"]` or `["where", "fleet"]`; a page without front matter gets one.
 * Null when the front matter is no YAML: only its text can be mended then.
 */
export function setFront(analysis: Analysis, path: readonly string[], value: EntryValue): Analysis | null {
  const {name, head} = analysis;
  const lines = head.match(/[^\n]*\n|[^\n]+$/g) ?? [];
  const opening = lines[0] ?? "---\n";
  const closing = lines.length > 1 ? lines.at(-1)! : "---\n";
  const yaml = setEntry(lines.slice(1, -1).join(""), path, value);
  if (yaml === null) return null;
  const space = head === "" && analysis.blocks[0]?.text.startsWith("\n") === false ? "\n" : "";
  return readAnalysis(writeAnalysis({...analysis, head: opening + ended(yaml) + closing + space}), name);
}

/** The analysis with another note of what its answers stood on; empty text takes it away. */
export function withTail(analysis: Analysis, tail: string): Analysis {
  const texts = textsOf(analysis.blocks);
  const last = texts.at(-1);
  if (tail !== "" && last !== undefined) texts[texts.length - 1] = blankAfter(selfContained(last));
  const blocks = texts.map((text, i) => ({...analysis.blocks[i]!, text}));
  return readAnalysis(writeAnalysis({...analysis, blocks, tail}), analysis.name);
}

/** The text of the analysis with other blocks in place of its own; each is kept apart from its neighbours. */
export function compose(analysis: Analysis, blocks: readonly Pick<Block, "type" | "text">[]): string {
  const {tail} = analysis;
  const composed = withTexts({...analysis, tail: ""}, parted(blocks));
  return writeAnalysis(tail === "" ? composed : withTail(composed, tail));
}

function insertText(analysis: Analysis, index: number, text: string): Analysis {
  const before = analysis.blocks.slice(0, index);
  const after = analysis.blocks.slice(index);
  const last = before.at(-1);
  // front matter parts itself from a first cell by a blank line too
  const open = last === undefined ? analysis.head !== "" && after.length === 0 : !/\n\r?\n$/.test(last.text);
  const lead = open ? "\n" : "";
  const trail = after.length === 0 || /^\r?\n/.test(after[0]!.text) ? "" : "\n";
  const texts = [...textsOf(before), lead + text + trail, ...textsOf(after)];
  return withTexts(analysis, texts);
}

function changedCell({text, kind: oldKind, body: oldBody}: CellBlock, kind: string, body: string): string {
  const opening = text.match(/^[^\n]*\n/)?.[0];
  if (opening === undefined) return cellText(kind, body);
  const head = oldKind === kind ? opening : opening.replace(/cell[^\r\n]*/, `cell ${kind}`);
  const changed = head + ended(body) + text.slice(opening.length + oldBody.length);
  const [read, ...others] = readAnalysis(changed, "").blocks;
  const holds = read?.type === "cell" && read.closed && read.kind === kind && read.body === ended(body);
  // a body may hold what would close its own fence
  return holds && others.length === 0 ? changed : cellText(kind, body);
}

const ended = (text: string): string => (text === "" || text.endsWith("\n") ? text : `${text}\n`);

const blankAfter = (text: string): string => (/\n\r?\n$/.test(text) || text === "" ? text : `${ended(text)}\n`);

const textsOf = (blocks: readonly Block[]): string[] => blocks.map(({text}) => text);

/** Texts of blocks that have come together anew: words beside words stay paragraphs of their own. */
function parted(blocks: readonly Pick<Block, "type" | "text">[]): string[] {
  return blocks.map((block, i) => {
    const next = blocks[i + 1];
    if (next === undefined) return block.text;
    return block.type === "prose" && next.type === "prose" ? blankAfter(block.text) : ended(block.text);
  });
}

/** A text that takes nothing of what follows for its own. */
function selfContained(text: string): string {
  const fence = missingFence(text);
  return fence === null ? ended(text) : `${ended(text)}${fence}\n`;
}

function withTexts(analysis: Analysis, texts: readonly string[]): Analysis {
  const last = texts.length - 1;
  const blocks = texts.map((text, i): ProseBlock => {
    const whole = i < last || analysis.tail !== "" ? selfContained(text) : text;
    // words that begin like front matter must not become it
    const lead = i === 0 && analysis.head === "" && /^\uFEFF?---/.test(whole) ? "\n" : "";
    return {type: "prose", line: 0, text: lead + whole};
  });
  return readAnalysis(writeAnalysis({...analysis, blocks}), analysis.name);
}

function requireCell({blocks, name}: Analysis, index: number): CellBlock {
  const block = blocks[index];
  if (block?.type !== "cell") throw new RangeError(`${name} has no cell at block ${index}`);
  return block;
}
