/**
 * Two changed texts of one small YAML file → one: line by line, as far as they changed different lines. What both put in
 * at the same place, as two decisions at the end of a register, stands one behind the other.
 */
import {readYaml} from "../../shared/readYaml.ts";
import {sharedInOrder} from "../notebook/sharedInOrder.ts";

/**
 * @param base the text that both began from; null: there was none
 * @returns null where somebody must choose: both changed the same line, or what comes of it is no longer understood
 */
export function mergeTexts(base: string | null, mine: string | null, theirs: string | null): string | null {
  if (mine === null || theirs === null) return null;
  const [here, there] = [linesOf(mine), linesOf(theirs)];
  const old = base === null || base === "" ? commonHead(here, there) : linesOf(base);
  const [one, other] = [changesOf(old, here), changesOf(old, there)];
  const merged: string[] = [];
  for (let at = 0; at <= old.length; ++at) {
    const [put, alsoPut] = [one.before[at]!, other.before[at]!];
    merged.push(...alsoPut, ...(same(put, alsoPut) ? [] : put));
    if (at === old.length) break;
    const [was, is, isThere] = [[old[at]!], one.lines[at]!, other.lines[at]!];
    if (same(is, isThere) || same(was, isThere)) merged.push(...is);
    else if (same(was, is)) merged.push(...isThere);
    else return null;
  }
  const text = merged.join("");
  const broken = (each: string): boolean => readYaml(each).errors.length > 0;
  return broken(text) && !broken(mine) && !broken(theirs) ? null : text;
}

interface Changes {
  /** what stands in place of each old line; none where it was taken out */
  readonly lines: readonly (readonly string[])[];
  /** what was put before each old line, and last what was put behind all */
  readonly before: readonly (readonly string[])[];
}

function changesOf(old: readonly string[], now: readonly string[]): Changes {
  const places = sharedInOrder(old, now);
  const lines: (readonly string[])[] = old.map((line) => [line]);
  const before: (readonly string[])[] = [...old, ""].map(() => []);
  let [at, from] = [0, 0];
  // from one line that has stayed to the next
  for (let next = 0; next <= old.length; ++next) {
    const place = next === old.length ? now.length : places[next]!;
    if (place < 0) continue;
    const fresh = now.slice(from, place);
    if (next === at) before[at] = fresh;
    for (let line = at; line < next; ++line) {
      const inTurn = fresh.length === next - at ? [fresh[line - at]!] : line === at ? fresh : [];
      lines[line] = inTurn;
    }
    [at, from] = [next + 1, place + 1];
  }
  return {lines, before};
}

/** What two new files begin with alike, up to where their lists begin. */
function commonHead(a: readonly string[], b: readonly string[]): string[] {
  const item = (line: string | undefined): boolean => /^\s*- /.test(line ?? "");
  let head = 0;
  while (head < a.length && a[head] === b[head] && !item(a[head])) ++head;
  return item(a[head]) && item(b[head]) ? a.slice(0, head) : [];
}

/** With their ends; the last gets one too, so that what follows it does not run into it. */
const linesOf = (text: string): string[] =>
  (text === "" || text.endsWith("\n") ? text : `${text}\n`).match(/[^\n]*\n/g) ?? [];

const same = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((line, at) => line === b[at]);
