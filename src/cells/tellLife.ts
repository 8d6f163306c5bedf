/** Whose life it is and which rows of the log tell of it: what a reader needs to look it up. */
import {wordAt} from "../../shared/columnar.ts";
import {LIFE_ENDINGS} from "../lives/index.ts";
import type {RowOrigin} from "../logs/logTable.ts";
import type {CellInputs} from "./contract.ts";
import {partOf} from "./say.ts";

/** @example "seal of tool K1-142, SEAL-ABR, failed in run; rebuilds.alder.csv line 812, runs.alder.csv line 340" */
export function tellLife(
  {lives, rebuilds, runs}: Pick<CellInputs, "lives" | "rebuilds" | "runs">,
  row: number,
): string {
  const mode = wordAt(lives.mode, row);
  const who = `${partOf(wordAt(lives.component, row) ?? "part")} of tool ${wordAt(lives.tool, row) ?? "unknown"}`;
  const end = LIFE_ENDINGS[lives.ending[row]!] ?? "";
  const places = [placeOf(rebuilds, lives.endedRow[row]!), placeOf(runs, lives.lastRun[row]!)].filter(
    (place) => place !== null,
  );
  return [[who, mode, end].filter((word) => word !== null && word !== "").join(", "), places.join(", ")]
    .filter((part) => part !== "")
    .join("; ");
}

function placeOf({file, line}: RowOrigin, row: number): string | null {
  const name = row < 0 ? null : wordAt(file, row);
  return name === null ? null : `${name} line ${line[row]}`;
}
