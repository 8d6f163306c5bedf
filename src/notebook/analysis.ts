/** An analysis as text with meaning: every block keeps its text verbatim, so that writing it back loses nothing. */
import type {Where} from "../cells/contract.ts";

/** A mistake a reader can mend, told where it stands. */
export interface Problem {
  /** 1-based line of the file */
  readonly line: number;
  /** what is wrong, with what came */
  readonly message: string;
  /** what is accepted, or how to mend it */
  readonly remedy: string;
}

export interface ProseBlock {
  readonly type: "prose";
  /** 1-based line on which it starts */
  readonly line: number;
  readonly text: string;
}

export interface CellBlock {
  readonly type: "cell";
  /** 1-based line of the opening fence */
  readonly line: number;
  /** the whole cell with its fences */
  readonly text: string;
  /** word after `cell`; empty when there is none */
  readonly kind: string;
  /** the YAML between the fences */
  readonly body: string;
  /** 1-based line of the first line of the body */
  readonly bodyLine: number;
  /** false when the file ends before the closing fence */
  readonly closed: boolean;
}

export type Block = ProseBlock | CellBlock;

/** Where a page stands in the contents, in their order. */
export const SECTIONS = ["Fleet", "Parts", "Bench", "Review", "Logs"] as const;
export type Section = (typeof SECTIONS)[number];

export interface Analysis {
  /** file name, e.g. `01-overview.md` */
  readonly name: string;
  readonly title: string;
  /** the reader's question; empty when the page asks none */
  readonly question: string;
  /** the section of the contents it asks for; null when it names none */
  readonly section: Section | null;
  /** the page's own filters */
  readonly where: Where;
  /** front matter with its fences, verbatim; empty when there is none */
  readonly head: string;
  readonly blocks: readonly Block[];
  /** the note of what its answers stood on when it was kept, verbatim; empty when there is none */
  readonly tail: string;
  /** mistakes in the front matter; those of cells show when the cell is evaluated */
  readonly problems: readonly Problem[];
}
