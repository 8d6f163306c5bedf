/** Interval rows as the batch runner prints them. Names and nesting are a contract with other programs. */
import type {Limits} from "../statistics/types.ts";
import type {Advice, ByPolicy, IntervalRow} from "./intervalRow.ts";

export interface IntervalJson {
  readonly component: string;
  readonly mud: string;
  readonly regime: string;
  readonly advice: Advice;
  readonly interval_h: number | null;
  readonly limits_h: Limits;
  readonly boundBy: "cost" | "risk" | null;
  readonly current_h: number | null;
  readonly costPer1000h: ByPolicy<number | null>;
  readonly failuresPer1000h: ByPolicy<number | null>;
  readonly chanceBetterThanCurrent: number | null;
  readonly lives: number;
  readonly failures: number;
  readonly shape: number | null;
  readonly scale: number | null;
  readonly cautions: readonly string[];
}

export function intervalsJson(rows: readonly IntervalRow[]): IntervalJson[] {
  return rows.map((row) => ({
    component: row.component,
    mud: row.mud,
    regime: row.regime,
    advice: row.advice,
    interval_h: row.interval_h,
    limits_h: row.limits_h,
    boundBy: row.boundBy,
    current_h: row.current_h,
    costPer1000h: row.costPer1000h,
    failuresPer1000h: row.failuresPer1000h,
    chanceBetterThanCurrent: row.chanceBetterThanCurrent,
    lives: row.lives,
    failures: row.failures,
    shape: row.shape,
    scale: row.scale,
    cautions: row.cautions,
  }));
}
