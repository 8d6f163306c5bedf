import {readFileSync} from "node:fs";
import {expect, it} from "vitest";
import {DARK_PALETTE, LIGHT_PALETTE} from "../../src/charts/palette.ts";

const css = readFileSync(new URL("../../src/app/styles/tokens.css", import.meta.url), "utf8");

it("tokens.css shows charts in the colours in which they are saved", () => {
  LIGHT_PALETTE.series.forEach((light, i) => {
    expect(css).toContain(`--series-${i + 1}: light-dark(${light}, ${DARK_PALETTE.series[i]})`);
  });
});

// WCAG 2.2, relative luminance and contrast ratio: 4.5 for text (1.4.3), 3 for what must be seen (1.4.11)
it.each([
  ["ink", "paper", 4.5],
  ["ink-2", "paper", 4.5],
  ["ink-3", "paper", 4.5],
  ["ink-3", "paper-margin", 4.5],
  ["ink-3", "tint", 4.5],
  ["accent", "paper", 4.5],
  ["accent", "paper-margin", 4.5],
  ["accent", "tint", 4.5],
  ["accent-ink", "accent", 4.5],
  ["warn", "paper", 4.5],
  ["warn", "paper-margin", 4.5],
  ["wrong", "paper", 4.5],
  ["series-1", "paper", 3],
  ["series-2", "paper", 3],
  ["series-3", "paper", 3],
  ["series-4", "paper", 3],
  ["series-5", "paper", 3],
  ["series-6", "paper", 3],
])("--%s on --%s has a contrast of at least %d in light and dark", (front, back, least) => {
  for (const theme of [0, 1] as const)
    expect(contrast(colour(front, theme), colour(back, theme))).toBeGreaterThanOrEqual(least);
});

function colour(name: string, theme: 0 | 1): string {
  const match = new RegExp(`--${name}: light-dark\\((#[0-9a-f]{6}), (#[0-9a-f]{6})\\)`).exec(css);
  const value = match?.[theme + 1];
  if (value === undefined) throw new Error(`tokens.css has no --${name}`);
  return value;
}

function luminance(hex: string): number {
  const parts = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  const [r = 0, g = 0, b = 0] = parts.map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(one: string, other: string): number {
  const [light = 0, dark = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
}
