/** What a person has answered about files, and the shop's own words. */
import type {Synonyms} from "../../shared/vocabulary/index.ts";
import type {Progress} from "./Watch.ts";
import type {DateOrder} from "./values/readDate.ts";

/** Answers about one file; they win over all evidence in it. */
export interface FileAnswers {
  readonly log?: "runs" | "rebuilds";
  /** header as it stands → our column, or null to leave it out */
  readonly columns?: Readonly<Record<string, string | null>>;
  /** our column → unit */
  readonly units?: Readonly<Record<string, string>>;
  readonly dateOrder?: DateOrder;
  readonly decimalMark?: "." | ",";
  /** fleet of every row, where the file has no fleet column */
  readonly fleet?: string;
}

export interface ImportOptions {
  /** by file name */
  readonly answers?: Readonly<Record<string, FileAnswers>>;
  readonly synonyms?: Synonyms;
  /** dates after this day cannot be; ms since 1970 UTC. Without it only dates after 2100 are refused */
  readonly today?: number;
  /** told now and then how far the reading is */
  readonly progress?: (progress: Progress) => void;
  /** stops the import: its promise then fails with the signal's reason */
  readonly signal?: AbortSignal;
}
