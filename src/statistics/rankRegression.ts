/**
 * Fit by rank regression, because the trade still quotes it; maximum likelihood (fitLife) is the fit behind every limit here.
 *
 * Adjusted ranks for suspensions: the order number rises by (n + 1 - previous) / (1 + lives still there) at each failure
 * (Johnson, The Statistical Treatment of Fatigue Experiments, 1964). Median rank i of n is the median of a
 * beta(i, n - i + 1) variate, exactly, also for a rank that is not whole. Late entries have no place among ranks.
 */
import {errorDistribution} from "./errorDistribution.ts";
import {betaQuantile} from "./gammaFunctions.ts";
import type {Family, LifeData} from "./types.ts";

/** The `p` rank of the `rank`-th of `n`; p = 0.5 is the median rank, 0.05 and 0.95 bound it. */
export function rankOf(rank: number, n: number, p = 0.5): number {
  return betaQuantile(p, rank, n - rank + 1);
}

/** Benard's approximation of the median rank, (i - 0.3) / (n + 0.4). */
export function benardRank(rank: number, n: number): number {
  return (rank - 0.3) / (n + 0.4);
}

/** A failure on probability paper. */
export interface RankedFailure {
  readonly age: number;
  /** adjusted order number among all lives */
  readonly rank: number;
  /** exact median rank: the fraction failed it is drawn at */
  readonly medianRank: number;
}

export interface RankFit {
  readonly family: Family;
  /** least squares of log age on the quantile of the median rank ("age"), or the other way round ("rank") */
  readonly on: "age" | "rank";
  /** Weibull only, else null */
  readonly shape: number | null;
  readonly scale: number | null;
  readonly location: number;
  readonly spread: number;
  /** squared correlation of the points */
  readonly rSquared: number;
  readonly points: readonly RankedFailure[];
  readonly cautions: readonly string[];
}

/** Most lives that ranks are counted out for, one by one. */
export const MOST_RANKED = 200_000;

/** Failures in order of age with their adjusted ranks; a failure known only to an interval stands at its middle. */
export function rankedFailures(data: LifeData): {points: RankedFailure[]; lives: number; cautions: string[]} {
  const cautions: string[] = [];
  const lives: {age: number; failed: boolean; count: number}[] = [];
  let n = 0;
  let placed = 0;
  let late = 0;
  let uneven = false;
  for (let i = 0; i < data.lower.length; i++) {
    const count = Math.round(data.weight[i]!);
    if (Math.abs(count - data.weight[i]!) > 1e-9) uneven = true;
    if (count === 0) continue;
    const failed = data.upper[i]! < Infinity;
    const between = failed && data.upper[i]! > data.lower[i]!;
    lives.push({age: between ? (data.lower[i]! + data.upper[i]!) / 2 : data.lower[i]!, failed, count});
    n += count;
    if (between) placed += count;
    if (data.entry[i]! > 0) late += count;
  }
  if (n > MOST_RANKED) throw new RangeError(`rankedFailures requires at most ${MOST_RANKED} lives, got ${n}`);
  if (placed > 0)
    cautions.push(
      placed === 1
        ? "1 failure known only to an interval is ranked at its middle."
        : `${placed} failures known only to an interval are ranked at its middle.`,
    );
  if (late > 0)
    cautions.push(
      late === 1
        ? "1 life came under observation late; ranks count it as if from new."
        : `${late} lives came under observation late; ranks count them as if from new.`,
    );
  if (uneven) cautions.push("Counts that are not whole were rounded for ranking.");
  lives.sort((a, b) => a.age - b.age || Number(b.failed) - Number(a.failed));
  const points: RankedFailure[] = [];
  let rank = 0;
  let ahead = n;
  for (const {age, failed, count} of lives) {
    for (let c = 0; failed && c < count; c++) {
      rank += (n + 1 - rank) / (1 + ahead);
      ahead--;
      points.push({age, rank, medianRank: rankOf(rank, n)});
    }
    if (!failed) ahead -= count;
  }
  return {points, lives: n, cautions};
}

/** Straight line through the ranked failures on the family's probability paper; null below two different ages. */
export function rankRegression(
  data: LifeData,
  {family = "weibull", on = "age"}: {readonly family?: Family; readonly on?: "age" | "rank"} = {},
): RankFit | null {
  const {points, cautions} = rankedFailures(data);
  if (family === "exponential") throw new RangeError("rankRegression fits two parameters, got exponential");
  if (new Set(points.map(({age}) => age)).size < 2) return null;
  const error = errorDistribution(family);
  const x = points.map(({age}) => Math.log(age));
  const z = points.map(({medianRank}) => error.quantile(medianRank));
  const m = points.length;
  const meanX = x.reduce((a, b) => a + b) / m;
  const meanZ = z.reduce((a, b) => a + b) / m;
  let xx = 0;
  let zz = 0;
  let xz = 0;
  for (let i = 0; i < m; i++) {
    xx += (x[i]! - meanX) ** 2;
    zz += (z[i]! - meanZ) ** 2;
    xz += (x[i]! - meanX) * (z[i]! - meanZ);
  }
  const spread = on === "age" ? xz / zz : xx / xz;
  const location = meanX - spread * meanZ;
  const weibull = family === "weibull";
  return {
    family,
    on,
    shape: weibull ? 1 / spread : null,
    scale: weibull ? Math.exp(location) : null,
    location,
    spread,
    rSquared: (xz * xz) / (xx * zz),
    points,
    cautions: [
      ...cautions,
      "Rank regression is shown because the trade quotes it; limits come from the likelihood fit.",
    ],
  };
}
