/** Which lives a cell looks at: a component's, cut into groups by one of their marks, with the modes that count. */
import {wordAt, type Words} from "../../shared/columnar.ts";
import {MODES} from "../../shared/vocabulary/index.ts";
import {modeGroup} from "../decisions/index.ts";
import {lifeDataFor, type LifeQuestion, type LifeTable} from "../lives/index.ts";
import type {LifeData} from "../statistics/index.ts";
import type {Condition, Modes} from "./params.ts";
import {sayCondition, sayCount} from "./say.ts";

/** How lives may be cut into groups; `none` keeps them together. */
export const GROUPINGS = {
  none: "all together",
  mud: "by mud",
  regime: "by flow regime",
  condition: "by mud and flow regime",
  fleet: "by fleet",
  lot: "by lot",
  "part number": "by part number",
  shop: "by the shop that fitted the part",
} as const;
export type Grouping = keyof typeof GROUPINGS;

export interface LifeGroup {
  /** empty when lives are kept together */
  readonly name: string;
  readonly data: LifeData;
  /** row of the life table behind each life */
  readonly rows: Int32Array;
}

export interface LifeGroups {
  /** the largest number of failures first */
  readonly groups: readonly LifeGroup[];
  /** lives of the component that no group holds, because they were spent in several conditions or carry no such mark */
  readonly outside: number;
}

export interface LifeSelection {
  readonly component: string;
  readonly modes: Modes;
  readonly by: Grouping;
  readonly condition: Condition | null;
}

export function lifeGroups(lives: LifeTable, {component, modes, by, condition}: LifeSelection): LifeGroups {
  const counted = countedModes(component, modes);
  const rowsOf = new Map<string, number[]>();
  let outside = 0;
  for (let row = 0; row < lives.rows; row++) {
    if (wordAt(lives.component, row) !== component) continue;
    if (condition !== null && !isIn(lives, row, condition)) {
      outside++;
      continue;
    }
    const name = groupName(lives, row, by);
    if (name === null) {
      outside++;
      continue;
    }
    const rows = rowsOf.get(name);
    if (rows) rows.push(row);
    else rowsOf.set(name, [row]);
  }
  const groups = [...rowsOf].map(([name, rows]): LifeGroup => {
    const chosen = lifeDataFor(lives, {rows: Int32Array.from(rows), ...counted});
    return {name, data: chosen.data, rows: chosen.rows};
  });
  return {
    groups: groups.sort((a, b) => failuresIn(b.data) - failuresIn(a.data) || (a.name < b.name ? -1 : 1)),
    outside,
  };
}

/** Which ends of a life count as failures, as the lives are asked for. */
export function countedModes(component: string, modes: Modes): Pick<LifeQuestion, "modes" | "serviceInduced"> {
  if (modes === "all") return {serviceInduced: "failed"};
  if (typeof modes !== "string") return {modes};
  const own = Object.keys(MODES).filter((code) => code.startsWith(`${component}-`));
  const wanted = modes === "own" ? ["wear", "chance"] : [modes];
  return {modes: own.filter((code) => wanted.includes(modeGroup(code))), serviceInduced: "suspended"};
}

/** `wear failures`, `failures by SEAL-ABR` */
export function sayModes(modes: Modes, count: number): string {
  switch (modes) {
    case "wear":
      return sayCount(count, "failure by wear", "failures by wear");
    case "chance":
      return sayCount(count, "failure by chance", "failures by chance");
    case "own":
      return sayCount(count, "failure not caused by the shop", "failures not caused by the shop");
    case "all":
      return sayCount(count, "failure of any cause", "failures of any cause");
    default:
      return sayCount(count, `failure by ${modes.join(" or ")}`, `failures by ${modes.join(" or ")}`);
  }
}

export function failuresIn({upper, weight}: LifeData): number {
  let failures = 0;
  for (let i = 0; i < upper.length; i++) if (upper[i]! < Infinity) failures += weight[i]!;
  return failures;
}

function isIn(lives: LifeTable, row: number, {mud, regime}: Condition): boolean {
  return wordAt(lives.mud, row) === mud && wordAt(lives.regime, row) === regime;
}

/** null where the life has no such mark, or was spent in several conditions. */
function groupName(lives: LifeTable, row: number, by: Grouping): string | null {
  const columns: Readonly<Record<Exclude<Grouping, "none" | "condition" | "regime">, Words>> = {
    mud: lives.mud,
    fleet: lives.fleet,
    lot: lives.lot,
    "part number": lives.partNumber,
    shop: lives.shop,
  };
  switch (by) {
    case "none":
      return "";
    case "condition": {
      const mud = wordAt(lives.mud, row);
      const regime = wordAt(lives.regime, row);
      return mud === null || mud === "mixed" || regime === null || regime === "mixed"
        ? null
        : sayCondition(mud, regime);
    }
    case "regime": {
      const regime = wordAt(lives.regime, row);
      return regime === null || regime === "mixed" ? null : sayCondition(null, regime);
    }
    case "mud": {
      const mud = wordAt(lives.mud, row);
      return mud === null || mud === "mixed" ? null : sayCondition(mud, null);
    }
    default:
      return wordAt(columns[by], row);
  }
}
