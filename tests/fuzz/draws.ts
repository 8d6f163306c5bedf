/** Draws from a seeded random, and changes that fit bytes and lines of any kind. */
import type {Random} from "../../src/statistics/index.ts";

export const pick = (random: Random, below: number): number =>
  Math.min(below - 1, Math.floor(random.uniform() * below));
export const times = (random: Random, most: number): number => pick(random, most + 1);
export const chance = (random: Random, of: number): boolean => pick(random, of) === 0;
export const oneOf = <T>(random: Random, list: readonly T[]): T => list[pick(random, list.length)]!;

/** Some bytes changed; half of the time the end is cut off. */
export function changed(random: Random, good: Uint8Array): Uint8Array {
  const bytes = good.slice(0, chance(random, 2) ? good.length : times(random, good.length));
  for (let i = times(random, 12); i >= 0 && bytes.length > 0; --i)
    bytes[pick(random, bytes.length)] = pick(random, 256);
  return bytes;
}

/** Lines cut, doubled, moved, shifted to the side, and with words of theirs replaced by the pieces given. */
export function changedLines(random: Random, text: string, pieces: readonly string[], most = 6): string {
  const lines = text.split("\n");
  for (let i = times(random, most); i >= 0; --i) {
    const at = pick(random, lines.length);
    const line = lines[at] ?? "";
    const how = pick(random, 10);
    if (how === 0) lines.splice(at, 1);
    else if (how === 1) lines.splice(at, 0, line);
    else if (how === 2) lines.splice(at, 0, ...lines.splice(pick(random, lines.length), 1));
    else if (how === 3) lines[at] = " ".repeat(pick(random, 9)) + line.trimStart();
    else if (how === 4) lines.splice(at, 0, oneOf(random, pieces));
    else if (how === 5) lines[at] = line.slice(0, pick(random, line.length + 1));
    else if (how === 6) {
      const place = pick(random, line.length + 1);
      lines[at] = line.slice(0, place) + oneOf(random, pieces) + line.slice(place + pick(random, 4));
    } else if (how === 7)
      lines[at] = line.replace(/\d/g, (digit) => (chance(random, 3) ? `${pick(random, 10)}` : digit));
    else lines[at] = withValue(line, pick(random, 4), oneOf(random, pieces));
  }
  return lines.join(oneOf(random, ["\n", "\n", "\n", "\r\n", "\r"]));
}

/** Another value in place of the one that stands behind the colon, dash or comma of that number, counted round. */
function withValue(line: string, number: number, piece: string): string {
  const values = [...line.matchAll(/(?<=[:,{[] ?|- )[^:,{}[\] ][^:,{}[\]]*/g)];
  const value = values[number % Math.max(1, values.length)];
  if (value === undefined) return line + piece;
  return line.slice(0, value.index) + piece + line.slice(value.index + value[0].length);
}
