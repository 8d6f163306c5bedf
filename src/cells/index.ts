export {CELL_KINDS} from "./cellKinds.ts";
export type {
  AskedField,
  CellEffects,
  CellInputs,
  CellKind,
  CellTable,
  Figure,
  Memo,
  ParamField,
  Presentation,
  TableColumn,
  Where,
} from "./contract.ts";
