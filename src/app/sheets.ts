/** The analyses as the page shows them: read once from the files that come with the program. */
import type {Where} from "../cells/contract.ts";
import type {CellBlock, Section} from "../notebook/analysis.ts";
import {readAnalysis} from "../notebook/readAnalysis.ts";
import {leadsToBench, sectionOf} from "../notebook/sectionOf.ts";

export type SheetPart =
  | {readonly type: "prose"; readonly markdown: string}
  | {readonly type: "cell"; readonly kind: string; /** among the cells of the sheet */ readonly place: number};

export interface Sheet {
  /** in the address, e.g. `poppet-tip` for the file `06-poppet-tip.md` */
  readonly name: string;
  readonly title: string;
  readonly question: string;
  readonly group: Section;
  readonly where: Where;
  readonly parts: readonly SheetPart[];
  readonly cells: readonly CellBlock[];
  /** its answers lead someone to the bench */
  readonly bench: boolean;
  /** mistakes in the front matter, in words */
  readonly problems: readonly string[];
}

const files = import.meta.glob<string>("../../analyses/*.md", {query: "?raw", import: "default", eager: true});

/** In the order of their file names. */
export const sheets: readonly Sheet[] = Object.entries(files)
  .map(([path, markdown]) => [path.replace(/^.*\//, ""), markdown] as const)
  .filter(([name]) => name !== "README.md")
  .sort(([a], [b]) => a.localeCompare(b, "en", {numeric: true}))
  .map(([name, markdown]) => readSheet(name, markdown));

/** The page on which the reader's own files are chosen: the one that shows what became of their rows. */
export const FILES_PAGE = sheets.find(({cells}) => cells.some(({kind}) => kind === "findings"))?.name ?? "your-logs";

/** The sheet of that name; the first for no name; undefined when there is none. */
export const sheetOf = (name: string): Sheet | undefined =>
  name === "" ? sheets[0] : sheets.find((sheet) => sheet.name === name);

export function readSheet(file: string, markdown: string): Sheet {
  const analysis = readAnalysis(markdown, file);
  const cells: CellBlock[] = [];
  const parts = analysis.blocks.map((block): SheetPart => {
    if (block.type === "prose") return {type: "prose", markdown: block.text};
    cells.push(block);
    return {type: "cell", kind: block.kind, place: cells.length - 1};
  });
  return {
    name: file.replace(/\.md$/i, "").replace(/^\d+[-_ ]*/, ""),
    title: analysis.title,
    question: analysis.question,
    group: sectionOf(analysis),
    where: analysis.where,
    parts,
    cells,
    bench: leadsToBench(analysis),
    problems: analysis.problems.map(({line, message, remedy}) => `Line ${line}: ${message}; ${remedy}.`),
  };
}
