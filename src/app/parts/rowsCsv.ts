/** Rows of several files as one table to save: where each stands, what became of it, and every cell as written and as read. */
import type {ChartColumn} from "../../charts/drawing.ts";
import type {SheetTold} from "../../workspace/rowsTold.ts";

export function rowsCsvColumns(sheets: readonly SheetTold[]): ChartColumn[] {
  const cells = sheets.flatMap((sheet) =>
    sheet.rows.flatMap((row) =>
      sheet.columns.flatMap(({header, column}, at) =>
        row.written[at] === null && row.read[at] === null
          ? []
          : [{file: sheet.file, row, header, column, written: row.written[at] ?? null, read: row.read[at] ?? null}],
      ),
    ),
  );
  const of = (name: string, value: (cell: (typeof cells)[number]) => string | number | null): ChartColumn => ({
    name,
    unit: null,
    values: cells.map(value),
  });
  return [
    of("file", ({file}) => file),
    of("line", ({row}) => row.line),
    of("became", ({row}) => row.fate),
    of("header", ({header}) => header),
    of("as_written", ({written}) => written),
    of("taken_for", ({column}) => column),
    of("read_as", ({read}) => read),
    of("said", ({row, header}) =>
      row.said
        .filter(({column}) => column === header)
        .map(({message}) => message)
        .join("; "),
    ),
  ];
}
