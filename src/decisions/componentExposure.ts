/** Where the exposure of each component was spent, and what ended its lives there, in one pass over the lives. */
import {endingCode, type LifeTable} from "../lives/lifeTable.ts";
import {modeGroup, type ModeGroup} from "./modeGroups.ts";

/** A component in one mud and flow regime. */
export interface ConditionUse {
  readonly mud: string;
  readonly regime: string;
  exposure: number;
  readonly byFleet: Map<string, number>;
  /** lives that spent at least 80 % of their hours here, and how many of them failed by what renewal can address or by chance */
  lives: number;
  failures: number;
}

export interface ComponentUse {
  readonly component: string;
  exposure: number;
  lives: number;
  /** lives that ended in any way but the end of the log or its window */
  renewed: number;
  /** failures by group of mode */
  readonly failures: Record<ModeGroup, number>;
  /** its failures by wear and by chance, at what age and whether they ended a run; an age not known is the middle of what is */
  readonly seen: Record<"wear" | "chance", {readonly ages: number[]; readonly ended: number[]}>;
  readonly conditions: Map<string, ConditionUse>;
}

const FOUND = endingCode("found at teardown");
const GOES_ON = [endingCode("still running"), endingCode("cut by window"), endingCode("lost from view")];
const NO_FLEET = "";

/** Components in the order they are met; conditions with exposure or with lives of their own. */
export function componentUses(lives: LifeTable): Map<string, ComponentUse> {
  const uses = new Map<string, ComponentUse>();
  const {offsets, hours, mud, regime, muds, regimes} = lives.exposure;
  const groups = lives.mode.words.map(modeGroup);
  for (let i = 0; i < lives.rows; i++) {
    const component = lives.component.words[lives.component.codes[i]!];
    if (component === undefined) continue;
    let use = uses.get(component);
    if (use === undefined) uses.set(component, (use = newUse(component)));
    use.lives += 1;
    if (!GOES_ON.includes(lives.ending[i]!)) use.renewed += 1;
    const fleet = lives.fleet.words[lives.fleet.codes[i]!] ?? NO_FLEET;
    for (let s = offsets[i]!; s < offsets[i + 1]!; s++) {
      if (!(hours[s]! > 0)) continue;
      const condition = conditionOf(use, muds[mud[s]!] ?? "UNK", regimes[regime[s]!] ?? "unknown");
      condition.exposure += hours[s]!;
      condition.byFleet.set(fleet, (condition.byFleet.get(fleet) ?? 0) + hours[s]!);
      use.exposure += hours[s]!;
    }
    const failed = lives.upper[i]! < Infinity;
    const group = failed ? groupOf(lives, groups, i) : null;
    if (group !== null) use.failures[group] += 1;
    else if (lives.serviceInduced[i] === 1) use.failures.shop += 1;
    if (group === "wear" || group === "chance") {
      const age = 0.5 * (lives.lower[i]! + lives.upper[i]!);
      if (age > 0) {
        use.seen[group].ages.push(age);
        use.seen[group].ended.push(lives.ending[i] === FOUND ? 0 : 1);
      }
    }

    const ownMud = lives.mud.words[lives.mud.codes[i]!];
    const ownRegime = lives.regime.words[lives.regime.codes[i]!];
    const own =
      ownMud === undefined || ownRegime === undefined ? undefined : use.conditions.get(`${ownMud} ${ownRegime}`);
    if (own !== undefined) {
      own.lives += 1;
      if (group === "wear" || group === "chance") own.failures += 1;
    }
  }
  return uses;
}

function groupOf(lives: LifeTable, groups: readonly ModeGroup[], row: number): ModeGroup {
  if (lives.serviceInduced[row] === 1) return "shop";
  const code = lives.mode.codes[row]!;
  return code < 0 ? "wear" : groups[code]!;
}

function conditionOf(use: ComponentUse, mud: string, regime: string): ConditionUse {
  const key = `${mud} ${regime}`;
  let condition = use.conditions.get(key);
  if (condition === undefined) {
    condition = {mud, regime, exposure: 0, byFleet: new Map(), lives: 0, failures: 0};
    use.conditions.set(key, condition);
  }
  return condition;
}

function newUse(component: string): ComponentUse {
  return {
    component,
    exposure: 0,
    lives: 0,
    renewed: 0,
    failures: {wear: 0, chance: 0, shop: 0, "nothing found": 0},
    seen: {wear: {ages: [], ended: []}, chance: {ages: [], ended: []}},
    conditions: new Map(),
  };
}
