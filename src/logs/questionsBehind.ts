/**
 * What would be asked next if what is proposed were right, so that everything is asked in one round: rehearsals, of which
 * nothing but their questions is kept.
 */
import {NO_MAPPING} from "../../shared/mapping.ts";
import {SYNONYMS} from "../../shared/vocabulary/index.ts";
import type {ImportOptions} from "./options.ts";
import {withAnswer, type Question} from "./questions.ts";

/** What the logs are gone through for once more. */
export interface Rehearsal {
  readonly options: ImportOptions;
  /** names of the files that others' questions wait behind */
  readonly files: ReadonlySet<string>;
  /** false: words alone are behind it, and no other file needs to be looked at */
  readonly isWhole: boolean;
}

/** A missing column may hide exchanged headers, and those a running total. */
const MOST_ROUNDS = 3;

export async function questionsBehind(
  asked: readonly Question[],
  options: ImportOptions,
  rehearse: (rehearsal: Rehearsal) => Promise<readonly Question[]>,
): Promise<Question[]> {
  const more: Question[] = [];
  let gates = 0;
  for (let round = 0; round < MOST_ROUNDS; ++round) {
    const known = [...asked, ...more];
    const first = known.filter(isGate);
    if (first.length === gates) break;
    gates = first.length;
    const mapping = first.reduce(
      (answers, question) => (question.proposal === null ? answers : withAnswer(question, question.proposal, answers)),
      {...NO_MAPPING, files: options.answers ?? {}},
    );
    const base = options.synonyms ?? SYNONYMS;
    const synonyms = {...base, component: {...base.component, ...mapping.synonyms.component}};
    const found = await rehearse({
      options: {...options, answers: mapping.files, synonyms},
      files: new Set(first.map(({file}) => file)),
      isWhole: first.some(({subject}) => subject.kind !== "word"),
    });
    more.push(...found.filter(({id}) => !known.some((one) => one.id === id)));
  }
  return more;
}

/** Whether rows wait for the answer, so that nothing more is known of them. */
function isGate({subject, proposal}: Question): boolean {
  switch (subject.kind) {
    case "log":
      return true;
    case "column":
      return !("header" in subject);
    case "exchanged":
    case "date order":
      return proposal !== null;
    case "word":
      // a defect is asked about on the part it was found on
      return subject.of === "component" && proposal !== null;
    default:
      return false;
  }
}
