/** Cell kind `findings`: what became of every row of the logs, and what to mend. */
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {FindingCost} from "../lives/findingCosts.ts";
import type {Whose} from "../logs/rowPlaces.ts";
import type {CellKind, CellTable} from "./contract.ts";
import {costsOf, dearer, ofFleets, whoseOf} from "./findingWorth.ts";
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

interface Rule extends FindingCost {
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
  /** whose row each of them is about */
  readonly whose: readonly Whose[];
  /** findings about rows of fleets that the page's filter leaves out */
  readonly ofOthers: number;
  /** lives there are, and what the findings listed cost of them, each counted once */
  readonly lives: number;
  readonly cost: FindingCost;
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

  compute(inputs, {show}) {
    const {findings: all, counts} = inputs;
    const shown = show === "all" ? all : all.filter(({kind}) => kind === show);
    const listed = ofFleets(inputs, shown);
    const groups = byRule(listed);
    const {costs, total} = costsOf(inputs, groups);
    return {
      counts,
      rules: groups
        .map((group, at) => ruleOf(group, costs[at]!))
        .sort(
          (a, b) =>
            KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) ||
            dearer(a, b) ||
            b.findings - a.findings ||
            (a.rule < b.rule ? -1 : 1),
        ),
      listed,
      whose: whoseOf(inputs, listed),
      ofOthers: shown.length - listed.length,
      lives: inputs.all.rows,
      cost: total,
      unbalanced: counts.filter((c) => c.read !== c.accepted + c.repaired + c.held + c.setAside).map(({file}) => file),
    };
  },

  present({counts, rules, listed, whose, ofOthers, lives, cost, unbalanced}, {show}) {
    if (counts.length === 0) return onlySentence("No log file has been read.");
    const sum = (key: Share): number => sumOf(counts, key);
    const read = sum("read");
    const used = sum("accepted") + sum("repaired");
    return {
      headline:
        `Of ${sayCount(read, "row")} in ${sayCount(counts.length, "file")}, ${sayNumber(used)} are used (${sayShare(used, read)}), ` +
        `${sayNumber(sum("repaired"))} of them after a repair; ${sayNumber(sum("held"))} are held for a question and ${sayNumber(sum("setAside"))} set aside.` +
        worthOf(cost, lives),
      figures: [],
      tables: [
        countsTable(counts),
        ...(rules.length ? [rulesTable(rules)] : []),
        ...(listed.length ? [listTable(listed, whose, show)] : []),
        ...(listed.some(({rows}) => rows !== undefined) ? [besideTable(listed)] : []),
      ],
      cautions: [
        ...unbalanced.map((file) => `${file}: the counts do not add up to the rows read; do not rely on this import.`),
        ...(ofOthers > 0
          ? [
              `${sayCount(ofOthers, "finding")} about rows of other fleets ${ofOthers === 1 ? "is" : "are"} not listed here; the rows by file are those of all fleets.`,
            ]
          : []),
        ...(rules.length > 0
          ? [
              "A life is missing where a row that would have ended it and begun the next is left out, or where nobody knows the age of its part (counted at most); it is in doubt where a row that it rests on is, or where a row of its tool is left out in its time.",
            ]
          : []),
        ...(sum("held") > 0
          ? ["Held rows count nowhere until the question about them is answered in the log and the log is read again."]
          : []),
      ],
    };
  },
};

/** What all findings cost in lives, in a sentence; nothing where they cost none. */
function worthOf({livesMissing, livesInDoubt}: FindingCost, lives: number): string {
  const parts = [
    ...((livesMissing ?? 0) > 0
      ? [`up to ${sayCount(livesMissing ?? 0, "life is", "lives are")} missing because of them`]
      : []),
    ...(livesInDoubt > 0
      ? [
          `${sayNumber(livesInDoubt)} of ${sayCount(lives, "life", "lives")} ${livesInDoubt === 1 ? "is" : "are"} in doubt`,
        ]
      : []),
  ];
  const sentence = parts.join(", and ");
  return sentence === "" ? "" : ` ${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** Findings of one kind, rule and file together. */
function byRule(listed: readonly Finding[]): Finding[][] {
  const groups = new Map<string, Finding[]>();
  for (const finding of listed) {
    const key = [finding.kind, finding.rule, finding.file].join("\u0001");
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [finding]);
    else group.push(finding);
  }
  return [...groups.values()];
}

function ruleOf(group: readonly Finding[], cost: FindingCost): Rule {
  const {kind, rule, file, message, remedy} = group[0]!;
  return {kind, rule, file, findings: group.length, message, remedy, ...cost};
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
      {name: "message", label: "for example", values: rules.map((r) => r.message)},
      {name: "findings", label: "findings", format: "count", values: rules.map((r) => r.findings)},
      {name: "rows_lost", label: "rows left out", format: "count", values: rules.map((r) => r.rowsLost)},
      {
        name: "lives_missing",
        label: "lives missing",
        unit: "at most",
        format: "count",
        values: rules.map((r) => r.livesMissing),
      },
      {name: "lives", label: "lives in doubt", format: "count", values: rules.map((r) => r.livesInDoubt)},
      {name: "remedy", label: "how to mend it", values: rules.map((r) => r.remedy)},
      {name: "file", label: "file", values: rules.map((r) => r.file)},
      {name: "rule", label: "rule", values: rules.map((r) => r.rule)},
    ],
    note: "What needs a person stands first, the dearest before the others. A row or a life may have several findings, so they do not add up.",
  };
}

function listTable(listed: readonly Finding[], whose: readonly Whose[], show: string): CellTable {
  return {
    name: "findings",
    title: show === "all" ? "Every finding" : `Every finding: ${show}`,
    columns: [
      {name: "file", label: "file", values: listed.map((f) => f.file)},
      {name: "line", label: "line", format: "count", values: listed.map((f) => f.line)},
      {name: "tool", label: "tool", values: whose.map(({tool}) => tool)},
      {name: "message", label: "what is wrong", values: listed.map((f) => f.message)},
      {name: "kind", label: "what became of it", values: listed.map((f) => f.kind)},
      {name: "found", label: "text found", values: listed.map((f) => f.found)},
      {name: "taken", label: "taken for", values: listed.map((f) => f.taken)},
      {name: "remedy", label: "how to mend it", values: listed.map((f) => f.remedy)},
      {name: "column", label: "column", values: listed.map((f) => f.column)},
      {name: "fleet", label: "fleet", values: whose.map(({fleet}) => fleet)},
      {name: "shop", label: "shop", values: whose.map(({shop}) => shop)},
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
