/** Cell kind `open-actions`: every action of every job review, those still open first. */
import type {CellKind} from "./contract.ts";
import type {ReviewAction} from "../../shared/actions.ts";
import {choiceParam, params} from "./params.ts";
import {actionsTable, sayActions} from "./review/actionWords.ts";
import {onlySentence} from "./say.ts";

const SHOWN = {open: "open ones alone", all: "done and dropped ones too"} as const;

const {schema, fields} = params({show: choiceParam("which actions are listed", SHOWN, "open")});

interface Params {
  readonly show: keyof typeof SHOWN;
}

export const openActions: CellKind<Params, readonly ReviewAction[]> = {
  kind: "open-actions",
  summary: "Actions of all job reviews: what is open, who owns it, what is due next.",
  reads: ["actions"],
  schema,
  fields,
  example: "show: open\n",

  compute: ({actions = []}) => actions,

  present(actions, {show}) {
    if (actions.length === 0)
      return onlySentence(
        "No action is kept yet. They are added on the page of a job review and stand in actions.yaml beside the logs.",
      );
    const listed = actions.filter(({state}) => show === "all" || state === "open");
    return {
      headline: sayActions(actions, "of all reviews"),
      figures: [],
      tables: listed.length > 0 ? [actionsTable(listed, {withJob: true})] : [],
      cautions: ["The page's filters do not apply: an action stays until somebody says it is done or dropped."],
      records: [{type: "review action", about: null, actions: listed, suggestions: []}],
    };
  },
};
