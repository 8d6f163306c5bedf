/** Actions of reviews in sentences and as a table. */
import type {ReviewAction} from "../../../shared/actions.ts";
import type {CellTable} from "../contract.ts";
import {capital, sayCount, sayList, sayNumber} from "../say.ts";

/** `Three actions of job AW-1: 2 open, 1 done; next due 2025-12-10, owner KV.` */
export function sayActions(actions: readonly ReviewAction[], of: string): string {
  const count = (state: ReviewAction["state"]) => actions.filter((action) => action.state === state).length;
  const states = (["open", "done", "dropped"] as const).filter((state) => count(state) > 0);
  const open = actions.filter(({state}) => state === "open");
  const [next] = open.filter(({due}) => due !== null).sort(byDue);
  const unowned = open.filter(({owner}) => owner === null).length;
  const undated = open.filter(({due}) => due === null).length;
  const lacks = [
    ...(unowned > 0 ? [`${sayNumber(unowned)} without an owner`] : []),
    ...(undated > 0 ? [`${sayNumber(undated)} without a day`] : []),
  ];
  return (
    `${capital(sayCount(actions.length, "action"))} ${of}: ${sayList(states.map((state) => `${sayNumber(count(state))} ${state}`))}` +
    `${next === undefined ? "" : `; the next is due on ${next.due!}${next.owner === null ? "" : `, owner ${next.owner}`}`}` +
    `${lacks.length > 0 ? `; of the open ones ${sayList(lacks)}` : ""}.`
  );
}

const byDue = (a: ReviewAction, b: ReviewAction): number => ((a.due ?? "9999") < (b.due ?? "9999") ? -1 : 1);

/** Open ones first, by the day they are due. */
export function actionsTable(actions: readonly ReviewAction[], {withJob}: {readonly withJob: boolean}): CellTable {
  const rows = [...actions].sort((a, b) => ORDER[a.state] - ORDER[b.state] || byDue(a, b));
  return {
    name: "actions",
    title: "Actions",
    columns: [
      ...(withJob
        ? [
            {name: "job", label: "job", values: rows.map(({job, run}) => job ?? (run === null ? null : `run ${run}`))},
            {name: "tool", label: "tool", values: rows.map(({tool}) => tool)},
          ]
        : []),
      {name: "what", label: "what is to be done", values: rows.map(({what}) => what)},
      {name: "owner", label: "owner", values: rows.map(({owner}) => owner)},
      {name: "due", label: "due", format: "date", values: rows.map(({due}) => due)},
      {name: "state", label: "state", values: rows.map(({state}) => state)},
      {name: "history", label: "history", values: rows.map(({history}) => history.map(sayEvent).join("; "))},
    ],
  };
}

const ORDER: Readonly<Record<ReviewAction["state"], number>> = {open: 0, done: 1, dropped: 2};

const sayEvent = ({on, what, by, note}: ReviewAction["history"][number]): string =>
  `${on} ${what}${by === null ? "" : ` by ${by}`}${note === null ? "" : ` (${note})`}`;
