/** What is asked about running totals: whether they are, once for a column, and from what meters begin, once for a file. */
import type {FileMapping} from "../../../shared/mapping.ts";
import type {Draft} from "../draft.ts";
import type {Choice, Question} from "../questions.ts";
import type {TotalsChecked} from "./checkTotals.ts";
import type {TotalsSeen} from "./totalsEvidence.ts";

const EXAMPLES = 3;
const SHOWN_READINGS = 6;
/** More serials than a person reads are better left to the mapping. */
const MOST_TOOLS = 40;

export function questionsOnTotals({seen, starts}: TotalsChecked, answersOf: (draft: Draft) => FileMapping): Question[] {
  const about = new Map<Draft, readonly number[]>(starts);
  for (const one of seen) {
    const {draft} = one;
    if (answersOf(draft).meterStart === undefined && !about.has(draft)) about.set(draft, startsIn(one));
  }
  return [
    ...seen.map(onColumn),
    ...[...about].flatMap(([draft, rows]) => (rows.length === 0 ? [] : [onStarts(draft, rows, seen)])),
  ];
}

function onColumn({draft, column, weight, tools, whole, rises}: TotalsSeen): Question {
  const {file} = draft.sheet;
  const words = draft.texts.get("tool")?.words ?? [];
  const picked = [...tools.keys()].filter((tool) => tools[tool] === 1);
  const names = picked.map((tool) => words[tool] ?? "");
  const listable = names.length <= MOST_TOOLS && names.every((name) => !name.includes(","));
  const some = names.join(", ");
  const what = column === "pulses" ? "pulses" : "hours";
  const choices: Choice[] = [
    {value: "all tools", label: `a running total, for every tool: a run has what it rose by`},
    ...(!whole && listable ? [{value: some, label: `a running total, but only for ${some}`}] : []),
    {value: "no tool", label: `the ${what} of each run, as they stand`},
  ];
  const likely = whole || !listable ? "all tools" : some;
  const held = picked.reduce((sum, tool) => sum + rises.rows[tool]!, 0);
  return {
    id: [file, "totals", column].join(" | "),
    file,
    subject: {kind: "totals", column},
    text: `"${draft.headerOf(column)}" of ${file} rises from run to run like a meter: is it a running total?`,
    proposal: weight === "sure" ? likely : null,
    choices,
    examples: [...picked]
      .sort((a, b) => rises.rows[b]! - rises.rows[a]!)
      .slice(0, EXAMPLES)
      .map((tool) => `${words[tool] ?? ""}: ${readingsOf(draft, column, tool).join(", ")} …`),
    rows: whole && weight === "sure" ? draft.rows : held,
  };
}

/** The first readings of a tool, as they stand, in the order of their runs. */
function readingsOf(draft: Draft, column: string, tool: number): string[] {
  return rowsOfTool(draft, tool)
    .flatMap((row) => draft.raw(column, row) ?? [])
    .slice(0, SHOWN_READINGS);
}

function rowsOfTool(draft: Draft, tool: number): number[] {
  const codes = draft.texts.get("tool")?.codes ?? new Int32Array(0);
  const rows: number[] = [];
  codes.forEach((code, row) => {
    if (code === tool && !Number.isNaN(draft.number("end", row))) rows.push(row);
  });
  return rows.sort((a, b) => draft.number("end", a) - draft.number("end", b) || a - b);
}

/** Rows in which the meter of a tool begins, or falls, as the file stands. */
function startsIn({draft, tools, whole, values}: TotalsSeen): number[] {
  const starts: number[] = [];
  for (let tool = 0; tool < tools.length; ++tool) {
    if (!whole && tools[tool] === 0) continue;
    let before = -Infinity;
    rowsOfTool(draft, tool).forEach((row, i) => {
      const value = values[row]!;
      if (Number.isNaN(value)) return;
      if (i === 0 || value < before) starts.push(row);
      before = value;
    });
  }
  return starts;
}

function onStarts(draft: Draft, rows: readonly number[], seen: readonly TotalsSeen[]): Question {
  const {column = "circulating_h", weight = "told"} = seen.find((one) => one.draft === draft) ?? {};
  const {file, line} = draft.sheet;
  const many = `${rows.length} ${rows.length === 1 ? "row" : "rows"}`;
  return {
    id: [file, "meter start"].join(" | "),
    file,
    subject: {kind: "meter start"},
    text: `Where a meter of ${file} begins or begins again (${many}), did it stand at 0 before that run?`,
    proposal: weight === "likely" ? null : "not known",
    choices: [
      {value: "from 0", label: "yes: the reading is what that run had"},
      {value: "not known", label: `no, or not known: ${many} stay held`},
    ],
    examples: rows.slice(0, EXAMPLES).map((row) => {
      const tool = draft.text("tool", row) ?? "";
      return `line ${line[row] ?? 0}, ${tool}: ${draft.raw(column, row) ?? ""}`;
    }),
    rows: rows.length,
  };
}
