/**
 * Rows of the logs as they stand in their files, beside what was made of them: the column a cell was taken for, the value
 * it was read as, and what had to be said of the row. Files are read again for it; the checked tables keep no raw cells.
 */
import {wordAt} from "../../shared/columnar.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import type {Finding} from "../../shared/findings.ts";
import {UNITS} from "../../shared/units.ts";
import type {FileLines} from "../charts/behind.ts";
import {readRows, type RebuildTable, type RowsOfSheet, type RunTable} from "../logs/index.ts";
import {fileRead, type NamedBytes, type OpenLogs} from "./openLogs.ts";

/** What became of a row. */
export type RowFate = "used as it stands" | "used after a repair" | "used, with a doubt" | "not in use";

export interface RowTold {
  readonly line: number;
  /** a text for each column of the sheet; null is an empty cell */
  readonly written: readonly (string | null)[];
  /** what each was read as, with its unit; null where nothing was taken from it */
  readonly read: readonly (string | null)[];
  readonly fate: RowFate;
  readonly said: readonly Pick<Finding, "column" | "message" | "remedy">[];
}

export interface SheetTold {
  readonly file: string;
  readonly log: "runs" | "rebuilds" | null;
  readonly columns: readonly {
    readonly header: string;
    /** our column; null: it is not used */ readonly column: string | null;
  }[];
  readonly rows: readonly RowTold[];
  /** the file is not the one that was read: it has changed since, or is gone */
  readonly changed: boolean;
}

const SPECS: Readonly<Record<"runs" | "rebuilds", Readonly<Record<string, ColumnSpec>>>> = {
  runs: RUN_COLUMNS,
  rebuilds: REBUILD_COLUMNS,
};

/** @param files those the logs were opened from, as they are now */
export async function rowsTold(
  logs: OpenLogs,
  files: readonly NamedBytes[],
  places: readonly FileLines[],
): Promise<SheetTold[]> {
  const told: SheetTold[] = [];
  for (const file of files) {
    const own = places.filter((place) => place.file === file.name || place.file.startsWith(`${file.name} [`));
    if (own.length === 0) continue;
    const changed = (await fileRead(file)).digest !== (logs.files.find(({name}) => name === file.name)?.digest ?? null);
    const sheets = await readRows(file, new Map(own.map((place) => [place.file, new Set(place.lines)])));
    for (const sheet of sheets) told.push({...sheetTold(logs, sheet), changed});
  }
  const missing = places.filter(({file}) => !told.some((sheet) => sheet.file === file));
  return [...told, ...missing.map(({file}): SheetTold => ({file, log: null, columns: [], rows: [], changed: true}))];
}

function sheetTold(logs: OpenLogs, {file, header, rows}: RowsOfSheet): Omit<SheetTold, "changed"> {
  const preview = logs.previews?.find((each) => each.file === file);
  const log = preview?.log ?? null;
  const columns = header.map((name, at) => ({header: name, column: preview?.columns[at]?.column ?? null}));
  const table = log === null ? null : logs[log];
  const at = table === null ? new Map<number, number>() : rowsByLine(table, file, new Set(rows.map(({line}) => line)));
  const said = new Map<number, Finding[]>();
  for (const finding of logs.findings) {
    if (finding.file === file && finding.line !== null && rows.some(({line}) => line === finding.line))
      said.set(finding.line, [...(said.get(finding.line) ?? []), finding]);
  }
  return {
    file,
    log,
    columns,
    rows: rows.map(({line, cells}) => {
      const row = at.get(line);
      const findings = said.get(line) ?? [];
      return {
        line,
        written: cells,
        read: columns.map(({column}) =>
          log === null || column === null || row === undefined ? null : valueAt(logs[log], SPECS[log], column, row),
        ),
        fate: row === undefined ? "not in use" : fateOf(findings),
        said: findings.map(({column, message, remedy}) => ({column, message, remedy})),
      };
    }),
  };
}

function rowsByLine({file, line, rows}: RunTable | RebuildTable, name: string, lines: ReadonlySet<number>) {
  const found = new Map<number, number>();
  const code = file.words.indexOf(name);
  for (let row = 0; row < rows; row++) {
    if (file.codes[row] === code && lines.has(line[row]!)) found.set(line[row]!, row);
  }
  return found;
}

const fateOf = (findings: readonly Finding[]): RowFate =>
  findings.some(({kind}) => kind === "repaired")
    ? "used after a repair"
    : findings.length > 0
      ? "used, with a doubt"
      : "used as it stands";

const plain = new Intl.NumberFormat("en-GB", {maximumSignificantDigits: 5});

function valueAt(
  {columns}: RunTable | RebuildTable,
  specs: Readonly<Record<string, ColumnSpec>>,
  name: string,
  row: number,
): string | null {
  const spec = specs[name];
  const column = (columns as Readonly<Record<string, RunTable["columns"]["tool"] | Float64Array | Int8Array>>)[name];
  if (spec === undefined || column === undefined) return null;
  if ("codes" in column) return wordAt(column, row);
  const value = column[row]!;
  if (spec.type === "flag") return value < 0 ? null : value === 1 ? "yes" : "no";
  if (!Number.isFinite(value)) return null;
  if (spec.type === "date")
    return new Date(value)
      .toISOString()
      .replace("T00:00:00.000Z", "")
      .replace(/:00\.000Z$/, " UTC")
      .replace("T", " ");
  const unit = spec.quantity === undefined ? "" : (UNITS[spec.quantity][0]?.symbol ?? "");
  return `${plain.format(value).replace("-", "−")}${unit === "" ? "" : ` ${unit}`}`;
}
