/** Cell kind `fix-list`: what the shop should correct in which file and row, and what leaving it costs; dearest first. */
import type {Finding} from "../../shared/findings.ts";
import type {FindingCost} from "../lives/findingCosts.ts";
import type {AskedField, CellKind, CellTable} from "./contract.ts";
import {costsOf, dearer, ofFleets, ownersOf} from "./findingWorth.ts";
import {asked, choiceParam, params} from "./params.ts";
import {sayCount, sayNumber} from "./say.ts";

/** Whom a list is for. */
const LISTS = {
  file: "each file",
  keeper: "whoever keeps the log: the shop of a rebuild, the fleet of a run",
  fleet: "each fleet",
  tool: "each tool",
} as const;
type ListFor = keyof typeof LISTS;

const {schema, fields} = params({
  by: asked(choiceParam("for whom a list of its own is made", LISTS, "file")),
});

/** One thing to correct in one file, for one of those the lists are made for. */
export interface Correction {
  /** the file, the fleet, the shop or the tool of the list it stands in */
  readonly list: string;
  readonly file: string;
  readonly rule: string;
  readonly kind: Finding["kind"];
  readonly column: string | null;
  readonly remedy: string;
  /** of the first finding */
  readonly example: string;
  readonly lines: readonly number[];
  /** rows that count nowhere until this is mended */
  readonly rowsLost: number;
  /** lives that would be there, at most; null where nobody can tell */
  readonly livesMissing: number | null;
  /** lives that rest on a row in doubt, or on one that is left out */
  readonly livesInDoubt: number;
}

export interface FixList {
  readonly corrections: readonly Correction[];
  /** of all together, every row and life counted once */
  readonly total: FindingCost;
}

const KINDS: readonly Finding["kind"][] = ["set aside", "asked", "doubted"];
const LINES = 40;

export const fixList: CellKind<{readonly by: ListFor}, FixList> = {
  kind: "fix-list",
  summary: "What the shop should correct, list by list and row by row, and what leaving it costs; the dearest first.",
  schema,
  fields,
  example: "by: file\n",

  compute(inputs, {by}) {
    const findings = ofFleets(inputs, inputs.findings).filter(({kind}) => KINDS.includes(kind));
    const owners = by === "file" ? null : ownersOf(inputs, findings, by);
    const groups = new Map<string, {list: string; findings: Finding[]}>();
    findings.forEach((finding, at) => {
      const list = owners?.[at] ?? finding.file;
      const key = [list, finding.file, finding.rule, finding.column, finding.remedy].join("\u0001");
      const group = groups.get(key);
      if (group === undefined) groups.set(key, {list, findings: [finding]});
      else group.findings.push(finding);
    });
    const all = [...groups.values()];
    const {costs, total} = costsOf(
      inputs,
      all.map((group) => group.findings),
    );
    const corrections = all
      .map((group, at): Correction => {
        const [first] = group.findings as [Finding];
        const {file, rule, kind, column, remedy, message} = first;
        const named = group.findings.flatMap(({line}) => (line === null ? [] : [line]));
        const lines = [...new Set(named)].sort((a, b) => a - b);
        return {list: group.list, file, rule, kind, column, remedy, example: message, lines, ...costs[at]!};
      })
      .sort((a, b) => dearer(a, b) || KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || b.lines.length - a.lines.length);
    return {corrections, total};
  },

  present({corrections, total}, {by}) {
    // the list with the dearest correction comes first
    const lists = [...new Set(corrections.map(({list}) => list))];
    if (corrections.length === 0)
      return {headline: "Nothing in the logs asks to be corrected.", figures: [], tables: [], cautions: []};
    const lost = total.rowsLost;
    const missing = total.livesMissing ?? 0;
    const [first] = corrections as [Correction, ...Correction[]];
    const dearest =
      first.livesInDoubt > 0 || (first.livesMissing ?? 0) > 0
        ? ` Worth most: ${first.remedy} (${first.file}${first.lines.length === 0 ? "" : `, ${sayCount(first.lines.length, "line")}`}).`
        : "";
    // a life may be missing for a row that is used, whose part is of unknown age
    const most =
      missing > 0 ? ` and up to ${sayCount(missing, "life", "lives")} ${missing === 1 ? "is" : "are"} missing` : "";
    return {
      headline:
        `${sayCount(corrections.length, "thing")} to correct in ${sayCount(lists.length, by === "file" ? "file" : "list")}; ` +
        `until then ${lost === 0 ? "no row is" : `${sayNumber(lost)} ${lost === 1 ? "row is" : "rows are"}`} left out${most}.${dearest}`,
      figures: [],
      tables: lists.map((list) =>
        tableOf(
          list,
          corrections.filter((one) => one.list === list),
          by !== "file",
        ),
      ),
      asks: [listsFor(by)],
      cautions: [
        "Correct the log itself and read it again, rather than a copy: the next export then comes without these.",
        "A life is missing where a row that would have ended it and begun the next is left out, or where nobody knows the age of its part; how many there would be is counted at most.",
        "A life is in doubt where a row that began it, ended it or aged it is, or where a row of its tool is left out in its time: its age or its end may be wrong. A row or a life may be in several lines, so lines do not add up.",
      ],
    };
  },
};

function listsFor(by: ListFor): AskedField {
  const choices = (Object.keys(LISTS) as ListFor[]).map((value) => ({value, label: LISTS[value]}));
  return {name: "by", label: "a list for", kind: "one", choices, value: by};
}

function tableOf(name: string, list: readonly Correction[], files: boolean): CellTable {
  return {
    name: `fix ${name}`,
    title: name,
    columns: [
      {name: "correct", label: "what to do", values: list.map(({remedy}) => capital(remedy))},
      {name: "lines", label: "in lines", values: list.map(({lines}) => linesText(lines))},
      {name: "rows_lost", label: "rows left out", format: "count", values: list.map(({rowsLost}) => rowsLost)},
      {
        name: "lives_missing",
        label: "lives missing",
        unit: "at most",
        format: "count",
        values: list.map(({livesMissing}) => livesMissing),
      },
      {name: "lives", label: "lives in doubt", format: "count", values: list.map((one) => one.livesInDoubt)},
      {name: "example", label: "for example", values: list.map(({example}) => example)},
      ...(files ? [{name: "file", label: "file", values: list.map(({file}) => file)}] : []),
      {name: "column", label: "column", values: list.map(({column}) => column)},
    ],
  };
}

function linesText(lines: readonly number[]): string {
  if (lines.length === 0) return "the whole file";
  const more = lines.length > LINES ? ` and ${lines.length - LINES} more` : "";
  return lines.slice(0, LINES).join(", ") + more;
}

const capital = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1);
