/** The checked logs: one columnar table each, every row traceable to its line in its file. */
import type {ColumnsOf, Words} from "../../shared/columnar.ts";
import type {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";

/** Where each row of a table came from. */
export interface RowOrigin {
  /** file name of each row */
  readonly file: Words;
  /** 1-based line of each row in that file */
  readonly line: Int32Array;
}

export type RunColumns = ColumnsOf<typeof RUN_COLUMNS>;
export type RebuildColumns = ColumnsOf<typeof REBUILD_COLUMNS>;

/** One row per tool per run, sorted by tool, then end of the run. Units are canonical (shared/columns.ts). */
export interface RunTable extends RowOrigin {
  readonly rows: number;
  readonly columns: RunColumns;
}

/** One row per component looked at, sorted by tool, then date, then file order. */
export interface RebuildTable extends RowOrigin {
  readonly rows: number;
  readonly columns: RebuildColumns;
}
