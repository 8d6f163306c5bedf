/** Whose life it is and how it ended: what a reader needs to look it up. */
import {wordAt} from "../../shared/columnar.ts";
import {LIFE_ENDINGS} from "../lives/index.ts";
import type {CellInputs} from "./contract.ts";
import {partOf} from "./say.ts";

/** @example "seal of tool K1-142, SEAL-ABR, failed in run" */
export function tellLife({lives}: Pick<CellInputs, "lives">, row: number): string {
  const mode = wordAt(lives.mode, row);
  const who = `${partOf(wordAt(lives.component, row) ?? "part")} of tool ${wordAt(lives.tool, row) ?? "unknown"}`;
  const end = LIFE_ENDINGS[lives.ending[row]!] ?? "";
  return [who, mode, end].filter((word) => word !== null && word !== "").join(", ");
}
