/** Front matter of an analysis: title, question, its section in the contents and the page's own filters. */
import {isMap, isScalar, LineCounter, type YAMLMap} from "yaml";
import type {Where} from "../cells/contract.ts";
import {listOf} from "../cells/params.ts";
import {componentWord, mudWord, quoted, regimeWord, type Word} from "../cells/words.ts";
import {SECTIONS, type Problem, type Section} from "./analysis.ts";
import {isDay} from "./days.ts";
import {readYaml} from "../../shared/readYaml.ts";

export interface FrontMatter {
  readonly title: string | null;
  readonly question: string | null;
  /** null: the contents find a place by what the page is about */
  readonly section: Section | null;
  readonly where: Where;
  readonly problems: readonly Problem[];
}

type Writable<T> = {-readonly [K in keyof T]: T[K]};

const KEYS = ["title", "question", "section", "where"];
const FILTERS = ["fleet", "from", "to", "component", "mud", "regime"];

/** @param head the front matter with both its `---` lines; empty text gives empty front matter */
export function readFrontMatter(head: string): FrontMatter {
  const problems: Problem[] = [];
  const lines = new LineCounter();
  const yaml = head.replace(/^\uFEFF?---[^\n]*\n/, "\n").replace(/---[ \t\r\n]*$/, "");
  const document = readYaml(yaml, {lineCounter: lines});
  const problem = (offset: number, message: string, remedy: string) =>
    problems.push({line: lines.linePos(offset).line, message, remedy});

  for (const error of document.errors)
    problem(
      error.pos[0],
      `the front matter is not YAML: ${error.message}`,
      "write lines of “name: value” between the two --- lines",
    );
  const root = document.contents;
  if (document.errors.length > 0 || !isMap(root))
    return {title: null, question: null, section: null, where: {}, problems};

  const texts: Record<string, string | null> = {title: null, question: null};
  let section: Section | null = null;
  let where: Where = {};
  for (const {key, at, value} of entriesOf(root)) {
    if (key === "title" || key === "question") {
      if (value === null) continue;
      if (typeof value === "object") problem(at, `${key} must be one line of text`, "put text with a colon in quotes");
      else texts[key] = String(value);
    } else if (key === "section") {
      if (value === null) continue;
      section = SECTIONS.find((known) => known.toLowerCase() === String(value).trim().toLowerCase()) ?? null;
      if (section === null) problem(at, `no section is called ${quoted(value)}`, `accepted: ${SECTIONS.join(", ")}`);
    } else if (key === "where") {
      const filters = root.get(key, true);
      if (isMap(filters)) where = readWhere(filters, problem);
      else if (value !== null)
        problem(at, `where must be a list of filters, got ${quoted(value)}`, `accepted: ${FILTERS.join(", ")}`);
    } else problem(at, `the front matter knows no ${quoted(key)}`, `accepted: ${KEYS.join(", ")}`);
  }
  return {title: texts.title ?? null, question: texts.question ?? null, section, where, problems};
}

function readWhere(map: YAMLMap, problem: (offset: number, message: string, remedy: string) => void): Where {
  const where: Writable<Where> = {};
  for (const {key, at, value} of entriesOf(map)) {
    if (value === null) continue;
    if (key === "from" || key === "to") {
      if (isDay(String(value))) where[key] = String(value);
      else problem(at, `${key} must be a day, got ${quoted(value)}`, "write it as 2024-03-01");
    } else if (key === "fleet") where.fleet = listOf(value).map(String);
    else if (key === "component") set(where, key, value, componentWord, at, problem);
    else if (key === "mud") set(where, key, value, mudWord, at, problem);
    else if (key === "regime") set(where, key, value, regimeWord, at, problem);
    else problem(at, `no filter is called ${quoted(key)}`, `accepted: ${FILTERS.join(", ")}`);
  }
  return where;
}

function set(
  where: Writable<Where>,
  key: "component" | "mud" | "regime",
  value: unknown,
  meaning: (text: string) => Word,
  at: number,
  problem: (offset: number, message: string, remedy: string) => void,
): void {
  const codes: string[] = [];
  for (const item of listOf(value)) {
    const word = meaning(String(item));
    if ("code" in word) codes.push(word.code);
    else problem(at, `where: ${word.message}`, "mend the word or take it out; the filter runs without it");
  }
  if (codes.length > 0) where[key] = codes;
}

function entriesOf(map: YAMLMap): {key: string; at: number; value: unknown}[] {
  return map.items.map(({key, value}) => ({
    key: isScalar(key) ? String(key.value) : String(key),
    at: isScalar(key) ? (key.range?.[0] ?? 0) : 0,
    value: isScalar(value)
      ? value.value
      : value && typeof value === "object" && "toJSON" in value
        ? (value as {toJSON(): unknown}).toJSON()
        : null,
  }));
}
