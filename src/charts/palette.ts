/**
 * Colours of the charts. Series differ in lightness as well as hue, also for the colour-blind (tests/charts/palette.test.ts), and every chart also tells them apart by
 * dash, symbol or words, so that nothing rests on colour alone.
 */

export interface Palette {
  readonly series: readonly string[];
  readonly ink: string;
  readonly muted: string;
  readonly grid: string;
  /** what stands behind the chart; fills hollow symbols */
  readonly surface: string;
  /** for what is past a limit */
  readonly alert: string;
  readonly font: string;
}

export const LIGHT_PALETTE: Palette = {
  series: ["#12557f", "#cf6a1c", "#2f8f79", "#a765b4", "#65560c", "#5d6470"],
  ink: "#1c2430",
  muted: "#59626f",
  grid: "#d9dde3",
  surface: "#ffffff",
  alert: "#b3261e",
  font: "'Source Sans 3 Variable', 'Source Sans 3', 'DejaVu Sans', sans-serif",
};

export const DARK_PALETTE: Palette = {
  series: ["#5fa8dc", "#ee9a58", "#6fcbb4", "#e0c4ea", "#f6efba", "#8b94a1"],
  ink: "#e8ebf0",
  muted: "#a5adb9",
  grid: "#3a4350",
  surface: "#161b22",
  alert: "#ff8a80",
  font: LIGHT_PALETTE.font,
};

/** Custom properties a page sets to colour its charts, with the values of `palette`. */
export function paletteProperties(palette: Palette): Readonly<Record<string, string>> {
  return Object.fromEntries([
    ...palette.series.map((colour, i) => [`--series-${i + 1}`, colour] as const),
    ["--chart-ink", palette.ink],
    ["--chart-muted", palette.muted],
    ["--chart-grid", palette.grid],
    ["--chart-surface", palette.surface],
    ["--chart-alert", palette.alert],
  ]);
}

/** Colours that follow the page's custom properties, light where the page sets none. */
export const PAGE_PALETTE: Palette = {
  series: LIGHT_PALETTE.series.map((colour, i) => `var(--series-${i + 1}, ${colour})`),
  ink: `var(--chart-ink, ${LIGHT_PALETTE.ink})`,
  muted: `var(--chart-muted, ${LIGHT_PALETTE.muted})`,
  grid: `var(--chart-grid, ${LIGHT_PALETTE.grid})`,
  surface: `var(--chart-surface, ${LIGHT_PALETTE.surface})`,
  alert: `var(--chart-alert, ${LIGHT_PALETTE.alert})`,
  font: "inherit",
};

/** Dash of the i-th series; none for the first. */
export const DASHES = ["none", "7 3", "2 3", "9 3 2 3", "5 2 1 2", "1 2"] as const;
/** Symbol of the i-th series. */
export const SYMBOLS = ["circle", "diamond2", "square", "triangle", "times", "plus"] as const;

/** Colour, dash and symbol of the i-th series; they repeat only after every combination of six. */
export function seriesLook(palette: Palette, i: number) {
  return {
    colour: palette.series[i % palette.series.length]!,
    dash: DASHES[(i + Math.floor(i / 6)) % 6]!,
    symbol: SYMBOLS[(i + Math.floor(i / 6)) % 6]!,
  };
}
