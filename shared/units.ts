/** Kinds of quantity, their canonical unit and the units a header or a cell may carry. */
export type Quantity =
  | "time"
  | "days"
  | "count"
  | "money"
  | "density"
  | "viscosity"
  | "stress"
  | "dial"
  | "percent"
  | "concentration"
  | "flow"
  | "length"
  | "depth"
  | "temperature";
