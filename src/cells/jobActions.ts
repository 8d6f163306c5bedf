/** Cell kind `job-actions`: what was agreed in the review of a job, by whom and until when, and what became of it. */
import type {ReviewAction} from "../../shared/actions.ts";
import type {CellKind} from "./contract.ts";
import {modelledLives} from "./intervals.ts";
import {params} from "./params.ts";
import {actionsTable, sayActions} from "./review/actionWords.ts";
import {storyOf} from "./review/story.ts";
import {suggestionsFor} from "./review/suggestions.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {onlySentence} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

type Result =
  | NoSubject
  | {
      readonly found: true;
      readonly subject: Subject;
      readonly actions: readonly ReviewAction[];
      readonly suggestions: readonly string[];
    };

export const jobActions: CellKind<ReviewPicks, Result> = {
  kind: "job-actions",
  summary: "What was agreed in the review of a job: action, owner, day, and what became of it.",
  reads: ["actions"],
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const {actions = []} = inputs;
    const story = storyOf(inputs, subject, modelledLives(inputs, effects).models);
    return {
      found: true,
      subject,
      actions: actions.filter((action) => concerns(action, subject)),
      suggestions: suggestionsFor(inputs, subject, story),
    };
  },

  present(result, _picks, inputs) {
    if (!("actions" in result)) return onlySentence(result.sentence);
    const {subject, actions, suggestions} = result;
    const about = subject.job === null ? `run ${subject.runName}` : `job ${subject.job}`;
    return {
      headline: actions.length === 0 ? `No action is kept for ${about}.` : sayActions(actions, `of ${about}`),
      figures: [],
      tables: actions.length > 0 ? [actionsTable(actions, {withJob: false})] : [],
      cautions: [],
      records: [
        {
          type: "review action",
          about: {job: subject.job, run: subject.runName === NO_NUMBER ? null : subject.runName, tool: subject.tool},
          actions,
          suggestions: suggestions.filter(
            (text) => !(inputs.actions ?? []).some(({what, job}) => what === text && job === subject.job),
          ),
        },
      ],
    };
  },
};

const NO_NUMBER = "without a number";

/** Of the same job; where the log names none, of the same run and tool. */
function concerns(action: ReviewAction, {job, runName, tool}: Subject): boolean {
  const same = (a: string | null, b: string | null) => a !== null && b !== null && a.toLowerCase() === b.toLowerCase();
  return job === null
    ? same(action.run, runName) && (action.tool === null || same(action.tool, tool))
    : same(action.job, job);
}
