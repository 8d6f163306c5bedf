/** Cell kind `findings`: what became of every row of the logs, and what to mend. */
import {op, table} from "arquero";
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {CellKind, CellTable} from "./contract.ts";
import {choiceParam, params} from "./params.ts";
import {onlySentence, sayCount, sayNumber, sayShare} from "./say.ts";

const {schema, fields} = params({
  show: choiceParam(
    "which findings the list shows",
    {
      all: "all",
      asked: "questions to answer",
      "set aside": "rows not used",
      repaired: "rows used after a repair",
      doubted: "rows used but doubted",
    },
    "all",
  ),
});

interface Rule {
  readonly kind: string;
  readonly rule: string;
  readonly file: string;
  readonly findings: number;
  readonly message: string;
  readonly remedy: string;
}

export interface FindingsResult {
  readonly counts: readonly RowCount[];
  readonly rules: readonly Rule[];
  readonly listed: readonly Finding[];
  /** files whose counts do not add up; empty unless the importer is wrong */
  readonly unbalanced: readonly string[];
}

const KINDS = ["asked", "set aside", "doubted", "repaired"];

export const findings: CellKind<{readonly show: string}, FindingsResult> = {
  kind: "findings",
  summary: "What became of every row of the logs: used, repaired, held for a question, set aside.",
  schema,
  fields,
  example: "show: all\n",

  compute({findings: all, counts}, {show}) {
    const listed = show === "all" ? all : all.filter(({kind}) => kind === show);
    return {
      counts,
      rules: byRule(listed),
      listed,
      unbalanced: counts.filter((c) => c.read !== c.accepted + c.repaired + c.held + c.setAside).map(({file}) => file),
    };
  },

  present({counts, rules, listed, unbalanced}, {show}) {
    if (counts.length === 0) return onlySentence("No log file has been read.");
    const sum = (key: Share): number => sumOf(counts, key);
    const read = sum("read");
    const used = sum("accepted") + sum("repaired");
    return {
      headline:
        `Of ${sayCount(read, "row")} in ${sayCount(counts.length, "file")}, ${sayNumber(used)} are used (${sayShare(used, read)}), ` +
        `${sayNumber(sum("repaired"))} of them after a repair; ${sayNumber(sum("held"))} are held for a question and ${sayNumber(sum("setAside"))} set aside.`,
      figures: [],
      tables: [
        countsTable(counts),
        ...(rules.length ? [rulesTable(rules)] : []),
        ...(listed.length ? [listTable(listed, show)] : []),
        ...(listed.some(({rows}) => rows !== undefined) ? [besideTable(listed)] : []),
      ],
      cautions: [
        ...unbalanced.map((file) => `${file}: the counts do not add up to the rows read; do not rely on this import.`),
        ...(sum("held") > 0
          ? ["Held rows count nowhere until the question about them is answered in the log and the log is read again."]
          : []),
      ],
    };
  },
};

/** Findings counted by kind, rule and file, what needs a person first. */
function byRule(listed: readonly Finding[]): Rule[] {
  if (listed.length === 0) return [];
  const grouped = table({
    kind: listed.map((f) => f.kind),
    rule: listed.map((f) => f.rule),
    file: listed.map((f) => f.file),
    row: listed.map((_, i) => i),
  })
    .groupby("kind", "rule", "file")
    .rollup({findings: op.count(), first: op.min("row")})
    .objects() as {kind: string; rule: string; file: string; findings: number; first: number}[];
  return grouped
    .map(({first, ...rest}) => ({...rest, message: listed[first]?.message ?? "", remedy: listed[first]?.remedy ?? ""}))
    .sort(
      (a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || b.findings - a.findings || (a.rule < b.rule ? -1 : 1),
    );
}

const LOGS = {
  runs: "run log",
  rebuilds: "rebuild log",
  lives: "life table",
  unknown: "not taken for a log",
} as const;

type Share = "read" | "accepted" | "repaired" | "held" | "setAside";

function sumOf(counts: readonly RowCount[], key: Share): number {
  return counts.reduce((sum, count) => sum + count[key], 0);
}

function countsTable(counts: readonly RowCount[]): CellTable {
  const column = (name: string, label: string, key: Share) => ({
    name,
    label,
    format: "count" as const,
    values: [...counts.map((count) => count[key]), ...(counts.length > 1 ? [sumOf(counts, key)] : [])],
  });
  const whole = counts.length > 1 ? ["all files"] : [];
  return {
    name: "rows",
    title: "Rows by file",
    columns: [
      {name: "file", label: "file", values: [...counts.map(({file}) => file), ...whole]},
      {name: "log", label: "taken for", values: [...counts.map(({log}) => LOGS[log]), ...whole.map(() => "")]},
      column("read", "rows read", "read"),
      column("accepted", "= as they are", "accepted"),
      column("repaired", "+ after a repair", "repaired"),
      column("held", "+ held", "held"),
      column("set_aside", "+ set aside", "setAside"),
    ],
    note: "Rows read are the sum of the four columns to the right: every row is in exactly one of them.",
  };
}

function rulesTable(rules: readonly Rule[]): CellTable {
  return {
    name: "rules",
    title: "Findings by rule",
    columns: [
      {name: "kind", label: "what became of it", values: rules.map((r) => r.kind)},
      {name: "rule", label: "rule", values: rules.map((r) => r.rule)},
      {name: "file", label: "file", values: rules.map((r) => r.file)},
      {name: "findings", label: "findings", format: "count", values: rules.map((r) => r.findings)},
      {name: "message", label: "for example", values: rules.map((r) => r.message)},
      {name: "remedy", label: "how to mend it", values: rules.map((r) => r.remedy)},
    ],
    note: "A row may have several findings, so findings do not add up to rows.",
  };
}

function listTable(listed: readonly Finding[], show: string): CellTable {
  return {
    name: "findings",
    title: show === "all" ? "Every finding" : `Every finding: ${show}`,
    columns: [
      {name: "file", label: "file", values: listed.map((f) => f.file)},
      {name: "line", label: "line", format: "count", values: listed.map((f) => f.line)},
      {name: "column", label: "column", values: listed.map((f) => f.column)},
      {name: "kind", label: "what became of it", values: listed.map((f) => f.kind)},
      {name: "found", label: "text found", values: listed.map((f) => f.found)},
      {name: "taken", label: "taken for", values: listed.map((f) => f.taken)},
      {name: "message", label: "what is wrong", values: listed.map((f) => f.message)},
      {name: "remedy", label: "how to mend it", values: listed.map((f) => f.remedy)},
      {name: "rule", label: "rule", values: listed.map((f) => f.rule)},
    ],
  };
}

/** Rows that speak against each other, one below the other, with the cells in which they differ. */
function besideTable(listed: readonly Finding[]): CellTable {
  const shown = listed.flatMap(({message, rows = []}) => {
    const texts = new Map<string, Set<string>>();
    for (const {cells} of rows)
      for (const [column, text] of cells) texts.set(column, (texts.get(column) ?? new Set()).add(text));
    // a cell that all rows have alike tells nothing apart
    const isShared = (column: string): boolean =>
      texts.get(column)?.size === 1 && rows.every(({cells}) => cells.some(([name]) => name === column));
    return rows.map(({file, line, cells}, at) => ({
      message: at === 0 ? message : "",
      file,
      line,
      row: cells
        .filter(([column]) => KEYS.has(column) || !isShared(column))
        .map(([column, text]) => `${column.replaceAll("_", " ")} ${text}`)
        .join(" · "),
    }));
  });
  return {
    name: "beside",
    title: "Rows that speak against each other, side by side",
    columns: [
      {name: "message", label: "what is wrong", values: shown.map(({message}) => message)},
      {name: "file", label: "file", values: shown.map(({file}) => file)},
      {name: "line", label: "line", format: "count", values: shown.map(({line}) => line)},
      {name: "row", label: "the row, where they differ", values: shown.map(({row}) => row)},
    ],
    note: "The row that the finding is about stands first. Of one rule up to a hundred findings are shown.",
  };
}

const KEYS: ReadonlySet<string> = new Set(["tool", "run", "rebuild", "component"]);
