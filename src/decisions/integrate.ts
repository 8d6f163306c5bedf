/**
 * Integral of a smooth function over a finite interval by the 16-point Gauss–Legendre rule.
 * Nodes and weights: NIST Digital Library of Mathematical Functions, 3.5(v), computed here by Newton on the Legendre
 * polynomial.
 */
const POINTS = 16;

const rule = ((): {readonly nodes: readonly number[]; readonly weights: readonly number[]} => {
  const nodes: number[] = [];
  const weights: number[] = [];
  for (let i = 1; i <= POINTS; i++) {
    let x = Math.cos((Math.PI * (i - 0.25)) / (POINTS + 0.5));
    let slope = 1;
    for (let step = 0; step < 50; step++) {
      let before = 1;
      let value = x;
      for (let n = 2; n <= POINTS; n++) [before, value] = [value, ((2 * n - 1) * x * value - (n - 1) * before) / n];
      slope = (POINTS * (x * value - before)) / (x * x - 1);
      const move = value / slope;
      x -= move;
      if (Math.abs(move) < 1e-16) break;
    }
    nodes.push(x);
    weights.push(2 / ((1 - x * x) * slope * slope));
  }
  return {nodes, weights};
})();

/** Integral of `f` from `from` to `to`, both finite. */
export function integrate(f: (x: number) => number, from: number, to: number): number {
  const half = (to - from) / 2;
  const middle = (to + from) / 2;
  let sum = 0;
  for (let i = 0; i < POINTS; i++) sum += rule.weights[i]! * f(middle + half * rule.nodes[i]!);
  return half * sum;
}
