/**
 * Seeded random numbers: the same seed gives the same draws in the page, a worker and Node.
 */
export interface Random {
  /** uniform in (0, 1), both ends excluded */
  uniform(): number;
  /** standard normal */
  normal(): number;
  /** standard exponential */
  exponential(): number;
  /** whole number from 0 to n - 1 */
  below(n: number): number;
}

/**
 * xoshiro128** of D. Blackman and S. Vigna (ACM Trans. Math. Software 47 (2021) 36), its state filled from `seed` by
 * SplitMix32-style mixing; normals by Marsaglia's polar method.
 */
export function seededRandom(seed: number): Random {
  let mix = (Math.floor(seed) ^ 0x9e3779b9) >>> 0;
  const next = (): number => {
    mix = (mix + 0x9e3779b9) >>> 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  let a = next();
  let b = next();
  let c = next();
  let d = next() | 1;
  let spare: number | null = null;

  function bits(): number {
    const x = Math.imul(b, 5);
    const result = Math.imul((x << 7) | (x >>> 25), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = (d << 11) | (d >>> 21);
    return result;
  }

  // 53 bits, shifted half a step off 0
  const uniform = (): number => ((bits() >>> 5) * 67108864 + (bits() >>> 6) + 0.5) / 9007199254740992;

  function normal(): number {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const r = x * x + y * y;
      if (r > 0 && r < 1) {
        const factor = Math.sqrt((-2 * Math.log(r)) / r);
        spare = y * factor;
        return x * factor;
      }
    }
  }

  return {uniform, normal, exponential: () => -Math.log(uniform()), below: (n) => Math.floor(uniform() * n)};
}
