/** Measured quantities in the unit of the page. */
import {convertBack, shownUnit, type Quantity, type UnitSystem} from "../../../shared/units.ts";
import type {TableColumn} from "../contract.ts";

export const finiteOr = (value: number): number | null => (Number.isFinite(value) ? value : null);

export const shownValue = (value: number, quantity: Quantity, units: UnitSystem): number =>
  convertBack(value, quantity, shownUnit(quantity, units));

/** A column of some rows of a canonical one, in the unit of the page; missing values are empty. */
export function measuredColumn(
  {
    name,
    label,
    quantity,
    values,
    rows,
  }: {
    readonly name: string;
    readonly label: string;
    readonly quantity: Quantity;
    readonly values: Float64Array;
    readonly rows: readonly number[];
  },
  units: UnitSystem,
): TableColumn {
  return {
    name,
    label,
    unit: shownUnit(quantity, units),
    format: "number",
    values: rows.map((row) => finiteOr(shownValue(values[row]!, quantity, units))),
  };
}
