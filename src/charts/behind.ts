/**
 * What of the logs stands behind a mark of a figure: how many lives, failures or runs, the first few in words, and the rows
 * that tell of them. A datum of a chart carries it as `behind`; a place on a model curve carries none.
 */

/** Lines of one log file, 1-based, ascending. */
export interface FileLines {
  readonly file: string;
  readonly lines: readonly number[];
}

export interface Behind {
  /** names the mark within its figure, e.g. `Cobalt, 2024-03`; also in an address */
  readonly mark: string;
  /** how many, and of what: `12 failures` */
  readonly counted: string;
  /** the first few, in words */
  readonly first: readonly string[];
  /** how many more there are than those first few */
  readonly more: number;
  readonly places: readonly FileLines[];
  /** rows beyond the most that one mark carries; 0 nearly always */
  readonly left: number;
}

/** What a mark may carry. */
export interface Rested {
  readonly behind?: Behind | undefined;
}

/** Parts what a mark tells from the key of what stands behind it: a character that no text has. */
export const KEY_MARK = "\u0001";

export const behindOf = (datum: unknown): Behind | null =>
  typeof datum === "object" && datum !== null ? ((datum as Rested).behind ?? null) : null;

/** Everything that stands behind the marks of a chart, by a key of its own for each mark; in the order of the data. */
export function behindByKey(chart: object): ReadonlyMap<string, Behind> {
  const found = new Map<string, Behind>();
  const seen = new Set<Behind>();
  const look = (value: unknown): void => {
    if (typeof value !== "object" || value === null || ArrayBuffer.isView(value)) return;
    const behind = behindOf(value);
    if (behind !== null && !seen.has(behind)) {
      seen.add(behind);
      let key = behind.mark;
      for (let n = 2; found.has(key); n++) key = `${behind.mark} (${n})`;
      found.set(key, behind);
    }
    for (const [name, inner] of Object.entries(value)) if (name !== "behind") look(inner);
  };
  look(chart);
  return found;
}

export function rowsBehind({places}: Behind): number {
  return places.reduce((sum, {lines}) => sum + lines.length, 0);
}

/**
 * `runs.alder.csv lines 12 to 15, 30`: neighbours together, and no more than so many stretches a file.
 *
 * @param most stretches of lines named a file; the rest are counted
 */
export function sayPlaces(places: readonly FileLines[], most = 8): string {
  return places
    .map(({file, lines}) => {
      const stretches = stretchesOf(lines);
      const named = stretches
        .slice(0, most)
        .map(([from, to]) => (from === to ? `${from}` : to === from + 1 ? `${from}, ${to}` : `${from} to ${to}`));
      const rest = stretches.slice(most).reduce((sum, [from, to]) => sum + to - from + 1, 0);
      return `${file} ${lines.length === 1 ? "line" : "lines"} ${named.join(", ")}${rest > 0 ? ` and ${rest} more` : ""}`;
    })
    .join("; ");
}

function stretchesOf(lines: readonly number[]): (readonly [number, number])[] {
  const stretches: [number, number][] = [];
  for (const line of lines) {
    const last = stretches.at(-1);
    if (last !== undefined && line === last[1] + 1) last[1] = line;
    else stretches.push([line, line]);
  }
  return stretches;
}

/** In words, without the rows: `12 failures: a; b; c; and 9 more`. One alone is said by itself. */
export function sayBehind({counted, first, more}: Behind): string {
  if (first.length === 0) return counted;
  if (first.length === 1 && more === 0) return first[0]!;
  return `${counted}: ${[...first, ...(more > 0 ? [`and ${more.toLocaleString("en-US")} more`] : [])].join("; ")}`;
}

/** The same, a line each, as a mark tells it. */
export function tellBehind(behind: Behind): string {
  const {counted, first, more, places} = behind;
  if (first.length === 1 && more === 0)
    return [first[0]!, sayPlaces(places, 3)].filter((line) => line !== "").join("\n");
  const some = first.map((line) => `· ${line}`);
  return [counted, ...some, ...(more > 0 ? [`· and ${more.toLocaleString("en-US")} more`] : [])].join("\n");
}
