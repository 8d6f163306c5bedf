/** The numbers a figure draws as a table: what those read who cannot see the figure, or want the figures themselves. */
import {behindByKey, rowsBehind, sayPlaces} from "../charts/behind.ts";
import {chartTable} from "../charts/chartTable.ts";
import type {ChartColumn} from "../charts/drawing.ts";
import type {CellTable, Figure, TableColumn} from "./contract.ts";

/** Columns without a value in any row are left out; null when the figure draws nothing. */
export function figureTable({name, chart}: Pick<Figure, "name" | "chart">): CellTable | null {
  const columns = chartTable(chart)
    .filter(({values}) => values.some((value) => value !== null && value !== ""))
    .map(({name: key, unit, values, behind}) => ({
      name: key,
      label: key.replaceAll("_", " "),
      ...(unit === null ? {} : {unit}),
      values,
      ...(behind === undefined ? {} : {label: "rows of the log", leads: leadsOf(name, chart, behind)}),
    }));
  if (columns.length === 0) return null;
  return {name: `${name}-numbers`, title: "The numbers of this figure", columns};
}

function leadsOf(
  figure: string,
  chart: Figure["chart"],
  behind: NonNullable<ChartColumn["behind"]>,
): NonNullable<TableColumn["leads"]> {
  const keys = new Map([...behindByKey(chart)].map(([key, each]) => [each, key]));
  return {
    figure,
    marks: behind.map((each) => {
      const key = each === null ? undefined : keys.get(each);
      return each === null || key === undefined ? null : {key, rows: rowsBehind(each), text: sayPlaces(each.places, 3)};
    }),
  };
}
