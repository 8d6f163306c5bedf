/** Flow regimes a run is grouped by: velocity bands, Reynolds classes, and what stands in where neither is known. */

export interface Regime {
  readonly label: string;
  readonly by: "velocity" | "reynolds" | "any";
  /** for sorting, slow to fast */
  readonly order: number;
}

export const REGIMES: Readonly<Record<string, Regime>> = {
  low: {label: "low flow", by: "velocity", order: 1},
  medium: {label: "medium flow", by: "velocity", order: 2},
  high: {label: "high flow", by: "velocity", order: 3},
  laminar: {label: "laminar flow", by: "reynolds", order: 1},
  transitional: {label: "transitional flow", by: "reynolds", order: 2},
  turbulent: {label: "turbulent flow", by: "reynolds", order: 3},
  mixed: {label: "mixed flow", by: "any", order: 8},
  unknown: {label: "unknown flow", by: "any", order: 9},
};

export const REGIME_CODES: readonly string[] = Object.keys(REGIMES);

/** The label of a regime; a range the shop logged itself keeps its own word. */
export function regimeLabel(code: string): string {
  return REGIMES[code]?.label ?? code;
}
