/** Headers to columns: by name, by alias, with the unit that stands in the header. */
import {CHECKED_RUN_COLUMNS, REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import {unitOf, type Unit} from "../../shared/units.ts";

export type Specs = Readonly<Record<string, ColumnSpec>>;

export const RUN_SPECS: Specs = {...RUN_COLUMNS, ...CHECKED_RUN_COLUMNS};
export const REBUILD_SPECS: Specs = REBUILD_COLUMNS;

/** What a header was taken for. */
export interface HeaderMatch {
  readonly column: string;
  /** the better a match, the lower: 0 the exact name, 1 the name spelt otherwise, 2 an alias, 3 after its unit is taken off */
  readonly distance: number;
  /** the unit the header names; null: it names none */
  readonly unit: Unit | null;
  /** what stands where a unit would, verbatim, when it is no unit of the column; null: nothing does */
  readonly unknownUnit: string | null;
}

/** Matches headers against one set of columns. */
export class HeaderIndex {
  readonly #specs: Specs;
  readonly #names = new Map<string, string>();
  readonly #aliases = new Map<string, string>();

  constructor(specs: Specs) {
    this.#specs = specs;
    for (const [name, spec] of Object.entries(specs)) {
      this.#names.set(headerKey(name), name);
      for (const alias of spec.aliases)
        if (!this.#aliases.has(headerKey(alias))) this.#aliases.set(headerKey(alias), name);
    }
  }

  match(header: string): HeaderMatch | null {
    if (Object.hasOwn(this.#specs, header)) return {column: header, distance: 0, unit: null, unknownUnit: null};
    let remark: HeaderMatch | null = null;
    for (const [base, unitText, sure] of unitSplits(header)) {
      const known = this.#known(base);
      if (known === null) continue;
      const quantity = this.#specs[known.column]?.quantity;
      const unit = quantity === undefined ? null : unitOf(quantity, unitText);
      if (unit !== null) return {column: known.column, distance: known.distance + 2, unit, unknownUnit: null};
      if (sure)
        remark ??= {
          column: known.column,
          distance: known.distance + 2,
          unit: null,
          unknownUnit: quantity === undefined ? null : unitText,
        };
    }
    const whole = this.#known(header);
    return whole === null ? remark : {...whole, unit: null, unknownUnit: null};
  }

  #known(text: string): {column: string; distance: number} | null {
    const key = headerKey(text);
    const name = this.#names.get(key);
    if (name !== undefined) return {column: name, distance: 1};
    const alias = this.#aliases.get(key);
    return alias === undefined ? null : {column: alias, distance: 2};
  }
}

/** Case, spaces, dashes, dots and underscores do not matter. */
function headerKey(text: string): string {
  return text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/#/g, " no ")
    .replace(/[^\p{L}\p{N}]/gu, "");
}

/** The ways to cut a unit off a header; `sure` where brackets or a comma set it apart. */
function* unitSplits(header: string): Generator<readonly [base: string, unit: string, sure: boolean]> {
  const bracket = /^(.*?)\s*[([{]\s*([^()[\]{}]*)\s*[)\]}]\s*(.*)$/.exec(header);
  if (bracket !== null) yield [`${bracket[1] ?? ""} ${bracket[3] ?? ""}`, bracket[2] ?? "", true];
  const comma = /^(.*),\s*([^,]+)$/.exec(header);
  if (comma !== null) yield [comma[1] ?? "", comma[2] ?? "", true];
  const words = header.split(/[\s_]+|\s+-\s+/).filter((word) => word !== "");
  for (let cut = words.length - 1; cut >= Math.max(1, words.length - 3); --cut) {
    const unit = words.slice(cut).join(" ");
    yield [words.slice(0, cut).join(" "), unit, false];
    yield [words.slice(0, cut).join(" "), unit.replace(/^in\s+/i, ""), false];
  }
  const percent = /^(%)\s*(.+)$/.exec(header);
  if (percent !== null) yield [percent[2] ?? "", "%", false];
}

/** How many of the cells name a column of the index. */
export function countKnown(cells: readonly string[], index: HeaderIndex): number {
  const columns = new Set<string>();
  for (const cell of cells) {
    const match = cell.length > 60 ? null : index.match(cell.trim());
    if (match !== null) columns.add(match.column);
  }
  return columns.size;
}
