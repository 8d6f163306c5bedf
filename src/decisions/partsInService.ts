/**
 * The parts that are in a tool when the log ends, each with its age on the equivalent-hours clock.
 *
 * A part that moves between muds and flows ages at the pace of each. Its tally is u = Σ h_k · φ_k, hours in condition k
 * times how fast that condition ages it, told in hours of a reference condition (φ = 1 there); it is kept like a meter, and
 * an interval of the reference condition applies to it. The paces, and the doubt in them, are the life model's.
 */
import {wordAt} from "../../shared/columnar.ts";
import {endingCode, type LifeTable} from "../lives/index.ts";
import type {ComponentModel} from "./componentModel.ts";
import type {ComponentModels} from "./componentModels.ts";
import {drawLimits} from "./spread.ts";

export interface Condition {
  /** vocabulary codes */
  readonly mud: string;
  readonly regime: string;
}

/** One row a part, columns of one length, in the order of the life table. Ages are in the settings' clock. */
export interface PartsInService {
  readonly rows: number;
  /** row of the part in the life table */
  readonly life: Int32Array;
  readonly tool: readonly string[];
  /** empty where the log names none */
  readonly fleet: readonly string[];
  /** vocabulary code */
  readonly component: readonly string[];
  readonly position: readonly (string | null)[];
  /** hours on the part, from new */
  readonly age: Float64Array;
  /** what the columns of `hours` are */
  readonly conditions: readonly Condition[];
  /** hours in each condition, row-major [part × condition]; they add up to `age` */
  readonly hours: Float64Array;
  /** hours of `age` that nobody logged where they were spent; taken to be like the part's own, else like the reference */
  readonly assumed: Float64Array;
  /** condition of the part's last hours, index into `conditions`; -1 for a part that has not run since the log began */
  readonly last: Int32Array;
  /** index into `conditions`: where the parts of this component in this fleet have run most; -1 where none has run */
  readonly reference: Int32Array;
  /** hours of the reference condition that age a part as much, and limits of them; NaN where a pace is not known */
  readonly effective: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** pace of the condition of the last hours, in hours of the reference condition an hour; NaN where not known */
  readonly pace: Float64Array;
  /** 0 where no life could be fitted to the component: every hour then counts alike */
  readonly modelled: Uint8Array;
  /** parts still in a tool whose age the log no longer tells: rows of the life table */
  readonly ageLost: Int32Array;
}

export interface InServiceOptions {
  readonly models: ComponentModels;
  /** two-sided level of the limits */
  readonly level: number;
  /** codes; all when missing */
  readonly components?: readonly string[];
}

const IN_TOOL = [endingCode("still running"), endingCode("cut by window")];
const LOST_FROM_VIEW = endingCode("lost from view");

/**
 * @param lives of every condition: cut by fleet, component or date (then the parts are those in a tool at its close), never
 *   by mud or flow
 */
export function partsInService(lives: LifeTable, {models, level, components}: InServiceOptions): PartsInService {
  const asked = (row: number): boolean =>
    components === undefined || components.includes(wordAt(lives.component, row) ?? "");
  const rows: number[] = [];
  for (let i = 0; i < lives.rows; i++) if (IN_TOOL.includes(lives.ending[i]!) && asked(i)) rows.push(i);
  const {muds, regimes} = lives.exposure;
  const conditions = muds.flatMap((mud) => regimes.map((regime) => ({mud, regime})));
  const K = conditions.length;
  const n = rows.length;
  const references = referenceConditions(lives);
  const column = (): Float64Array => new Float64Array(n);
  const parts = {
    age: column(),
    assumed: column(),
    effective: column(),
    lower: column(),
    upper: column(),
    pace: column(),
    hours: new Float64Array(n * K),
    last: new Int32Array(n),
    reference: new Int32Array(n),
    modelled: new Uint8Array(n),
  };
  const paces = new Map<string, Paces>();
  rows.forEach((row, i) => {
    const hours = parts.hours.subarray(i * K, (i + 1) * K);
    const component = wordAt(lives.component, row) ?? "";
    const reference = references.get(keyOf(lives, row)) ?? -1;
    parts.reference[i] = reference;
    parts.age[i] = lives.ageAtEnd[row]!;
    parts.last[i] = spread(lives, row, reference, hours);
    parts.assumed[i] = unlogged(lives, row);
    const model = models.of(component);
    parts.modelled[i] = model?.posterior ? 1 : 0;
    const key = `${component} ${reference}`;
    let pace = paces.get(key);
    if (pace === undefined) paces.set(key, (pace = pacesOf(model, conditions, reference)));
    const own = tally(hours, pace, level);
    parts.effective[i] = own.effective;
    parts.lower[i] = own.lower;
    parts.upper[i] = own.upper;
    parts.pace[i] = parts.last[i]! < 0 ? 1 : pace.likeliest[parts.last[i]!]!;
  });
  return {
    rows: n,
    life: Int32Array.from(rows),
    tool: rows.map((row) => wordAt(lives.tool, row) ?? ""),
    fleet: rows.map((row) => wordAt(lives.fleet, row) ?? ""),
    component: rows.map((row) => wordAt(lives.component, row) ?? ""),
    position: rows.map((row) => wordAt(lives.position, row)),
    conditions,
    ...parts,
    ageLost: ageLost(lives, asked),
  };
}

/** Puts a part's hours where they were spent; gives back the condition of the last of them, -1 for none. */
function spread(lives: LifeTable, row: number, reference: number, into: Float64Array): number {
  const {offsets, hours, mud, regime, regimes} = lives.exposure;
  let logged = 0;
  let last = -1;
  for (let s = offsets[row]!; s < offsets[row + 1]!; s++) {
    if (!(hours[s]! > 0)) continue;
    last = mud[s]! * regimes.length + regime[s]!;
    into[last]! += hours[s]!;
    logged += hours[s]!;
  }
  const rest = Math.max(0, lives.ageAtEnd[row]! - logged);
  if (logged > 0) for (let k = 0; k < into.length; k++) into[k]! *= 1 + rest / logged;
  else if (reference >= 0) into[reference]! += rest;
  return last;
}

/** Hours on a part that no run of the log accounts for: those it came with. */
function unlogged(lives: LifeTable, row: number): number {
  const {offsets, hours} = lives.exposure;
  let logged = 0;
  for (let s = offsets[row]!; s < offsets[row + 1]!; s++) logged += hours[s]!;
  const rest = lives.ageAtEnd[row]! - logged;
  // ages are sums of stretches to a millionth
  return rest > 1e-5 ? rest : 0;
}

const keyOf = (lives: LifeTable, row: number): string => `${lives.component.codes[row]!} ${lives.fleet.codes[row]!}`;

/** Where the parts of each component have run most, fleet by fleet: index mud × regimes + regime. */
function referenceConditions(lives: LifeTable): Map<string, number> {
  const {offsets, hours, mud, regime, muds, regimes} = lives.exposure;
  const spent = new Map<string, Float64Array>();
  for (let row = 0; row < lives.rows; row++) {
    const key = keyOf(lives, row);
    let sums = spent.get(key);
    if (sums === undefined) spent.set(key, (sums = new Float64Array(muds.length * regimes.length)));
    for (let s = offsets[row]!; s < offsets[row + 1]!; s++) {
      if (hours[s]! > 0) sums[mud[s]! * regimes.length + regime[s]!]! += hours[s]!;
    }
  }
  return new Map(
    [...spent].map(([key, sums]) => {
      let most = -1;
      for (let k = 0; k < sums.length; k++) if (sums[k]! > 0 && (most < 0 || sums[k]! > sums[most]!)) most = k;
      return [key, most];
    }),
  );
}

/** Hours of the reference condition that an hour in each condition is worth; NaN where not known. */
interface Paces {
  readonly likeliest: Float64Array;
  /** row-major [draw × condition]; null without a model */
  readonly draws: Float64Array | null;
}

function pacesOf(model: ComponentModel | null, conditions: readonly Condition[], reference: number): Paces {
  const K = conditions.length;
  if (model === null || model.posterior === null) return {likeliest: new Float64Array(K).fill(1), draws: null};
  const {posterior, cellOf} = model;
  const {count, cells, scale, speed} = posterior;
  const cell = conditions.map(({mud, regime}) => cellOf.get(`${mud} ${regime}`));
  const base = reference < 0 ? undefined : cell[reference];
  const likeliest = new Float64Array(K).fill(NaN);
  const draws = new Float64Array(count * K).fill(NaN);
  if (base === undefined) return {likeliest, draws};
  cell.forEach((own, k) => {
    if (own === undefined) return;
    likeliest[k] = Math.exp(speed[own]! - speed[base]!);
    for (let d = 0; d < count; d++) draws[d * K + k] = scale[d * cells + base]! / scale[d * cells + own]!;
  });
  return {likeliest, draws};
}

function tally(
  hours: Float64Array,
  {likeliest, draws}: Paces,
  level: number,
): {effective: number; lower: number; upper: number} {
  const K = hours.length;
  const sum = (pace: Float64Array, from: number): number => {
    let total = 0;
    for (let k = 0; k < K; k++) if (hours[k]! > 0) total += hours[k]! * pace[from + k]!;
    return total;
  };
  const effective = sum(likeliest, 0);
  if (draws === null || Number.isNaN(effective)) return {effective, lower: effective, upper: effective};
  const each = Float64Array.from({length: draws.length / K}, (_, d) => sum(draws, d * K));
  const [lower, upper] = drawLimits(each, level);
  return {effective, lower: lower ?? effective, upper: upper ?? effective};
}

/** The last life of each slot that the log lost from view: the part is in the tool, nobody can say how old it is. */
function ageLost(lives: LifeTable, asked: (row: number) => boolean): Int32Array {
  const last = new Map<string, number>();
  for (let row = 0; row < lives.rows; row++) {
    if (!asked(row)) continue;
    const slot = `${lives.tool.codes[row]!} ${lives.component.codes[row]!} ${lives.position.codes[row]!}`;
    const known = last.get(slot);
    if (known === undefined || lives.ended[row]! >= lives.ended[known]!) last.set(slot, row);
  }
  return Int32Array.from([...last.values()].filter((row) => lives.ending[row] === LOST_FROM_VIEW)).sort();
}
