/** Markdown with fenced cells → an analysis. Any text is an analysis; mistakes become problems with their line. */
import type {Analysis, Block, CellBlock} from "./analysis.ts";
import {readFrontMatter} from "./frontMatter.ts";
import {tailLength} from "./stands.ts";

/** A fence: up to three spaces, at least three of one sign, then the info string (CommonMark 0.31, 4.5). */
const FENCE = /^ {0,3}(`{3,}|~{3,})[ \t]*([^\r\n]*?)[ \t]*(?:\r?\n|$)/;

/**
 * @param markdown the whole file
 * @param name its file name, which also stands in for a missing title
 */
export function readAnalysis(markdown: string, name: string): Analysis {
  const lines = markdown.match(/[^\n]*\n|[^\n]+$/g) ?? [];
  const headLines = headLength(lines);
  const front = readFrontMatter(lines.slice(0, headLines).join(""));
  const bodyLines = lines.length - Math.min(tailLength(lines), lines.length - headLines);
  const blocks = readBlocks(lines.slice(0, bodyLines), headLines);
  return {
    name,
    title: front.title ?? firstHeading(blocks) ?? titleOf(name),
    question: front.question ?? "",
    section: front.section,
    where: front.where,
    head: lines.slice(0, headLines).join(""),
    blocks,
    tail: lines.slice(bodyLines).join(""),
    problems: front.problems,
  };
}

/** The text of an analysis, exactly as it was read or as its blocks were changed. */
export function writeAnalysis({head, blocks, tail}: Pick<Analysis, "head" | "blocks" | "tail">): string {
  return head + blocks.map(({text}) => text).join("") + tail;
}

/**
 * The line that would close a fence left open in a text, cell or other; null when none is. What came after such a text
 * would be taken for a part of it.
 */
export function missingFence(text: string): string | null {
  const lines = text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
  for (let i = 0; i < lines.length; i++) {
    const fence = openingFence(lines[i]!);
    if (!fence) continue;
    i = closingLine(lines, i + 1, fence.sign);
    if (i >= lines.length) return fence.sign;
  }
  return null;
}

/** How many lines the front matter takes; 0 when the first line opens none or none closes it. */
function headLength(lines: readonly string[]): number {
  if (!/^\uFEFF?---[ \t]*\r?\n$/.test(lines[0] ?? "")) return 0;
  for (let i = 1; i < lines.length; i++) if (/^---[ \t]*(?:\r?\n|$)/.test(lines[i]!)) return i + 1;
  return 0;
}

function readBlocks(lines: readonly string[], first: number): Block[] {
  const blocks: Block[] = [];
  let prose = first;
  let i = first;
  const closeProse = (end: number) => {
    if (end > prose) blocks.push({type: "prose", line: prose + 1, text: lines.slice(prose, end).join("")});
  };
  while (i < lines.length) {
    const fence = openingFence(lines[i]!);
    if (!fence) {
      i++;
      continue;
    }
    const end = closingLine(lines, i + 1, fence.sign);
    const after = Math.min(end + 1, lines.length);
    if (fence.cell) {
      closeProse(i);
      blocks.push(cellBlock(lines, i, end, fence.kind));
      prose = after;
    }
    // what stands in another fence is an example, not a cell
    i = after;
  }
  closeProse(lines.length);
  return blocks;
}

function openingFence(line: string): {readonly sign: string; readonly cell: boolean; readonly kind: string} | null {
  const match = FENCE.exec(line);
  if (!match) return null;
  const [, sign = "", info = ""] = match;
  // a backtick fence with a backtick in its info string is inline code
  if (sign.startsWith("`") && info.includes("`")) return null;
  const [first = "", ...rest] = info.split(/\s+/);
  return {sign, cell: first === "cell", kind: first === "cell" ? rest.join(" ") : ""};
}

/** Index of the closing fence, or the number of lines when there is none. */
function closingLine(lines: readonly string[], from: number, sign: string): number {
  const closing = new RegExp(`^ {0,3}${sign[0]}{${sign.length},}[ \\t]*(?:\\r?\\n|$)`);
  for (let i = from; i < lines.length; i++) if (closing.test(lines[i]!)) return i;
  return lines.length;
}

function cellBlock(lines: readonly string[], open: number, end: number, kind: string): CellBlock {
  return {
    type: "cell",
    line: open + 1,
    text: lines.slice(open, end + 1).join(""),
    kind,
    body: lines.slice(open + 1, end).join(""),
    bodyLine: open + 2,
    closed: end < lines.length,
  };
}

function firstHeading(blocks: readonly Block[]): string | null {
  for (const block of blocks) {
    const heading = block.type === "prose" ? /^#{1,2}[ \t]+(.+?)[ \t]*$/m.exec(block.text) : null;
    if (heading) return heading[1] ?? null;
  }
  return null;
}

/** `03-wear-band.md` → `wear band` */
function titleOf(name: string): string {
  const bare = name
    .replace(/^.*[\\/]/, "")
    .replace(/\.md$/i, "")
    .replace(/^\d+[-_ ]*/, "")
    .replaceAll(/[-_]+/g, " ")
    .trim();
  return bare === "" ? "untitled" : bare;
}
