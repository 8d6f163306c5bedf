/** The columns of a table as the page shows them: a value's two limits share one, long remarks go under their row. */
import type {CellTable, TableColumn} from "./contract.ts";
import {lettersOf, remarksOf, SHORT_TEXT} from "./arrange.ts";
import {columnFormatter, isNumeric, MISSING} from "./formatValue.ts";

export interface ShownColumn {
  /** the column of the table it sorts by */
  readonly at: number;
  readonly label: string;
  readonly unit: string | undefined;
  readonly numeric: boolean;
  /** the two limits of the value to its left */
  readonly limits: boolean;
  readonly room: "short" | "usual" | "long";
  /** what stands in a row */
  text(row: number): string;
}

export function shownColumns(table: CellTable): ShownColumn[] {
  const remarks = new Set(remarksOf(table));
  const shown: ShownColumn[] = [];
  table.columns.forEach((column, at) => {
    const lower = table.columns[at - 1];
    if (column.savedOnly === true || remarks.has(at) || isLimit(column, "lower", table.columns[at + 1])) return;
    if (lower !== undefined && isLimit(lower, "lower", column)) {
      shown.push(limitsColumn(lower, column, at - 1, table.columns[at - 2]));
    } else shown.push(valueColumn(table, column, at));
  });
  return shown;
}

/** Cells name the limits of a value so, in the two columns after it. */
function isLimit(column: TableColumn, end: "lower", next: TableColumn | undefined): boolean {
  return column.label === `${end} limit` && next?.label === "upper limit" && column.unit === next.unit;
}

function valueColumn(table: CellTable, column: TableColumn, at: number): ShownColumn {
  const letters = lettersOf(column);
  const isFollowed = table.columns[at + 1]?.label === "lower limit" && table.columns[at + 2]?.label === "upper limit";
  const alike = isFollowed ? [column, table.columns[at + 1]!, table.columns[at + 2]!] : [column];
  const format = evenly(column, alike);
  const {leads} = column;
  return {
    at,
    label: column.label,
    unit: column.unit,
    numeric: isNumeric(column),
    limits: false,
    room: letters <= SHORT_TEXT ? "short" : letters > 2 * SHORT_TEXT ? "long" : "usual",
    text: leads === undefined ? (row) => format(column.values[row]) : (row) => leads.marks[row]?.text ?? MISSING,
  };
}

function limitsColumn(lower: TableColumn, upper: TableColumn, at: number, value: TableColumn | undefined): ShownColumn {
  const format = evenly(
    lower,
    value?.unit === lower.unit && value !== undefined ? [value, lower, upper] : [lower, upper],
  );
  return {
    at,
    label: "limits",
    unit: lower.unit,
    numeric: true,
    limits: true,
    room: "short",
    text: (row) => limitsInWords(format(lower.values[row]), format(upper.values[row])),
  };
}

/** A limit that does not exist leaves that side open. */
function limitsInWords(lower: string, upper: string): string {
  if (lower === MISSING) return upper === MISSING ? MISSING : `up to ${upper}`;
  return upper === MISSING ? `from ${lower}` : `${lower} to ${upper}`;
}

/** A formatter that gives a value and its limits the same decimals. */
function evenly(column: TableColumn, alike: readonly TableColumn[]): ReturnType<typeof columnFormatter> {
  return columnFormatter({...column, values: alike.flatMap(({values}) => values)});
}
