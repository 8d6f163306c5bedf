/** `check FOLDER`: what became of every row, and what to mend. */
import {writeFile} from "node:fs/promises";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {findingCosts, type FindingCost} from "../lives/index.ts";
import {findingsCsv, whoseFindings, type CsvColumn} from "../logs/index.ts";
import {openLogs, type OpeningOutcome} from "../workspace/openLogs.ts";
import {CommandError, type Effects} from "./effects.ts";
import {readFolder} from "./folder.ts";
import {textTable} from "./textTable.ts";

export interface CheckOptions {
  readonly json?: true;
  readonly csv?: string;
}

/** Findings after which no row of a file could be used. */
const UNREADABLE = new Set([
  "file-empty",
  "file-kind",
  "file-unread",
  "file-headers-only",
  "file-log-unknown",
  "header-missing",
]);

/** @throws CommandError (bad input) after printing, when a file cannot be read at all */
export async function check(path: string, {json, csv}: CheckOptions, effects: Effects): Promise<void> {
  const folder = await readFolder(path);
  const outcome = await openLogs(folder.files, false, () => undefined);
  const {findings, counts} = outcome.opened ? outcome.logs : outcome;
  const worth = worthOf(outcome);
  if (csv !== undefined) await writeFile(csv, findingsCsv(findings, {}, worth.columns));
  if (json) effects.print(JSON.stringify({counts, findings: worth.findings, costs: worth.costs}, null, 2));
  else print(findings, counts, worth.costs, effects);
  const lost = [...new Set(findings.filter(({rule}) => UNREADABLE.has(rule)).map(({file}) => file))];
  if (lost.length > 0) throw new CommandError(`could not be read at all: ${lost.join(", ")}`, 1);
}

/** What findings of one rule in one file cost; lives are null where no log could be used. */
interface RuleCost {
  readonly rule: string;
  readonly file: string;
  readonly findings: number;
  readonly rowsLost: number;
  readonly livesMissing: number | null;
  readonly livesInDoubt: number;
}

interface Worth {
  /** with the tool, fleet and shop of their rows */
  readonly findings: readonly object[];
  readonly costs: readonly RuleCost[];
  readonly columns: readonly CsvColumn[];
}

function worthOf(outcome: OpeningOutcome): Worth {
  if (!outcome.opened) return {findings: outcome.findings, costs: [], columns: []};
  const {findings, counts, lives, read} = outcome.logs;
  const logs = {runs: read.runs, rebuilds: read.rebuilds, leftOut: read.leftOut, counts};
  const whose = whoseFindings(findings, logs);
  const groups = new Map<string, Finding[]>();
  for (const finding of findings) {
    const key = `${finding.file}\u0001${finding.rule}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [finding]);
    else group.push(finding);
  }
  const list = [...groups.values()];
  const {costs} = findingCosts(list, logs, lives);
  const each = findingCosts(
    findings.map((finding) => [finding]),
    logs,
    lives,
  ).costs;
  const number = (name: string, of: (cost: FindingCost) => number | null): CsvColumn => ({name, values: each.map(of)});
  return {
    findings: findings.map((finding, at) => ({...finding, ...whose[at]})),
    costs: list
      .map(([first], at) => ({rule: first!.rule, file: first!.file, findings: list[at]!.length, ...costs[at]!}))
      .filter(({rowsLost, livesMissing, livesInDoubt}) => rowsLost > 0 || livesMissing !== 0 || livesInDoubt > 0)
      .sort((a, b) => (b.livesMissing ?? Infinity) - (a.livesMissing ?? Infinity) || b.livesInDoubt - a.livesInDoubt),
    columns: [
      {name: "tool", values: whose.map(({tool}) => tool)},
      {name: "fleet", values: whose.map(({fleet}) => fleet)},
      {name: "shop", values: whose.map(({shop}) => shop)},
      number("rows_left_out", ({rowsLost}) => rowsLost),
      number("lives_missing", ({livesMissing}) => livesMissing),
      number("lives_in_doubt", ({livesInDoubt}) => livesInDoubt),
    ],
  };
}

function print(
  findings: readonly Finding[],
  counts: readonly RowCount[],
  costs: readonly RuleCost[],
  {print}: Effects,
): void {
  print(
    textTable([
      {label: "file", values: counts.map(({file}) => file)},
      {label: "log", values: counts.map(({log}) => log)},
      {label: "read", values: counts.map(({read}) => read)},
      {label: "accepted", values: counts.map(({accepted}) => accepted)},
      {label: "repaired", values: counts.map(({repaired}) => repaired)},
      {label: "held", values: counts.map(({held}) => held)},
      {label: "set aside", values: counts.map(({setAside}) => setAside)},
    ]),
  );
  if (findings.length === 0) print("\nNothing to mend.");
  if (costs.length > 0) {
    print("\nwhat they cost, the dearest first (lives missing: at most; a row or life may stand in several lines)");
    print(
      textTable([
        {label: "rule", values: costs.map(({rule}) => rule)},
        {label: "file", values: costs.map(({file}) => file)},
        {label: "rows left out", values: costs.map(({rowsLost}) => rowsLost)},
        {label: "lives missing", values: costs.map(({livesMissing}) => livesMissing ?? "not known")},
        {label: "lives in doubt", values: costs.map(({livesInDoubt}) => livesInDoubt)},
      ]),
    );
  }
  for (const kind of ["set aside", "asked", "doubted", "repaired"] as const) {
    const some = findings.filter((finding) => finding.kind === kind);
    if (some.length === 0) continue;
    print(`\n${kind} (${some.length})`);
    for (const finding of some) print(`  ${placeOf(finding)}: ${finding.message}. ${capital(finding.remedy)}.`);
  }
}

function placeOf({file, line}: Finding): string {
  return line === null ? file : `${file} line ${line}`;
}

const capital = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1);
