/**
 * Findings of the logs that touch a review: about its run and the rebuilds around it, or about its tool at other times.
 *
 * A finding belongs to a line of a file. Rules that compare rows name other lines, tools and parts in their sentences, so a
 * finding that names the tool by its serial, or a line of the run, counts too.
 */
import {wordAt} from "../../../shared/columnar.ts";
import type {Finding} from "../../../shared/findings.ts";
import type {RowOrigin} from "../../logs/logTable.ts";
import type {CellInputs} from "../contract.ts";
import type {Story} from "./story.ts";
import type {Subject} from "./subject.ts";

export type Tier = "run" | "around" | "elsewhere";

export interface OpenQuestion {
  readonly finding: Finding;
  /** what it touches: the run itself, a rebuild or part around it, or the same tool at another time */
  readonly tier: Tier;
}

/** Rows repaired are told in the findings; here stands what waits for a person. */
const OPEN: readonly Finding["kind"][] = ["asked", "doubted", "set aside"];

export function openQuestions(
  {runs, rebuilds, findings, all}: Pick<CellInputs, "runs" | "rebuilds" | "findings" | "all">,
  {run, runs: ofJob, tool}: Subject,
  {log, parts}: Pick<Story, "log" | "parts">,
): OpenQuestion[] {
  const places = new Map<string, Tier>();
  const put = (table: RowOrigin, row: number, tier: Tier) => {
    const key = placeOf(wordAt(table.file, row), table.line[row] ?? null);
    const before = places.get(key);
    if (before === undefined || ORDER[tier] < ORDER[before]) places.set(key, tier);
  };
  for (const row of log.runs) put(runs, row, "elsewhere");
  for (const visit of log.visits) for (const row of visit.rows) put(rebuilds, row, "elsewhere");
  for (const visit of [log.before, log.next]) for (const row of visit?.rows ?? []) put(rebuilds, row, "around");
  for (const {life} of parts) {
    if (all.beganRow[life]! >= 0) put(rebuilds, all.beganRow[life]!, "around");
    if (all.endedRow[life]! >= 0) put(rebuilds, all.endedRow[life]!, "around");
  }
  for (const row of ofJob) put(runs, row, "around");
  put(runs, run, "run");
  const lines = new Map<number, Set<string>>();
  for (const row of ofJob) {
    const line = runs.line[row]!;
    lines.set(line, (lines.get(line) ?? new Set()).add(wordAt(runs.file, row) ?? ""));
  }
  const touched: OpenQuestion[] = [];
  for (const finding of findings) {
    if (!OPEN.includes(finding.kind)) continue;
    const at = places.get(placeOf(finding.file, finding.line));
    const named = namedIn(finding, tool, lines, runs.line[run]!, wordAt(runs.file, run));
    const tier = at === undefined ? named : named === null ? at : ORDER[named] < ORDER[at] ? named : at;
    if (tier !== null) touched.push({finding, tier});
  }
  return touched.sort(
    (a, b) => ORDER[a.tier] - ORDER[b.tier] || KINDS.indexOf(a.finding.kind) - KINDS.indexOf(b.finding.kind),
  );
}

const ORDER: Readonly<Record<Tier, number>> = {run: 0, around: 1, elsewhere: 2};
const KINDS: readonly Finding["kind"][] = ["asked", "set aside", "doubted", "repaired"];

const placeOf = (file: string | null, line: number | null): string => `${file ?? ""}:${line ?? ""}`;

/** Whether a finding's sentence names a line of the run or the tool itself. */
function namedIn(
  {file, message, found, taken, column}: Finding,
  tool: string | null,
  lines: ReadonlyMap<number, ReadonlySet<string>>,
  ownLine: number,
  ownFile: string | null,
): Tier | null {
  for (const [, text, other] of message.matchAll(/\blines? (\d+)(?: of (\S+))?/g)) {
    const line = Number(text);
    const inFile = other?.replace(/[;,.]+$/, "") ?? file;
    if (lines.get(line)?.has(inFile) === true) return line === ownLine && inFile === ownFile ? "run" : "around";
  }
  if (tool === null) return null;
  const texts = [message, ...(column === null ? [] : [found ?? "", taken ?? ""])];
  return texts.some((text) => words(text).includes(tool.toLowerCase())) ? "elsewhere" : null;
}

const words = (text: string): string[] =>
  text
    .toLowerCase()
    .split(/[\s,;:()“”"]+/)
    .map((word) => word.replace(/'s$|[.']+$/g, ""));
