/** What findings cost in rows and lives, and whose rows they are about, as the cells about the logs show it. */
import type {Finding} from "../../shared/findings.ts";
import {findingCosts, type FindingCost, type FindingCosts} from "../lives/findingCosts.ts";
import {NOTHING_LEFT_OUT} from "../logs/leftOut.ts";
import {whoseFindings, type LogRows, type Whose} from "../logs/rowPlaces.ts";
import type {CellInputs} from "./contract.ts";

type Logs = Pick<CellInputs, "runs" | "rebuilds" | "leftOut" | "counts">;

const rowsOf = ({runs, rebuilds, leftOut = NOTHING_LEFT_OUT}: Logs): LogRows => ({runs, rebuilds, leftOut});

/** What each group of findings costs. */
export function costsOf(inputs: Logs & Pick<CellInputs, "all">, groups: readonly (readonly Finding[])[]): FindingCosts {
  return findingCosts(groups, {...rowsOf(inputs), counts: inputs.counts}, inputs.all);
}

export const whoseOf = (inputs: Logs, findings: readonly Finding[]): Whose[] => whoseFindings(findings, rowsOf(inputs));

/** Findings of the page's fleets, and those of which nobody can say whose they are. */
export function ofFleets(inputs: Logs & Pick<CellInputs, "where">, findings: readonly Finding[]): readonly Finding[] {
  const {fleet = []} = inputs.where;
  if (fleet.length === 0) return findings;
  const whose = whoseOf(inputs, findings);
  return findings.filter((_, at) => {
    const of = whose[at]?.fleet ?? null;
    return of === null || fleet.includes(of);
  });
}

/** In whose list each finding stands; null: its row does not say, or it concerns a whole file. */
export function ownersOf(
  inputs: Logs,
  findings: readonly Finding[],
  by: "keeper" | "fleet" | "tool",
): (string | null)[] {
  return whoseOf(inputs, findings).map(({tool, fleet, shop}) => {
    if (by === "tool") return tool === null ? null : `Tool ${tool}`;
    if (by === "keeper" && shop !== null) return `Shop ${shop}`;
    return fleet === null ? null : `Fleet ${fleet}`;
  });
}

/** The one that costs more lives, then more rows, first; what nobody can tell may cost most. */
export function dearer(a: FindingCost, b: FindingCost): number {
  const missing = (cost: FindingCost): number => cost.livesMissing ?? Number.MAX_SAFE_INTEGER;
  return missing(b) - missing(a) || b.livesInDoubt - a.livesInDoubt || b.rowsLost - a.rowsLost;
}
