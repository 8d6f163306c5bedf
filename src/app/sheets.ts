/** Analyses as the page shows them, and those that come with the program. */
import type {Where} from "../cells/contract.ts";
import type {Analysis, CellBlock, Section} from "../notebook/analysis.ts";
import {bare} from "../notebook/contents.ts";
import {readAnalysis} from "../notebook/readAnalysis.ts";
import {leadsToBench, sectionOf} from "../notebook/sectionOf.ts";

export type SheetPart =
  | {readonly type: "prose"; readonly markdown: string}
  | {
      readonly type: "cell";
      readonly kind: string;
      /** of its opening fence, in the file */
      readonly line: number;
      /** among the cells of the sheet */
      readonly place: number;
    };

export interface Sheet {
  /** e.g. `06-poppet-tip.md` */
  readonly file: string;
  /** in the address, e.g. `poppet-tip` for the file `06-poppet-tip.md` */
  readonly name: string;
  readonly title: string;
  readonly question: string;
  readonly group: Section;
  readonly where: Where;
  /** one for each block of the analysis */
  readonly parts: readonly SheetPart[];
  readonly cells: readonly CellBlock[];
  /** its answers lead someone to the bench */
  readonly bench: boolean;
  /** mistakes in the front matter, in words */
  readonly problems: readonly string[];
}

const files = import.meta.glob<string>("../../analyses/*.md", {query: "?raw", import: "default", eager: true});

/** The pages that come with the program, by file name. */
export const SHIPPED: ReadonlyMap<string, string> = new Map(
  Object.entries(files)
    .map(([path, markdown]) => [path.replace(/^.*\//, ""), markdown] as const)
    .filter(([name]) => name !== "README.md"),
);

/** The page on which the reader's own files are chosen: the one that shows what became of their rows. */
export const FILES_PAGE =
  [...SHIPPED]
    .map(([file, markdown]) => readSheet(file, markdown))
    .find(({cells}) => cells.some(({kind}) => kind === "findings"))?.name ?? "your-logs";

/** The app's own page on which the contents are arranged. */
export const CONTENTS_PAGE = "contents";

/** The app's own page on which the settings are changed. */
export const SETTINGS_PAGE = "settings";

export function readSheet(file: string, markdown: string): Sheet {
  return sheetFrom(readAnalysis(markdown, file));
}

export function sheetFrom(analysis: Analysis): Sheet {
  const cells: CellBlock[] = [];
  const parts = analysis.blocks.map((block): SheetPart => {
    if (block.type === "prose") return {type: "prose", markdown: block.text};
    cells.push(block);
    return {type: "cell", kind: block.kind, line: block.line, place: cells.length - 1};
  });
  return {
    file: analysis.name,
    name: bare(analysis.name),
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
