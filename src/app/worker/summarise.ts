/** What the page must know of open logs: counts, dates, and the choices each filter offers. */
import type {Words} from "../../../shared/columnar.ts";
import {
  COMPONENT_CODES,
  componentLabel,
  MUD_CODES,
  mudLabel,
  REGIME_CODES,
  regimeLabel,
} from "../../../shared/vocabulary/index.ts";
import {CELL_KINDS} from "../../cells/index.ts";
import {inViewOf} from "./Answerer.ts";
import {NO_MAPPING} from "../../../shared/mapping.ts";
import type {OpeningOutcome, OpenLogs} from "../../workspace/openLogs.ts";
import type {Choice, ImportView, LogSummary} from "./protocol.ts";

export function summarise(logs: OpenLogs, took: number): LogSummary {
  const {id, recordIds, invented, folder, files, texts, counts, settings, lives, runs, rebuilds, conditions} = logs;
  return {
    id,
    recordIds,
    reads: Object.fromEntries(CELL_KINDS.flatMap(({kind, reads}) => (reads === undefined ? [] : [[kind, reads]]))),
    invented,
    folder,
    texts,
    files,
    counts,
    view: importView(logs),
    settings,
    choices: {
      fleet: choices(lives.fleet, [], (code) => code),
      component: choices(lives.component, COMPONENT_CODES, componentLabel),
      mud: choices(lives.mud, MUD_CODES, mudLabel),
      regime: choices(lives.regime, REGIME_CODES, regimeLabel),
    },
    ...days(runs.columns.end),
    runs: runs.rows,
    rebuilds: rebuilds.rows,
    lives: lives.rows,
    failures: inViewOf(lives).failures,
    findings: logs.findings.length,
    bands: conditions.bands,
    convention: conditions.convention,
    took,
  };
}

/** How the files were read, whether or not tables came of them. */
export function importView({
  counts,
  previews = [],
  questions = [],
  mapping = NO_MAPPING,
}: OpenLogs | Extract<OpeningOutcome, {opened: false}>): ImportView {
  return {counts, previews, questions, mapping};
}

/** What a filter offers, with the lives that each leaves when it alone is chosen. */
function choices({codes, words}: Words, vocabulary: readonly string[], label: (code: string) => string): Choice[] {
  const lives = new Float64Array(words.length);
  for (const code of codes) if (code >= 0) lives[code]! += 1;
  const counted = words.map((code, at) => ({code, label: label(code), lives: lives[at]!}));
  return ordered(
    counted.filter((choice) => choice.lives > 0),
    vocabulary,
  );
}

/** In the vocabulary's order; words it does not know come last. */
function ordered(choices: readonly Choice[], vocabulary: readonly string[]): Choice[] {
  const rank = ({code}: Choice): number => (vocabulary.includes(code) ? vocabulary.indexOf(code) : vocabulary.length);
  return [...choices].sort((a, b) => rank(a) - rank(b) || a.code.localeCompare(b.code, "en"));
}

function days(ends: Float64Array): {firstDay: string | null; lastDay: string | null} {
  let first = Infinity;
  let last = -Infinity;
  for (const end of ends) {
    if (Number.isNaN(end)) continue;
    first = Math.min(first, end);
    last = Math.max(last, end);
  }
  if (first > last) return {firstDay: null, lastDay: null};
  const day = (time: number): string => new Date(time).toISOString().slice(0, 10);
  return {firstDay: day(first), lastDay: day(last)};
}
