/** What the page must know of open logs: counts, dates, and the choices each filter offers. */
import {
  COMPONENT_CODES,
  componentLabel,
  MUD_CODES,
  mudLabel,
  REGIME_CODES,
  regimeLabel,
} from "../../../shared/vocabulary/index.ts";
import {cutLives, type LifeTable} from "../../lives/index.ts";
import type {ListFilter} from "../state/pageAddress.ts";
import {inViewOf} from "./Answerer.ts";
import type {OpenLogs} from "../../workspace/openLogs.ts";
import type {Choice, LogSummary} from "./protocol.ts";

export function summarise(logs: OpenLogs, took: number): LogSummary {
  const {id, invented, files, counts, settings, lives, runs, rebuilds, conditions} = logs;
  const choices = (filter: ListFilter, codes: readonly string[], label: (code: string) => string): Choice[] =>
    codes
      .map((code) => ({code, label: label(code), lives: cutLives(lives, runs, {[filter]: [code]}).rows}))
      .filter((choice) => choice.lives > 0);
  return {
    id,
    invented,
    files,
    counts,
    settings,
    choices: {
      fleet: choices("fleet", [...used(lives.fleet)].sort(), (code) => code),
      component: choices("component", ordered(used(lives.component), COMPONENT_CODES), componentLabel),
      mud: choices("mud", ordered(lives.exposure.muds, MUD_CODES), mudLabel),
      regime: choices("regime", ordered(lives.exposure.regimes, REGIME_CODES), regimeLabel),
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

function used({codes, words}: LifeTable["fleet"]): string[] {
  const seen = new Set(codes);
  return words.filter((_, code) => seen.has(code));
}

/** In the vocabulary's order; words it does not know come last. */
function ordered(codes: readonly string[], vocabulary: readonly string[]): string[] {
  const rank = (code: string): number => (vocabulary.includes(code) ? vocabulary.indexOf(code) : vocabulary.length);
  return [...new Set(codes)].sort((a, b) => rank(a) - rank(b) || a.localeCompare(b, "en"));
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
