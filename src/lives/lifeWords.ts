/** A life in words, for lists, tips and messages. */
import {wordAt} from "../../shared/columnar.ts";
import {componentLabel, modeLabel, mudLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import {LIFE_ENDINGS, type LifeTable} from "./lifeTable.ts";

/** @example "upper seal of tool K1-114: failed in run at 312 h, lip flattened or scored by grit (KCl mud, high flow)" */
export function lifeWords(lives: LifeTable, row: number, unit = "h"): string {
  const component = wordAt(lives.component, row);
  const position = wordAt(lives.position, row);
  const tool = wordAt(lives.tool, row);
  const mode = wordAt(lives.mode, row);
  const what = [position, component === null ? "part" : componentLabel(component)]
    .filter((word) => word !== null)
    .join(" ");
  const mud = wordAt(lives.mud, row);
  const regime = wordAt(lives.regime, row);
  const where = [mud === null ? null : mudLabel(mud), regime === null ? null : regimeLabel(regime)]
    .filter((word) => word !== null)
    .join(", ");
  const why = mode === null ? "" : `, ${modeLabel(mode)}`;
  const entered = lives.entry[row]! > 0 ? `, followed from ${inUnit(lives.entry[row]!, unit)}` : "";
  return `${what} of tool ${tool ?? "unknown"}: ${endWords(lives, row, unit)}${entered}${why}${where === "" ? "" : ` (${where})`}`;
}

function endWords(lives: LifeTable, row: number, unit: string): string {
  const ending = LIFE_ENDINGS[lives.ending[row]!] ?? "ended";
  const lower = lives.lower[row]!;
  const upper = lives.upper[row]!;
  if (upper === lower || upper === Infinity) return `${ending} at ${inUnit(lower, unit)}`;
  return `${ending}, between ${inUnit(lower, unit)} and ${inUnit(upper, unit)}`;
}

function inUnit(age: number, unit: string): string {
  return `${Math.round(age * 10) / 10} ${unit}`;
}
