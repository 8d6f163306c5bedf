/**
 * The gap between the rates of two groups, taken apart into parts that add up.
 *
 * A failed run is counted in the first kind that holds it: caused at service within the first hours after a rebuild; caused
 * at service later; and the rest. The rest is split after Kitagawa, component by component, into what the two mixes of
 * conditions make (risks from mixModel.ts) and what is left at an equal mix; the former into flow and temperature first
 * and mud second, the latter into early and later. Limits: tools are drawn again within each group, so that failures of one
 * tool stay together, each time with another draw of the model.
 */
import {quantileSorted} from "d3";
import {rateDifference, seededRandom, type KindOfEvent} from "../statistics/index.ts";
import {
  addTally,
  emptyTally,
  failuresOf,
  meanRisk,
  type ComparedGroup,
  type ComparedGroups,
  type Tally,
} from "./comparedGroups.ts";
import {DRAWS} from "./mixModel.ts";

/** In the order in which they are taken out of the gap. */
export const GAP_PARTS = ["shop early", "shop later", "flow and temperature", "mud", "early", "rest"] as const;
export type GapPart = (typeof GAP_PARTS)[number];

export interface PartOfGap {
  readonly part: GapPart;
  /** per unit of exposure */
  readonly value: number;
  /** null where a group has too few tools to be drawn again */
  readonly limits: readonly [number, number] | null;
  /** of the gap; limits where it is away from nothing in every drawing */
  readonly share: number;
  readonly shareLimits: readonly [number, number] | null;
}

export interface GapResult {
  readonly gap: number;
  readonly limits: readonly [number, number] | null;
  readonly parts: readonly PartOfGap[];
  /** both shop parts together, the mix as a whole, and their shares */
  readonly shop: Omit<PartOfGap, "part">;
  readonly mix: Omit<PartOfGap, "part">;
}

const TIMES = 400;
const SEED = 7_300;
/** Fewer tools than this in a group say nothing about how tools differ. */
export const LEAST_TOOLS = 3;

export function gapParts(
  [first, second]: readonly [ComparedGroup, ComparedGroup],
  compared: ComparedGroups,
  level: number,
): GapResult {
  const best = partsOf(first.whole, second.whole, compared, null);
  const again =
    Math.min(first.tools.length, second.tools.length) >= LEAST_TOOLS ? drawAgain(first, second, compared) : [];
  const limitsOf = (of: (parts: Float64Array) => number): readonly [number, number] | null => {
    if (again.length === 0) return null;
    const sorted = again.map(of).sort((a, b) => a - b);
    if (!sorted.every(Number.isFinite)) return null;
    return [quantileSorted(sorted, (1 - level) / 2)!, quantileSorted(sorted, (1 + level) / 2)!];
  };
  const sum = (parts: Float64Array, places: readonly number[]) => places.reduce((total, i) => total + parts[i]!, 0);
  const all = GAP_PARTS.map((_, i) => i);
  const gap = sum(best, all);
  const away = again.every((parts) => Math.sign(sum(parts, all)) === Math.sign(gap));
  const told = (places: readonly number[]): Omit<PartOfGap, "part"> => ({
    value: sum(best, places),
    limits: limitsOf((parts) => sum(parts, places)),
    share: gap === 0 ? 0 : sum(best, places) / gap,
    shareLimits: away ? limitsOf((parts) => sum(parts, places) / sum(parts, all)) : null,
  });
  return {
    gap,
    limits: limitsOf((parts) => sum(parts, all)),
    parts: GAP_PARTS.map((part, i) => ({part, ...told([i])})),
    shop: told([0, 1]),
    mix: told([2, 3]),
  };
}

/** The parts by place in GAP_PARTS; `draw` of the model, or its estimate. */
function partsOf(first: Tally, second: Tally, {kinds, model}: ComparedGroups, draw: number | null): Float64Array {
  const rate = (place: number): readonly [number, number] => [
    first.failures[place]! / first.exposure,
    second.failures[place]! / second.exposure,
  ];
  const difference = (place: number): number => rate(place)[0] - rate(place)[1];
  const at = (draw ?? 0) * model.cells.length;
  const alike = [1, 1] as const;
  const early: KindOfEvent[] = [{rates: rate(kinds.other[0]), expected: alike}];
  const later: KindOfEvent[] = [{rates: rate(kinds.other[1]), expected: alike}];
  const sameMud: KindOfEvent[] = [];
  kinds.parts.forEach((component, part) => {
    const risks = model.parts.get(component)!;
    const expected = (risk: Float64Array): readonly [number, number] => [
      meanRisk(first.hours, risk, at),
      meanRisk(second.hours, risk, at),
    ];
    const [earlyAt, laterAt] = kinds.wear(part);
    const own = expected(draw === null ? risks.risk : risks.drawn);
    early.push({rates: rate(earlyAt), expected: own});
    later.push({rates: rate(laterAt), expected: own});
    const noMud = expected(draw === null ? risks.riskSameMud : risks.drawnSameMud);
    const [e, l] = [rate(earlyAt), rate(laterAt)];
    sameMud.push({rates: [e[0] + l[0], e[1] + l[1]], expected: noMud});
  });
  const earlySplit = rateDifference(early);
  const laterSplit = rateDifference(later);
  const flow = rateDifference(sameMud).mix;
  return Float64Array.of(
    difference(kinds.shop[0]),
    difference(kinds.shop[1]),
    flow,
    earlySplit.mix + laterSplit.mix - flow,
    earlySplit.rest,
    laterSplit.rest,
  );
}

function drawAgain(first: ComparedGroup, second: ComparedGroup, compared: ComparedGroups): Float64Array[] {
  const random = seededRandom(SEED);
  const {model, kinds} = compared;
  const tallyOf = ({tools}: ComparedGroup): Tally => {
    const sum = emptyTally(model.cells.length, kinds.count);
    for (let i = 0; i < tools.length; i++) addTally(sum, tools[random.below(tools.length)]!);
    return sum;
  };
  const drawn: Float64Array[] = [];
  for (let time = 0; time < TIMES; time++) {
    const [a, b] = [tallyOf(first), tallyOf(second)];
    if (a.exposure > 0 && b.exposure > 0) drawn.push(partsOf(a, b, compared, time % DRAWS));
  }
  return drawn;
}

export const failedRuns = (group: ComparedGroup): number => failuresOf(group.whole);
