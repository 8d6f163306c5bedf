/** What a person has answered about files, and the shop's own words. */
import type {FileMapping} from "../../shared/mapping.ts";
import type {Synonyms} from "../../shared/vocabulary/index.ts";
import type {Progress} from "./Watch.ts";

/** Answers about one file; they win over all evidence in it. */
export type FileAnswers = FileMapping;

export interface ImportOptions {
  /** by file name, as `mappingOf` looks them up */
  readonly answers?: Readonly<Record<string, FileAnswers>>;
  readonly synonyms?: Synonyms;
  /** serials of tools and parts, and what each stands for */
  readonly serials?: Readonly<Record<string, string>>;
  /** dates after this day cannot be; ms since 1970 UTC. Without it only dates after 2100 are refused */
  readonly today?: number;
  /** told now and then how far the reading is */
  readonly progress?: (progress: Progress) => void;
  /** stops the import: its promise then fails with the signal's reason */
  readonly signal?: AbortSignal;
}
