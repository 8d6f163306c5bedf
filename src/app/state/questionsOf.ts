/** What a page asks of the workers: its cells under the reader's filters, choices and units. */
import type {Where} from "../../cells/contract.ts";
import {mergeWhere} from "../../notebook/mergeWhere.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import type {Sheet} from "../sheets.ts";
import type {CellQuestion} from "../worker/protocol.ts";

export interface Asking {
  readonly where: Where;
  readonly units: CellQuestion["units"];
  /** choices made on the page; none for a page that is not open */
  readonly picks?: Picks;
}

export function questionsOf(sheet: Sheet, {where, units, picks = {}}: Asking): CellQuestion[] {
  return sheet.cells.map(({kind, body, closed}) => ({
    kind,
    body,
    closed,
    picks,
    where: mergeWhere(sheet.where, where),
    units,
  }));
}
