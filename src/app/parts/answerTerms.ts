/** Where the words of an answer are explained: each term once, at its first use in headline, captions and table heads. */
import {GLOSSARY, termParts, type Term, type TermPart} from "../../../shared/glossary.ts";
import type {CellTable} from "../../cells/contract.ts";
import {bindUnits} from "../../cells/formatValue.ts";
import {shownColumns} from "../../cells/shownColumns.ts";

export interface AnswerWords {
  readonly sentences: readonly string[];
  readonly captions: readonly string[];
  readonly tables: readonly CellTable[];
}

export interface AnswerTerms {
  readonly sentences: readonly (readonly TermPart[])[];
  readonly captions: readonly (readonly TermPart[])[];
  /** for each table, by the number of the column that is shown */
  readonly tables: readonly ReadonlyMap<number, Term>[];
}

export function answerTerms({sentences, captions, tables}: AnswerWords): AnswerTerms {
  const wanted = new Set(GLOSSARY);
  const parts = (text: string): readonly TermPart[] => termParts(bindUnits(text), wanted);
  return {
    sentences: sentences.map(parts),
    captions: captions.map(parts),
    tables: tables.map((table) => {
      const heads = new Map<number, Term>();
      for (const {at, label} of shownColumns(table)) {
        const term = termParts(label, wanted).find((part) => part.term !== null)?.term;
        if (term) heads.set(at, term);
      }
      return heads;
    }),
  };
}
