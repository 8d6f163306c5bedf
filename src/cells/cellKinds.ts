/** Every cell kind, in the order in which a reader is offered them. */
import type {CellKind} from "./contract.ts";
import {findings} from "./findings.ts";

export const CELL_KINDS: readonly CellKind[] = [findings];
