/** Lines of files back to rows, and to the tool, fleet and shop they belong to. */
import {wordAt} from "../../shared/columnar.ts";
import type {Finding} from "../../shared/findings.ts";
import type {LeftOutRows} from "./leftOut.ts";
import type {RebuildTable, RowOrigin, RunTable} from "./logTable.ts";

export interface LogRows {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly leftOut: LeftOutRows;
}

/** Whose row a finding is about; null where it concerns a whole file, or nothing says. */
export interface Whose {
  readonly tool: string | null;
  readonly fleet: string | null;
  readonly shop: string | null;
}

const NOBODY: Whose = {tool: null, fleet: null, shop: null};

/** The tool, fleet and shop of the row of each finding; a rebuild row has the fleet its tool last ran for. */
export function whoseFindings(findings: readonly Finding[], logs: LogRows): Whose[] {
  const files = new Set(findings.flatMap(({file, line}) => (line === null ? [] : [file])));
  const {runs, rebuilds, leftOut} = logs;
  const [runAt, rebuildAt, leftAt] = [runs, rebuilds, leftOut].map((table) => linesOf(table, files)) as [
    LineIndex,
    LineIndex,
    LineIndex,
  ];
  const fleetOf = new Map<string, string>();
  for (let row = 0; row < leftOut.rows; ++row) {
    const [serial, own] = [wordAt(leftOut.tool, row), wordAt(leftOut.fleet, row)];
    if (serial !== null && own !== null) fleetOf.set(serial, own);
  }
  const {tool, fleet} = runs.columns;
  for (let row = 0; row < runs.rows; ++row) {
    // the table stands by tool and end: the last of a tool is written last
    if (fleet.codes[row]! >= 0 && tool.codes[row] !== tool.codes[row + 1])
      fleetOf.set(tool.words[tool.codes[row]!]!, fleet.words[fleet.codes[row]!]!);
  }
  return findings.map(({file, line}): Whose => {
    if (line === null) return NOBODY;
    const run = runAt(file, line);
    if (run >= 0) return {tool: wordAt(tool, run), fleet: wordAt(fleet, run), shop: null};
    const rebuild = rebuildAt(file, line);
    const left = rebuild >= 0 ? -1 : leftAt(file, line);
    if (rebuild < 0 && left < 0) return NOBODY;
    const serial = rebuild >= 0 ? wordAt(rebuilds.columns.tool, rebuild) : wordAt(leftOut.tool, left);
    const own = rebuild >= 0 ? null : wordAt(leftOut.fleet, left);
    const shop = rebuild >= 0 ? wordAt(rebuilds.columns.shop, rebuild) : wordAt(leftOut.shop, left);
    return {tool: serial, fleet: own ?? (serial === null ? null : (fleetOf.get(serial) ?? null)), shop};
  });
}

type LineIndex = (file: string, line: number) => number;

/** Row of a table by file and line, -1 for none; only of the files named. */
function linesOf({file, line}: RowOrigin, files: ReadonlySet<string>): LineIndex {
  const wanted = file.words.map((name) => files.has(name));
  const last = new Int32Array(file.words.length);
  for (let row = 0; row < line.length; ++row) {
    const code = file.codes[row]!;
    if (line[row]! > last[code]!) last[code] = line[row]!;
  }
  const rowOf = file.words.map((_, code) => new Int32Array(wanted[code] === true ? last[code]! + 1 : 0).fill(-1));
  for (let row = 0; row < line.length; ++row) {
    const of = rowOf[file.codes[row]!]!;
    if (of.length > 0) of[line[row]!] = row;
  }
  const codes = new Map(file.words.map((name, code) => [name, code]));
  return (name, at) => rowOf[codes.get(name) ?? -1]?.[at] ?? -1;
}
