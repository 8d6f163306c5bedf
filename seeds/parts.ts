/** Parts with their true lives: every mode's draw is fixed when the part is made, and damage adds up toward it. */
import type {Random} from "./Random.ts";
import {FLEETS, MODE_LAWS, type Component, type FleetName, type ModeLaw} from "./scenario.ts";
import {acceleration, type Condition} from "./truth.ts";

export interface Part {
  readonly id: number;
  readonly component: Component;
  /** hard parts carry a serial; seals, springs and O-rings only a lot */
  readonly serial: string | null;
  readonly lot: string;
  readonly partNumber: string;
  readonly laws: readonly ModeLaw[];
  /** damage-clock hours at which each mode strikes */
  readonly draws: readonly number[];
  /** modes that spoil the part without ending the run; found at the next teardown */
  readonly quiet: readonly boolean[];
  /** damage-clock hours it had when made: 0, or what a used part had survived */
  readonly damageAtStart: readonly number[];
  /** damage-clock hours so far, per mode */
  readonly damage: number[];
  /** circulating hours so far */
  hours: number;
  /** false when nobody wrote down the hours it had when the log began */
  hoursKnown: boolean;
  /** the mode that struck it first, and its circulating hours then */
  struck: {readonly mode: string; readonly age: number} | null;
}

const PARTS_PER_LOT = 25;
const SERIALISED: ReadonlySet<Component> = new Set(["LINR", "BAND", "TIPP", "SHFT", "HLXS", "ORIF"]);
/** Parts a shop may put back in a tool after another tool used them. */
export const REUSABLE: ReadonlySet<Component> = SERIALISED;

/** Makes the parts of one fleet, numbering serials and lots as it goes. */
export class PartMaker {
  readonly #fleet: FleetName;
  readonly #quietShare: number;
  readonly #made = new Map<Component, number>();
  readonly parts: Part[] = [];

  constructor(fleet: FleetName, quietShare: number) {
    this.#fleet = fleet;
    this.#quietShare = quietShare;
  }

  /** A new part. */
  make(component: Component, random: Random): Part {
    return this.#add(component, random, () => 0, 0);
  }

  /** A part that already survived `hours` in one condition: its draws are conditional on that. */
  makeUsed(component: Component, random: Random, hours: number, condition: Condition): Part {
    return this.#add(component, random, (law) => hours * acceleration(law.wear, condition), hours);
  }

  #add(component: Component, random: Random, damageOf: (law: ModeLaw) => number, hours: number): Part {
    const count = (this.#made.get(component) ?? 0) + 1;
    this.#made.set(component, count);
    const letter = this.#fleet[0]!;
    const laws = MODE_LAWS.filter((law) => law.component === component);
    const damage = laws.map(damageOf);
    const part: Part = {
      id: this.parts.length,
      component,
      serial: SERIALISED.has(component) ? `${letter}${component[0]}${component[1]}-${1000 + count}` : null,
      lot: `${component.slice(0, 2)}${letter}-${String(1 + Math.floor((count - 1) / PARTS_PER_LOT)).padStart(3, "0")}`,
      partNumber: `${FLEETS[this.#fleet].model.slice(0, 2)}-${component}`,
      laws,
      draws: laws.map((law, i) => random.weibull(law, damage[i])),
      quiet: laws.map(() => this.#quietShare > 0 && random.chance(this.#quietShare)),
      damageAtStart: damage,
      damage: [...damage],
      hours,
      hoursKnown: true,
      struck: null,
    };
    this.parts.push(part);
    return part;
  }
}
