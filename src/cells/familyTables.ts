/** Tables of the families cell: side by side, their parameters, and the ranks behind rank regression. */
import type {CellTable, TableColumn} from "./contract.ts";
import {aiccOf, NAMES, RANK_NAME, THRESHOLD_NAME, type Candidate, type Ranked, type Threshold} from "./familyFits.ts";
import {sayLimits} from "./say.ts";

/** One fit, as a row of the tables. */
interface Row {
  readonly name: string;
  readonly aicc: number | null;
  readonly logLikelihood: number | null;
  readonly b10: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly shape: number | null;
  readonly scale: number | null;
  readonly threshold: number | null;
  readonly location: number | null;
  readonly spread: number | null;
  readonly remark: string | null;
}

export interface Compared {
  readonly candidates: readonly Candidate[];
  readonly threshold: Threshold;
  readonly ranked: Ranked | null;
}

export interface TableWords {
  readonly unit: string;
  /** `90 % limits` */
  readonly level: string;
  readonly lives: number;
}

export function familyTables(compared: Compared, words: TableWords): CellTable[] {
  const rows = rowsOf(compared, words);
  return [sideBySide(rows, words), parameters(rows, words), ...rankTable(compared.ranked, words)];
}

function rowsOf({candidates, threshold, ranked}: Compared, {unit, level}: TableWords): Row[] {
  const rows = candidates.map((c): Row => {
    const {fit, b10} = c;
    const own = fit.fitted ? fit : null;
    return {
      name: NAMES[c.family],
      aicc: aiccOf(c),
      logLikelihood: own?.logLikelihood ?? null,
      b10: b10?.age ?? null,
      lower: b10?.limits[0] ?? null,
      upper: b10?.limits[1] ?? null,
      shape: own?.shape ?? null,
      scale: own?.scale ?? null,
      threshold: null,
      location: own?.location ?? null,
      spread: own?.spread ?? null,
      remark: fit.fitted ? null : fit.sentence,
    };
  });
  if (threshold.shown) {
    const {fit, b10} = threshold;
    rows.push({
      name: THRESHOLD_NAME,
      aicc: Number.isFinite(fit.aicc) ? fit.aicc : null,
      logLikelihood: fit.logLikelihood,
      b10,
      lower: null,
      upper: null,
      ...fit.weibull,
      threshold: fit.threshold,
      location: Math.log(fit.weibull.scale),
      spread: 1 / fit.weibull.shape,
      remark: `three parameters; threshold ${level} ${sayLimits(fit.thresholdLimits, unit)}; B10 limits are not made for it`,
    });
  }
  if (ranked) {
    const {fit, b10} = ranked;
    rows.push({
      name: RANK_NAME,
      aicc: null,
      logLikelihood: null,
      b10,
      lower: null,
      upper: null,
      shape: fit.shape,
      scale: fit.scale,
      threshold: null,
      location: fit.location,
      spread: fit.spread,
      remark: "for comparison only: a line through median ranks has no likelihood, so no AICc and no limits",
    });
  }
  return rows;
}

function sideBySide(rows: readonly Row[], {unit, level}: TableWords): CellTable {
  const best = Math.min(...rows.map(({aicc, threshold}) => (threshold === null ? (aicc ?? Infinity) : Infinity)));
  const above = (aicc: number | null) => (aicc === null || best === Infinity ? null : aicc - best);
  return {
    name: "families",
    title: "Families side by side",
    columns: [
      {name: "family", label: "family", values: rows.map(({name}) => name)},
      number(
        "aicc",
        "AICc",
        rows.map(({aicc}) => aicc),
      ),
      number(
        "worse",
        "above the best family",
        rows.map(({aicc}) => above(aicc)),
      ),
      number(
        "log_likelihood",
        "log-likelihood",
        rows.map(({logLikelihood}) => logLikelihood),
      ),
      hours(
        "b10",
        "B10 life",
        unit,
        rows.map(({b10}) => b10),
      ),
      hours(
        "b10_lower",
        "lower limit",
        unit,
        rows.map(({lower}) => lower),
      ),
      hours(
        "b10_upper",
        "upper limit",
        unit,
        rows.map(({upper}) => upper),
      ),
      ...(rows.some(({remark}) => remark !== null)
        ? [{name: "remark", label: "remark", values: rows.map(({remark}) => remark)}]
        : []),
    ],
    note: `AICc weighs fit against the number of parameters; lower is better, and a difference below 2 decides nothing. ${level} by likelihood ratio, adjusted for few failures.`,
  };
}

function parameters(rows: readonly Row[], {unit}: TableWords): CellTable {
  const fitted = rows.filter(({location}) => location !== null);
  const threshold = fitted.some((row) => row.threshold !== null);
  return {
    name: "parameters",
    title: "Their parameters",
    columns: [
      {name: "family", label: "family", values: fitted.map(({name}) => name)},
      number(
        "shape",
        "shape",
        fitted.map(({shape}) => shape),
      ),
      hours(
        "scale",
        "scale",
        unit,
        fitted.map(({scale}) => scale),
      ),
      ...(threshold
        ? [
            hours(
              "threshold",
              "threshold",
              unit,
              fitted.map((row) => row.threshold),
            ),
          ]
        : []),
      number(
        "location",
        "location of log age",
        fitted.map(({location}) => location),
      ),
      number(
        "spread",
        "spread of log age",
        fitted.map(({spread}) => spread),
      ),
    ],
    note: `Shape and scale where the family is a Weibull (the exponential has shape 1).${threshold ? " With a threshold, the other parameters are of the age beyond it." : ""}`,
  };
}

function rankTable(ranked: Ranked | null, {unit, lives}: TableWords): CellTable[] {
  if (!ranked) return [];
  const {points, rSquared} = ranked.fit;
  return [
    {
      name: "ranks",
      title: "Ranks behind rank regression",
      columns: [
        hours(
          "age",
          "age",
          unit,
          points.map(({age}) => age),
        ),
        number(
          "rank",
          "adjusted rank",
          points.map(({rank}) => rank),
        ),
        {name: "median_rank", label: "median rank", format: "share", values: points.map((p) => p.medianRank)},
      ],
      note: `Rank i of n = ${lives}, raised past suspensions (Johnson's adjustment), and its exact median rank, the median of a beta(i, n − i + 1). The line has r² = ${rSquared.toFixed(3)}, which says little: ordered points always look straight.`,
    },
  ];
}

const number = (name: string, label: string, values: TableColumn["values"]): TableColumn => ({
  name,
  label,
  format: "number",
  values,
});
const hours = (name: string, label: string, unit: string, values: TableColumn["values"]): TableColumn => ({
  name,
  label,
  unit,
  format: "hours",
  values,
});
