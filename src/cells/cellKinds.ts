/** Every cell kind, in the order in which a reader is offered them. */
import type {CellKind} from "./contract.ts";
import {findings} from "./findings.ts";
import {fleets} from "./fleets.ts";
import {intervals} from "./intervals.ts";
import {life} from "./life.ts";
import {lives} from "./livesCell.ts";
import {pareto} from "./pareto.ts";

export const CELL_KINDS: readonly CellKind[] = [intervals, life, pareto, fleets, lives, findings];
