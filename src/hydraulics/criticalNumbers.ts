/** The Reynolds numbers at which flow changes its kind. */

export type ReynoldsClass = "laminar" | "transitional" | "turbulent" | "unknown";

/**
 * Laminar below 3470 − 1370 n, turbulent above 4270 − 1370 n, transitional between.
 * Source: Guo & Liu (2011) eqs 2.35–2.36 (API RP 13D). The 2006 and later text blends friction and names no upper edge;
 * keeping 4270 − 1370 n as the edge of a class is our choice.
 */
export function criticalReynolds(index: number): {readonly laminarBelow: number; readonly turbulentAbove: number} {
  return {laminarBelow: 3470 - 1370 * index, turbulentAbove: 4270 - 1370 * index};
}

/** The class of a flow of a fluid of this index; a number that is not known gives `unknown`. */
export function reynoldsClassOf(reynolds: number, index: number): ReynoldsClass {
  const {laminarBelow, turbulentAbove} = criticalReynolds(index);
  if (!(reynolds >= 0) || !(index > 0)) return "unknown";
  if (reynolds < laminarBelow) return "laminar";
  return reynolds > turbulentAbove ? "turbulent" : "transitional";
}

/**
 * Critical Reynolds number of a Bingham plastic, on PV alone, for a Hedstrom number: He/16800 = x/(1 − x)³ solved for
 * x in (0, 1), then He·(1 − 4x/3 + x⁴/3)/8x. Source: Hanks (1967), Bourgoyne et al. ch. 4, from memory.
 *
 * @returns 2,100 as He goes to 0; NaN for He < 0
 */
export function criticalHedstrom(hedstromNumber: number): number {
  if (!(hedstromNumber >= 0 && hedstromNumber < Infinity)) return NaN;
  if (hedstromNumber === 0) return 2100;
  let low = 0;
  let high = 1;
  // x/(1 − x)³ rises from 0 to infinity on (0, 1): halving is safe, and 60 halvings reach the last digit
  for (let i = 0; i < 60; i++) {
    const x = (low + high) / 2;
    if (x / (1 - x) ** 3 < hedstromNumber / 16800) low = x;
    else high = x;
  }
  const x = (low + high) / 2;
  return (hedstromNumber * (1 - (4 * x) / 3 + x ** 4 / 3)) / (8 * x);
}

/**
 * Critical Reynolds number of a Herschel–Bulkley fluid in the textbook form; compare with herschelBulkleyReynolds.
 * Source: Guo & Liu (2011) eqs 2.38–2.44.
 */
export function criticalHerschelBulkley(index: number, kind: "pipe" | "annulus"): number {
  const {a, b} = turbulentCoefficients(index);
  const lead = kind === "pipe" ? 4 * (3 * index + 1) : 8 * (2 * index + 1);
  return (lead / (index * a)) ** (1 / (1 - b));
}

/** f = a / Re ** b in turbulent flow of a power law: a = (log10 n + 3.93)/50, b = (1.75 − log10 n)/7 (RP 13D). */
export function turbulentCoefficients(index: number): {readonly a: number; readonly b: number} {
  return {a: (Math.log10(index) + 3.93) / 50, b: (1.75 - Math.log10(index)) / 7};
}
