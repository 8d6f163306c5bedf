/** `check FOLDER`: what became of every row, and what to mend. */
import {writeFile} from "node:fs/promises";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {findingsCsv} from "../logs/index.ts";
import {openLogs} from "../workspace/openLogs.ts";
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
  if (csv !== undefined) await writeFile(csv, findingsCsv(findings));
  if (json) effects.print(JSON.stringify({counts, findings}, null, 2));
  else print(findings, counts, effects);
  const lost = [...new Set(findings.filter(({rule}) => UNREADABLE.has(rule)).map(({file}) => file))];
  if (lost.length > 0) throw new CommandError(`could not be read at all: ${lost.join(", ")}`, 1);
}

function print(findings: readonly Finding[], counts: readonly RowCount[], {print}: Effects): void {
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
