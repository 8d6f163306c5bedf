/**
 * The generator's own dice: the same numbers on every machine.
 *
 * Integers come from sfc32 (Chris Doty-Humphrey, PractRand), which uses 32-bit integer operations only.
 * Math.log and `**` may differ in the last place between engines, so whatever passes through them is rounded
 * to 1e-6 at once; from there on only +, -, *, / are used, which IEEE 754 fixes to the bit. Two engines could
 * still disagree if a result fell within 1e-16 of a rounding edge: about once in 1e9 draws.
 */

const MILLION = 1_000_000;

/** Rounded to six decimals, which hides the last-place differences of log and power. */
export function settled(value: number): number {
  return Math.round(value * MILLION) / MILLION;
}

/** Rounded to `digits` decimals for a log. */
export function rounded(value: number, digits: number): number {
  const power = 10 ** digits;
  return Math.round(value * power) / power;
}

/** 32-bit hash of a text (FNV-1a with a murmur finish), to seed independent streams by name. */
function hash(text: string): number {
  let h = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

export class Random {
  readonly #name: string;
  #a: number;
  #b: number;
  #c: number;
  #d = 1;

  /** @param name what the stream is for, e.g. `7/Alder/3`; equal names give equal streams */
  constructor(name: string) {
    this.#name = name;
    this.#a = hash(`a ${name}`);
    this.#b = hash(`b ${name}`);
    this.#c = hash(`c ${name}`);
    for (let i = 0; i < 12; i++) this.#next();
  }

  #next(): number {
    const sum = (((this.#a + this.#b) | 0) + this.#d) | 0;
    this.#d = (this.#d + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = (((this.#c << 21) | (this.#c >>> 11)) + sum) | 0;
    return sum >>> 0;
  }

  /** A stream of its own under this one, so that a change in one place leaves the others alone. */
  stream(name: string): Random {
    return new Random(`${this.#name}/${name}`);
  }

  /** Uniform in the open interval (low, high). */
  between(low: number, high: number): number {
    return low + ((high - low) * (this.#next() + 0.5)) / 4294967296;
  }

  /** Whole number in low..high, both included. */
  integer(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1));
  }

  chance(probability: number): boolean {
    return this.between(0, 1) < probability;
  }

  pick<T>(items: readonly T[]): T {
    if (items.length === 0) throw new Error("pick requires at least one item, got none");
    return items[this.integer(0, items.length - 1)]!;
  }

  /** One key, with probability proportional to its weight. */
  weighted<K extends string>(weights: Readonly<Partial<Record<K, number>>>): K {
    const entries = Object.entries(weights) as [K, number][];
    const total = entries.reduce((sum, [, weight]) => sum + weight, 0);
    let left = this.between(0, total);
    for (const [key, weight] of entries) {
      left -= weight;
      if (left < 0) return key;
    }
    return entries[entries.length - 1]![0];
  }

  /** Bell-shaped around 0 with variance 1 and no tail beyond 6 (sum of twelve uniforms): for noise, not for lives. */
  noise(): number {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += this.between(0, 1);
    return sum;
  }

  /**
   * Weibull life given that it passed `survived`, by inversion of the conditional survival function.
   *
   * @param survived in the unit of `scale`, >= 0
   * @returns > survived, in the unit of `scale`, to 1e-6
   */
  weibull({shape, scale}: {readonly shape: number; readonly scale: number}, survived = 0): number {
    const hazard = (survived / scale) ** shape - Math.log(this.between(0, 1));
    return Math.max(settled(scale * hazard ** (1 / shape)), settled(survived) + 1e-6);
  }

  /** Gamma with the given shape (>= 1) and mean, to 1e-6. Marsaglia & Tsang, ACM TOMS 26 (2000) 363-372. */
  gamma({shape, mean}: {readonly shape: number; readonly mean: number}): number {
    const d = shape - 1 / 3;
    const c = 1 / Math.sqrt(9 * d);
    for (;;) {
      const x = this.#normal();
      const v = (1 + c * x) * (1 + c * x) * (1 + c * x);
      if (v <= 0) continue;
      const u = this.between(0, 1);
      if (settled(Math.log(u)) < settled(0.5 * x * x + d - d * v + d * Math.log(v)))
        return settled((d * v * mean) / shape);
    }
  }

  /** Standard normal by the polar method (Marsaglia & Bray 1964), to 1e-6. */
  #normal(): number {
    for (;;) {
      const x = this.between(-1, 1);
      const y = this.between(-1, 1);
      const square = x * x + y * y;
      if (square > 0 && square < 1) return settled(x * Math.sqrt((-2 * Math.log(square)) / square));
    }
  }
}
