/** Answers and changes about the files that are open, while they are being given: used when the files are read again. */
import {
  answersIn,
  withColumn,
  withFile,
  withSerial,
  withTotals,
  withUnit,
  withWord,
  type FileEdit,
} from "../../../shared/editMapping.ts";
import {NO_MAPPING, parseMapping, writeMapping, type Mapping} from "../../../shared/mapping.ts";
import type {SynonymKind} from "../../../shared/vocabulary/index.ts";
import {withAnswer, type Question} from "../../logs/questions.ts";
import type {ImportView} from "../worker/protocol.ts";

export class MappingDraft {
  readonly questions: readonly Question[];
  /** the mapping the files were read with, and the changes made to it since */
  edited = $state.raw<Mapping>(NO_MAPPING);
  /** id of a question → the value chosen; a proposal counts when the reader has not chosen otherwise */
  chosen = $state.raw<Readonly<Record<string, string>>>({});
  readonly #before: string;

  constructor({questions, mapping}: Pick<ImportView, "questions" | "mapping">) {
    this.questions = questions;
    this.edited = mapping;
    this.#before = writeMapping(mapping);
    this.chosen = Object.fromEntries(
      questions.flatMap(({id, proposal}) => (proposal === null ? [] : [[id, proposal] as const])),
    );
  }

  /** With every answer in it. */
  readonly mapping: Mapping = $derived.by(() =>
    this.questions.reduce((mapping, question) => {
      const value = this.chosen[question.id];
      return value === undefined ? mapping : withAnswer(question, value, mapping);
    }, this.edited),
  );
  readonly text: string = $derived(writeMapping(this.mapping));
  readonly answered: number = $derived.by(() => this.questions.filter(({id}) => this.chosen[id] !== undefined).length);
  readonly changed: boolean = $derived.by(() => this.text !== this.#before);
  /** whether the reader has changed something besides the questions */
  readonly edits: boolean = $derived.by(() => writeMapping(this.edited) !== this.#before);
  readonly kept: number = $derived(answersIn(this.edited));

  /** @param value undefined: leaves the question open */
  answer(question: Question, value: string | undefined): void {
    const {[question.id]: _, ...others} = this.chosen;
    this.chosen = value === undefined ? others : {...others, [question.id]: value};
  }

  column(file: string, header: string, column: string | null | undefined): void {
    this.edited = withColumn(this.edited, file, header, column);
  }

  unit(file: string, column: string, unit: string | undefined): void {
    this.edited = withUnit(this.edited, file, column, unit);
  }

  totals(file: string, column: string, tools: string | undefined): void {
    this.edited = withTotals(this.edited, file, column, tools);
  }

  file(file: string, edit: FileEdit): void {
    this.edited = withFile(this.edited, file, edit);
  }

  word(kind: SynonymKind, word: string, meaning: string | undefined): void {
    this.edited = withWord(this.edited, kind, word, meaning);
  }

  serial(serial: string, means: string | undefined): void {
    this.edited = withSerial(this.edited, serial, means);
  }

  /** Takes a text in place of all; gives the sentences of what was not understood, with which it takes nothing. */
  take(text: string): string[] {
    const {mapping, findings} = parseMapping(text, "mapping.yaml");
    if (findings.length > 0)
      return findings.map(
        ({line, message, remedy}) => `${line === null ? "" : `Line ${line}: `}${message}; ${remedy}.`,
      );
    this.edited = mapping;
    this.chosen = {};
    return [];
  }
}
