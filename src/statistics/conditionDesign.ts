import type {ConditionData} from "./conditionData.ts";

/** One effect to estimate: of a level against its factor's reference, or of a covariate per standard deviation. */
export interface ConditionColumn {
  readonly name: string;
  /** the level, or null for a covariate */
  readonly level: string | null;
  /** index of the prior this effect is drawn from */
  readonly prior: number;
}

/** A source of effects with one prior width. */
export interface ConditionPrior {
  readonly name: string;
  readonly columns: number;
  /** of a factor, its reference counted: its effects are differences of so many exchangeable levels. 0 for a covariate. */
  readonly levels: number;
}

/** What of each cell multiplies which effect: log φ of a cell = Σ value · effect over its terms. */
export interface ConditionDesign {
  readonly cells: number;
  readonly columns: readonly ConditionColumn[];
  readonly priors: readonly ConditionPrior[];
  /** terms of cell c are at start[c] … start[c + 1] - 1 */
  readonly start: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
  /** reference level of each factor, by index */
  readonly references: readonly number[];
  /** centre and standard deviation of each covariate over the exposure */
  readonly covariates: readonly {readonly name: string; readonly centre: number; readonly deviation: number}[];
  /** exposure of each cell, all lives */
  readonly exposure: Float64Array;
}

/** Exposure under observation in each cell, weighted; an interval counts up to its lower age. */
function exposureOf({cells, entry, lower, weight, atEntry, atLower}: ConditionData): Float64Array {
  const total = new Float64Array(cells);
  for (let i = 0; i < lower.length; i++) {
    for (let c = 0; c < cells; c++) {
      total[c]! += weight[i]! * (atLower[i * cells + c]! - (entry[i]! > 0 ? atEntry[i * cells + c]! : 0));
    }
  }
  return total;
}

/**
 * Columns of the effects. The reference of a factor is the level named in `reference`, else the one with the most
 * exposure; it has no column. A factor with one level in use has none, nor has a covariate that does not vary.
 */
export function conditionDesign(
  data: ConditionData,
  reference: {readonly [factor: string]: string} = {},
): ConditionDesign {
  const {cells, factors} = data;
  const exposure = exposureOf(data);
  const columns: ConditionColumn[] = [];
  const priors: ConditionPrior[] = [];
  const references: number[] = [];
  const terms: {column: number; value: number}[][] = Array.from({length: cells}, () => []);

  for (const {name, levels, levelOf} of factors) {
    const spent = new Float64Array(levels.length);
    levelOf.forEach((level, c) => (spent[level]! += exposure[c]!));
    const named = reference[name] === undefined ? -1 : levels.indexOf(reference[name]);
    const base = named >= 0 ? named : spent.indexOf(Math.max(...spent));
    references.push(base);
    const used = levels.map((_, level) => level).filter((level) => level !== base && levelOf.includes(level));
    if (used.length === 0) continue;
    const prior = priors.push({name, columns: used.length, levels: used.length + 1}) - 1;
    for (const level of used) {
      const column = columns.push({name, level: levels[level]!, prior}) - 1;
      levelOf.forEach((own, c) => own === level && terms[c]!.push({column, value: 1}));
    }
  }

  const covariates = (data.covariates ?? []).map(({name, ofCell}) => {
    let total = 0;
    let sum = 0;
    ofCell.forEach((x, c) => {
      total += exposure[c]!;
      sum += exposure[c]! * x;
    });
    const centre = total > 0 ? sum / total : 0;
    let squares = 0;
    ofCell.forEach((x, c) => (squares += exposure[c]! * (x - centre) ** 2));
    const deviation = total > 0 ? Math.sqrt(squares / total) : 0;
    if (deviation > 0) {
      const prior = priors.push({name, columns: 1, levels: 0}) - 1;
      const column = columns.push({name, level: null, prior}) - 1;
      ofCell.forEach((x, c) => terms[c]!.push({column, value: (x - centre) / deviation}));
    }
    return {name, centre, deviation};
  });

  const start = new Int32Array(cells + 1);
  terms.forEach((list, c) => (start[c + 1] = start[c]! + list.length));
  const flat = terms.flat();
  return {
    cells,
    columns,
    priors,
    start,
    column: Int32Array.from(flat, (t) => t.column),
    value: Float64Array.from(flat, (t) => t.value),
    references,
    covariates,
    exposure,
  };
}
