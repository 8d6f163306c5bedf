/**
 * What the answers of a kept page stood on, at the end of its Markdown, so that the file alone can tell on other logs
 * which answers moved. It is an HTML comment that holds YAML: any Markdown reader passes over it.
 *
 *     <!-- what this page stood on
 *     kept: "2025-03-01"
 *     version: "0.1.0"
 *     units: "metric"
 *     where: {"fleet":["Alder"]}
 *     picks: {"tool":"K1-0007"}
 *     files:
 *       - {"name":"runs.csv","rows":412,"digest":"5b1c…"}
 *     settings:
 *       - {"name":"level","value":"0.8"}
 *     answers:
 *       - {"cell":"91ac…","says":"Seals: renew at 120 h …","numbers":"77f0…"}
 *     -->
 */
import * as v from "valibot";
import type {CellTable, Figure, Presentation} from "../cells/contract.ts";
import {canonical, hash} from "./contentKey.ts";
import {readYaml} from "../../shared/readYaml.ts";

const OPENING = /^<!-- what this page stood on[ \t]*\r?\n$/;

const words = v.optional(v.array(v.string()));

const schema = v.object({
  kept: v.string(),
  version: v.string(),
  units: v.picklist(["metric", "oilfield"]),
  /** filters set on the page besides its own, and choices made on it; left out where there were none */
  where: v.optional(
    v.object({
      fleet: words,
      component: words,
      mud: words,
      regime: words,
      from: v.optional(v.string()),
      to: v.optional(v.string()),
    }),
  ),
  picks: v.optional(v.record(v.string(), v.string())),
  files: v.array(v.object({name: v.string(), rows: v.nullable(v.number()), digest: v.nullable(v.string())})),
  settings: v.array(v.object({name: v.string(), value: v.string()})),
  answers: v.array(v.object({cell: v.string(), says: v.string(), numbers: v.string()})),
});

/** Files with their counts, settings that differ from the defaults, and each cell's answer. */
export type Stands = v.InferOutput<typeof schema>;
export type KeptAnswer = Stands["answers"][number];
export type StoodFile = Stands["files"][number];

/** Whether answers were asked alike: under the same filters and choices, in whatever order they were made. */
export function askedAlike(a: Pick<Stands, "where" | "picks">, b: Pick<Stands, "where" | "picks">): boolean {
  const asked = ({where = {}, picks = {}}: Pick<Stands, "where" | "picks">): string => {
    const filters = Object.entries(where).map(([name, value]) => [
      name,
      Array.isArray(value) ? [...value].sort() : value,
    ]);
    const set = filters.filter(([, value]) => value !== undefined && value.length > 0);
    return canonical([Object.fromEntries(set), picks]);
  };
  return asked(a) === asked(b);
}

/** How many lines at the end of a file are such a note; 0 when there is none. */
export function tailLength(lines: readonly string[]): number {
  const last = lines.findLastIndex((line) => line.trim() !== "");
  if (last < 0 || lines[last]!.trimEnd() !== "-->") return 0;
  for (let at = last - 1; at >= 0; at--) {
    if (OPENING.test(lines[at]!)) return lines.length - at;
    if (lines[at]!.includes("-->")) return 0;
  }
  return 0;
}

/** @returns null for an empty tail, and for one that someone has changed past reading; its text is kept all the same */
export function readStands(tail: string): Stands | null {
  if (tail === "") return null;
  const lines = tail.split("\n");
  const end = lines.findLastIndex((line) => line.trimEnd() === "-->");
  const document = readYaml(lines.slice(1, end).join("\n"));
  if (document.errors.length > 0) return null;
  const checked = v.safeParse(schema, document.toJS());
  return checked.success ? checked.output : null;
}

export function writeStands(stands: Stands): string {
  // JSON is YAML; a comment ends at the first --> or --!>, wherever it stands
  const yaml = Object.entries(stands)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => `${name}: ${Array.isArray(value) ? listed(value) : JSON.stringify(value)}\n`)
    .join("");
  return `<!-- what this page stood on\n${yaml.replaceAll(/--(!?)>/g, "--$1\\x3E")}-->\n`;
}

/** One item a line, so that two versions of a page compare well. */
const listed = (items: readonly unknown[]): string =>
  items.length === 0 ? "[]" : items.map((item) => `\n  - ${JSON.stringify(item)}`).join("");

/** What a cell answered, short enough to keep beside it. */
export function keptAnswer(cell: string, presentation: Presentation): KeptAnswer {
  return {cell, says: presentation.headline, numbers: numbersOf(presentation)};
}

/** A sum over every number shown, rounded so that another engine's last digit does not count as a change. */
function numbersOf({figures, tables}: Pick<Presentation, "figures" | "tables">): string {
  const shown = [tables.map((table: CellTable) => table.columns), figures.map(({chart}: Figure) => chart)];
  return hash(canonical(rounded(shown)));
}

function rounded(value: unknown): unknown {
  if (typeof value === "number") return Number.isFinite(value) ? Number(value.toPrecision(4)) : String(value);
  if (ArrayBuffer.isView(value)) return Array.from(value as unknown as Iterable<number>, rounded);
  if (Array.isArray(value)) return value.map(rounded);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, rounded(item)]));
}
