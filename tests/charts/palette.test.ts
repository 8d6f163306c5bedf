import {readFileSync} from "node:fs";
import {describe, expect, it} from "vitest";
import {DARK_PALETTE, LIGHT_PALETTE, PAGE_PALETTE, paletteProperties} from "../../src/charts/index.ts";

type Colour = readonly [number, number, number];

/** Linear-light red, green and blue of `#rrggbb` (IEC 61966-2-1). */
function linear(hex: string): Colour {
  const channel = (from: number) => {
    const value = parseInt(hex.slice(from, from + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
}

/** WCAG 2.2 relative luminance and contrast. */
const luminance = ([r, g, b]: Colour) => 0.2126 * r + 0.7152 * g + 0.0722 * b;
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(linear(a)), luminance(linear(b))].sort((x, y) => x - y) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

// Full colour blindness of two kinds in linear light: Machado, Oliveira & Fernandes, IEEE Transactions on Visualization and
// Computer Graphics 15 (2009) 1291-1298, table for severity 1.0 (from memory)
const BLINDNESS: Readonly<Record<string, readonly Colour[]>> = {
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
};

/** CIE L*a*b* of a linear colour under D65 (sRGB primaries), for distances near what the eye tells apart. */
function lab([r, g, b]: Colour): Colour {
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const x = f((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047);
  const y = f(luminance([r, g, b]));
  const z = f((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function seenBy(kind: string, colour: string): Colour {
  const matrix = BLINDNESS[kind]!;
  const [r, g, b] = linear(colour);
  return lab(matrix.map(([x, y, z]) => Math.max(0, x * r + y * g + z * b)) as unknown as Colour);
}

const distance = (a: Colour, b: Colour) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

describe.each([
  ["LIGHT_PALETTE", LIGHT_PALETTE],
  ["DARK_PALETTE", DARK_PALETTE],
])("%s", (_name, palette) => {
  it("stands out from its surface: lines at 3 to 1, words at 4.5 to 1 (WCAG 2.2, 1.4.11 and 1.4.3)", () => {
    for (const colour of [...palette.series, palette.alert])
      expect(contrast(colour, palette.surface), colour).toBeGreaterThanOrEqual(3);
    for (const colour of [palette.ink, palette.muted])
      expect(contrast(colour, palette.surface), colour).toBeGreaterThanOrEqual(4.5);
  });

  it.each(Object.keys(BLINDNESS))("keeps every two series apart under %s", (kind) => {
    const seen = palette.series.map((colour) => seenBy(kind, colour));
    for (let i = 0; i < seen.length; i++)
      for (let j = i + 1; j < seen.length; j++)
        expect(distance(seen[i]!, seen[j]!), `${i + 1} and ${j + 1}`).toBeGreaterThan(12);
  });
});

describe("the page's own colours", () => {
  it("are those of the palettes, so that what is shown and what is saved agree", () => {
    const css = readFileSync(new URL("../../src/app/styles/tokens.css", import.meta.url), "utf8");
    LIGHT_PALETTE.series.forEach((light, i) => {
      expect(css).toContain(`--series-${i + 1}: light-dark(${light}, ${DARK_PALETTE.series[i]});`);
    });
  });
});

describe("paletteProperties(palette)", () => {
  it("names every property the page's palette asks for", () => {
    const names = Object.keys(paletteProperties(LIGHT_PALETTE));
    for (const value of [
      ...PAGE_PALETTE.series,
      PAGE_PALETTE.ink,
      PAGE_PALETTE.muted,
      PAGE_PALETTE.grid,
      PAGE_PALETTE.surface,
      PAGE_PALETTE.alert,
    ]) {
      expect(names).toContain(/^var\((--[a-z0-9-]+), #[0-9a-f]{6}\)$/.exec(value)![1]);
    }
  });
});
