/** What the cells of a page look at: open logs under its filters. */
import type {CellInputs, Where} from "../cells/contract.ts";
import {cutLives, type LifeTable} from "../lives/index.ts";
import type {OpenLogs} from "./openLogs.ts";

/** @param cut the logs' lives cut to `where`, for whoever keeps them; made here otherwise */
export function cellInputs(logs: OpenLogs, where: Where, cut?: LifeTable): CellInputs {
  const {runs, rebuilds, lives, failures, findings, counts, settings, register, conditions, actions} = logs;
  return {
    runs,
    rebuilds,
    lives: cut ?? cutLives(lives, runs, where),
    all: lives,
    failures,
    conditions,
    findings,
    leftOut: logs.read.leftOut,
    counts,
    actions,
    settings,
    register,
    where,
    bands: conditions.bands,
    regimeConvention: conditions.convention,
  };
}
