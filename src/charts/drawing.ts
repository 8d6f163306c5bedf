/** What every chart file shares: the frame, axes in the trade's habits, and guards against empty data. */
import {text, type PlotOptions} from "@observablehq/plot";
import {behindByKey, behindOf, KEY_MARK, sayBehind, sayPlaces, tellBehind, type Behind} from "./behind.ts";
import {PAGE_PALETTE, type Palette} from "./palette.ts";

/** How large and in which colours to draw. */
export interface Drawing {
  /** CSS pixels */
  readonly width: number;
  /** CSS pixels; by default what suits the chart */
  readonly height?: number | undefined;
  /** default: the page's custom properties */
  readonly palette?: Palette | undefined;
  /** places along a curve that say their values when they are pointed at; for a page, not for a picture */
  readonly readings?: boolean;
}

/** A column of the drawn data, for saving. */
export interface ChartColumn {
  readonly name: string;
  /** null for text and plain counts */
  readonly unit: string | null;
  readonly values: readonly (string | number | null)[];
  /** on the column that names rows of the logs: what stands behind each row of the table */
  readonly behind?: readonly (Behind | null)[];
}

/** A drawing with everything filled in. */
export interface Sheet {
  readonly width: number;
  readonly palette: Palette;
  readonly readings: boolean;
  /** height asked for, or the given one */
  height(usual: number): number;
  /** what a mark tells, with what stands behind it; on a page also the key under which its rows are found */
  told(text: string, datum?: unknown): string;
}

export function sheetOf({width, height, palette = PAGE_PALETTE, readings = false}: Drawing, chart: object): Sheet {
  const keys = new Map<Behind, string>();
  if (readings) for (const [key, behind] of behindByKey(chart)) keys.set(behind, key);
  return {
    width: Math.max(240, width),
    palette,
    readings,
    height: (usual) => height ?? usual,
    told: (text, datum) => {
      const behind = behindOf(datum);
      if (behind === null) return text;
      const key = keys.get(behind);
      return `${text}\n${tellBehind(behind)}${key === undefined ? "" : KEY_MARK + key}`;
    },
  };
}

/** Options shared by every chart: no background, the palette's ink, the page's font. */
export function frame(sheet: Sheet, usualHeight: number, options: PlotOptions): PlotOptions {
  return {
    width: sheet.width,
    height: sheet.height(usualHeight),
    ...options,
    style: {
      background: "transparent",
      color: sheet.palette.ink,
      fontFamily: sheet.palette.font,
      fontSize: "12px",
      overflow: "visible",
    },
  };
}

/** A blank frame that says why it is blank. */
export function blank(sheet: Sheet, sentence: string): PlotOptions {
  return frame(sheet, 80, {
    marks: [text([sentence], {frameAnchor: "middle", lineWidth: sheet.width / 14, fill: sheet.palette.muted})],
  });
}

export const isDrawable = (value: number | null | undefined): value is number =>
  value !== null && value !== undefined && Number.isFinite(value);

/** Smallest and largest finite value, or null when there is none. */
export function extentOf(values: Iterable<number | null | undefined>): readonly [number, number] | null {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (!isDrawable(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return low <= high ? [low, high] : null;
}

/** Domain of a log axis with a little room on either side; null when no value is above zero. */
export function logDomain(values: Iterable<number | null | undefined>, room = 1.15): [number, number] | null {
  const positive = [...values].filter((value) => isDrawable(value) && value > 0);
  const extent = extentOf(positive);
  return extent && [extent[0] / room, extent[1] * room];
}

/** Labelled places of a log axis: whole decades when it spans many, else 1-2-5 steps or finer. */
export function logTicks([low, high]: readonly [number, number], most = 8): number[] {
  const steps = [
    [1],
    [1, 3],
    [1, 2, 5],
    [1, 1.5, 2, 3, 4, 5, 7],
    [1, 1.2, 1.4, 1.6, 1.8, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9],
  ];
  let best: number[] = [];
  for (const step of steps) {
    const ticks: number[] = [];
    for (let decade = Math.floor(Math.log10(low)); decade <= Math.log10(high); decade++) {
      for (const s of step) {
        const tick = Number((s * 10 ** decade).toPrecision(3));
        if (tick >= low && tick <= high) ticks.push(tick);
      }
    }
    if (ticks.length > most && best.length > 1) break;
    best = ticks;
  }
  return best;
}

/**
 * Labels of the ticks of a log axis. Plot hands a tick format to d3, which leaves out all but the first digits of a
 * decade; as a text channel every tick keeps its label.
 */
export const labelled = {text: (tick: number): string => formatNumber(tick)};

const grouped = new Intl.NumberFormat("en-US", {maximumSignificantDigits: 4});

/** A tick or mark label: four significant digits, thousands set apart. */
export const formatNumber = (value: number): string => (Number.isFinite(value) ? grouped.format(value) : "");

/** A fraction as a percentage without needless zeros, e.g. 0.001 → 0.1 %. */
export const formatPercent = (fraction: number): string => `${formatNumber(fraction * 100)} %`;

/** ` (limits 3 to 5)`; nothing where there are none. */
export function limitsOf({lower, upper}: {readonly lower: number | null; readonly upper: number | null}): string {
  if (!isDrawable(lower) && !isDrawable(upper)) return "";
  if (!isDrawable(upper)) return ` (at least ${formatNumber(lower!)})`;
  return isDrawable(lower)
    ? ` (limits ${formatNumber(lower)} to ${formatNumber(upper)})`
    : ` (at most ${formatNumber(upper)})`;
}

/** Pixels a label takes at the chart's font size, estimated: nothing here can measure text. */
export const labelWidth = (label: string): number => label.length * 6.9;

/** Left margin that holds the longest of the labels, within a third of the width. */
export function marginFor(labels: Iterable<string>, {width}: Sheet): number {
  let longest = 0;
  for (const label of labels) longest = Math.max(longest, labelWidth(label));
  return Math.min(Math.max(48, longest + 16), Math.max(110, width * 0.42));
}

/** Columns of a table from rows; what stands behind them comes last, where there is any. */
export function columnsOf<T>(
  rows: readonly T[],
  columns: readonly (readonly [name: string, unit: string | null, value: (row: T) => string | number | null])[],
): ChartColumn[] {
  const given = columns.map(([name, unit, value]) => ({name, unit, values: rows.map(value)}));
  const behind = rows.map(behindOf);
  if (!behind.some((each) => each !== null)) return given;
  return [
    ...given,
    {name: "rests_on", unit: null, values: behind.map((each) => each && sayBehind(each))},
    {
      name: "log_rows",
      unit: null,
      values: behind.map((each) => each && sayPlaces(each.places, Infinity)),
      behind,
    },
  ];
}

/** Limits of a band held inside what is drawn; a missing limit goes to the edge. */
export function within(value: number | null, [low, high]: readonly [number, number], missing: number): number {
  if (!isDrawable(value)) return missing;
  return Math.min(Math.max(value, low), high);
}
