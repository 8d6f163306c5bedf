/** What lies between an answer held and the one beside it, in words. */
import {entriesIn} from "../../notebook/yamlText.ts";
import {filtersInWords} from "../../report/origin.ts";
import type {CellQuestion, LogSummary} from "../worker/protocol.ts";

export interface Difference {
  readonly what: string;
  readonly held: string;
  readonly now: string;
}

export interface Asked {
  readonly question: CellQuestion;
  readonly files: LogSummary["files"];
}

/** Filters, logs, choices, parameters and units that differ; empty when nothing was changed in between. */
export function heldDifferences(held: Asked, now: Asked): Difference[] {
  const differences: Difference[] = [];
  const add = (what: string, was: string, is: string): void => {
    if (was !== is) differences.push({what, held: was, now: is});
  };
  add("filters", filtersInWords(held.question.where), filtersInWords(now.question.where));
  if (digestsOf(held) !== digestsOf(now)) add("logs", filesInWords(held), filesInWords(now));
  add("kind", held.question.kind, now.question.kind);
  addEntries(entriesIn(held.question.body), entriesIn(now.question.body), add);
  addEntries(held.question.picks ?? {}, now.question.picks ?? {}, add);
  add("units", held.question.units, now.question.units);
  return differences;
}

function addEntries(
  held: Readonly<Record<string, unknown>> | null,
  now: Readonly<Record<string, unknown>> | null,
  add: (what: string, held: string, now: string) => void,
): void {
  const names = new Set([...Object.keys(held ?? {}), ...Object.keys(now ?? {})]);
  for (const name of names) add(name.replaceAll("_", " "), said(held?.[name]), said(now?.[name]));
}

const said = (value: unknown): string =>
  value === undefined || value === null
    ? "left out"
    : Array.isArray(value)
      ? value.map(String).join(", ")
      : typeof value === "object"
        ? JSON.stringify(value)
        : String(value);

const digestsOf = ({files}: Asked): string =>
  JSON.stringify(files.map(({name, digest, bytes}) => [name, digest, bytes]));

const filesInWords = ({files}: Asked): string =>
  files.map(({name, digest}) => (digest === null ? name : `${name} (${digest})`)).join(", ");
