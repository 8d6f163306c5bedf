/**
 * The chance that a failure ends the run rather than waiting for the teardown, by the age at which it happens.
 *
 * It is not one number: wear that has grown slowly shows at an earlier teardown, a part that fails young gives no warning.
 * The log says which of its failures ended a run, and at what age, so the chance is a logistic curve in the log of age,
 * logit q = level + slope · log(age / centre).
 */

export interface EndsRun {
  readonly level: number;
  readonly slope: number;
  /** age at which the chance is that of `level` */
  readonly centre: number;
}

/** @param age > 0; at 0 the limit is taken from the slope's sign */
export function endsRunAt({level, slope, centre}: EndsRun, age: number): number {
  if (slope === 0) return 1 / (1 + Math.exp(-level));
  return 1 / (1 + Math.exp(-level - slope * Math.log(Math.max(age, 1e-9) / centre)));
}

/** The same chance at every age. @param share in (0, 1); 0 and 1 are taken a hair inside */
export function alwaysEndsRun(share: number): EndsRun {
  const inside = Math.min(Math.max(share, 1e-9), 1 - 1e-9);
  return {level: Math.log(inside / (1 - inside)), slope: 0, centre: 1};
}

/** Failures of one component: the age of each, and 1 where it ended a run. */
export interface SeenFailures {
  readonly ages: readonly number[];
  readonly ended: readonly number[];
}

/** The mean chance over the ages at which failures were seen; that at the centre where none was. */
export function meanEndsRun(curve: EndsRun, {ages}: SeenFailures): number {
  if (ages.length === 0) return endsRunAt(curve, curve.centre);
  return ages.reduce((sum, age) => sum + endsRunAt(curve, age), 0) / ages.length;
}

/** The chances of wear failures, by age, and of chance failures, which come without warning at any age. */
export interface EndingChances {
  readonly wear: EndsRun;
  readonly chance: number;
}

/** How many failures of its own a component's chance failures are set against. */
const STRENGTH = 4;

/** Share of chance failures that end the run, drawn toward the shop's share of all failures while they are few. */
export function chanceEndsRun(own: SeenFailures, all: readonly SeenFailures[]): number {
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  const shop =
    (all.reduce((total, {ended}) => total + sum(ended), 0) + 1) /
    (all.reduce((total, {ended}) => total + ended.length, 0) + 2);
  return (sum(own.ended) + STRENGTH * shop) / (own.ended.length + STRENGTH);
}

/** Spread of the shop's own curve around one half at every age, and of a component's curve around the shop's. */
const SHOP = {level: 1.5, slope: 1};
const PART = {level: 1, slope: 0.6};

/**
 * The curve of every component. All components together give the shop's curve; each component is drawn toward it, so that
 * a part with few failures behaves as parts do here (normal priors on level and slope, their spreads common practice
 * without a source: the level counts for about four failures).
 */
export function endsRunCurves(failures: ReadonlyMap<string, SeenFailures>): Map<string, EndsRun> {
  const all = [...failures.values()];
  const ages = all.flatMap((one) => one.ages);
  const ended = all.flatMap((one) => one.ended);
  const centre = ages.length === 0 ? 1 : Math.exp(ages.reduce((sum, age) => sum + Math.log(age), 0) / ages.length);
  const shop = logistic({ages, ended}, {level: 0, slope: 0, centre}, SHOP);
  return new Map([...failures].map(([code, seen]) => [code, logistic(seen, shop, PART)]));
}

/** Posterior mode of level and slope under independent normal priors around `around`: Newton, which cannot diverge here. */
function logistic({ages, ended}: SeenFailures, around: EndsRun, spread: {level: number; slope: number}): EndsRun {
  const {centre} = around;
  const x = ages.map((age) => Math.log(age / centre));
  let {level, slope} = around;
  for (let step = 0; step < 50; step++) {
    let gl = (around.level - level) / spread.level ** 2;
    let gs = (around.slope - slope) / spread.slope ** 2;
    let hll = 1 / spread.level ** 2;
    let hls = 0;
    let hss = 1 / spread.slope ** 2;
    x.forEach((at, i) => {
      const q = 1 / (1 + Math.exp(-level - slope * at));
      gl += ended[i]! - q;
      gs += (ended[i]! - q) * at;
      const w = q * (1 - q);
      hll += w;
      hls += w * at;
      hss += w * at * at;
    });
    const determinant = hll * hss - hls * hls;
    const dl = (gl * hss - gs * hls) / determinant;
    const ds = (gs * hll - gl * hls) / determinant;
    // the log posterior is concave; a step of at most 2 keeps Newton from overshooting far from the mode
    const shorter = Math.min(1, 2 / Math.max(Math.abs(dl), Math.abs(ds), 1e-12));
    level += shorter * dl;
    slope += shorter * ds;
    if (Math.max(Math.abs(dl), Math.abs(ds)) < 1e-10) break;
  }
  return {level, slope, centre};
}
