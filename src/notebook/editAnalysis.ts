/** Changes to an analysis: each gives a new one, read again from its text, so that lines stay true. */
import type {Analysis, Block} from "./analysis.ts";
import {readAnalysis, writeAnalysis} from "./readAnalysis.ts";

/** Text of a cell as it stands in a file. The fence is longer than any in the body. */
export function cellText(kind: string, body: string): string {
  const longest = Math.max(2, ...(body.match(/~{3,}/g) ?? []).map((fence) => fence.length));
  const fence = "~".repeat(longest + 1);
  const lines = body === "" || body.endsWith("\n") ? body : `${body}\n`;
  return `${fence}cell ${kind}\n${lines}${fence}\n`;
}

/** Puts a cell before block `index`; `index` equal to the number of blocks puts it last. */
export function insertCell(analysis: Analysis, index: number, kind: string, body: string): Analysis {
  const before = analysis.blocks.slice(0, index);
  const after = analysis.blocks.slice(index);
  const last = before.at(-1);
  const text = cellText(kind, body);
  const lead = last === undefined || /\n\r?\n$/.test(last.text) ? "" : last.text.endsWith("\n") ? "\n" : "\n\n";
  const trail = after.length === 0 || /^\r?\n/.test(after[0]!.text) ? "" : "\n";
  return withTexts(analysis, [...before.map(textOf), lead + text + trail, ...after.map(textOf)]);
}

/** Gives the cell at `index` another kind or body. */
export function replaceCell(analysis: Analysis, index: number, kind: string, body: string): Analysis {
  requireCell(analysis, index);
  return withTexts(
    analysis,
    analysis.blocks.map((block, i) => (i === index ? cellText(kind, body) : block.text)),
  );
}

/** Gives the prose at `index` another text. */
export function replaceProse(analysis: Analysis, index: number, text: string): Analysis {
  const ends = text === "" || text.endsWith("\n") ? text : `${text}\n`;
  return withTexts(
    analysis,
    analysis.blocks.map((block, i) => (i === index ? ends : block.text)),
  );
}

export function duplicateCell(analysis: Analysis, index: number): Analysis {
  const {kind, body} = requireCell(analysis, index);
  return insertCell(analysis, index + 1, kind, body);
}

export function removeBlock(analysis: Analysis, index: number): Analysis {
  return withTexts(analysis, analysis.blocks.filter((_, i) => i !== index).map(textOf));
}

/** Moves the block at `from` so that it stands at `to` among the others. */
export function moveBlock(analysis: Analysis, from: number, to: number): Analysis {
  const texts = analysis.blocks.map((block) => (block.text.endsWith("\n") ? block.text : `${block.text}\n`));
  const [moved] = texts.splice(from, 1);
  if (moved !== undefined) texts.splice(Math.min(Math.max(0, to), texts.length), 0, moved);
  return withTexts(analysis, texts);
}

const textOf = ({text}: Block): string => text;

function withTexts(analysis: Analysis, texts: readonly string[]): Analysis {
  return readAnalysis(
    writeAnalysis({head: analysis.head, blocks: texts.map((text) => ({type: "prose", line: 0, text}))}),
    analysis.name,
  );
}

function requireCell({blocks, name}: Analysis, index: number) {
  const block = blocks[index];
  if (block?.type !== "cell") throw new RangeError(`${name} has no cell at block ${index}`);
  return block;
}
