/** The numbers a figure draws as a table: what those read who cannot see the figure, or want the figures themselves. */
import {chartTable} from "../charts/chartTable.ts";
import type {CellTable, Figure} from "./contract.ts";

/** Columns without a value in any row are left out; null when the figure draws nothing. */
export function figureTable({name, chart}: Pick<Figure, "name" | "chart">): CellTable | null {
  const columns = chartTable(chart)
    .filter(({values}) => values.some((value) => value !== null && value !== ""))
    .map(({name: key, unit, values}) => ({
      name: key,
      label: key.replaceAll("_", " "),
      ...(unit === null ? {} : {unit}),
      values,
    }));
  if (columns.length === 0) return null;
  return {name: `${name}-numbers`, title: "The numbers of this figure", columns};
}
