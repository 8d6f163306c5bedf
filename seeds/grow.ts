/**
 * Grows the logs of the invented scenario: runs and rebuilds as a perfect clerk would write them, with the truth of
 * every part beside them. Habits of the shops and defects of their files come later (habits/, defects.ts).
 *
 * The tools of a fleet advance together in calendar order, so that a used part can move from one tool to another.
 */
import {nextJob, nextRun, type Job, type RunPlan} from "./jobs.ts";
import {measure, type Measurement} from "./measure.ts";
import {PartMaker, REUSABLE, type Part} from "./parts.ts";
import {Random, rounded} from "./Random.ts";
import {
  COMPONENTS,
  FLEETS,
  FLEET_NAMES,
  FOUND_WORN,
  MONTHS,
  POLICY_MARGIN_H,
  RUN_LENGTH,
  SHOP_FAULTS,
  TRIP_SHARE,
  WINDOW,
  type Component,
  type FleetName,
  type FleetTruth,
  type ModeLaw,
  type Mud,
  type Regime,
} from "./scenario.ts";
import {acceleration} from "./truth.ts";

export interface GrowOptions {
  readonly seed: number;
  /** fleets to grow, with what shall differ from the scenario; default: all three as they are */
  readonly fleets?: Readonly<Partial<Record<FleetName, Partial<Omit<FleetTruth, "name">>>>>;
  readonly months?: number;
  /**
   * `caught` 0 leaves worn parts in until they fail: then every end of a life is a failure or an uninformative
   * renewal, and a fit has one truth to find. Default: the scenario's.
   */
  readonly foundWorn?: {readonly from: number; readonly caught: number};
  /** share of draws that spoil the part without ending the run, found at the next teardown; default 0 */
  readonly quietShare?: number;
}

/**
 * Options under which fits must find `truthFor`: nobody renews a part because of how far its wear has gone. In the
 * scenario itself, parts seen worn are renewed at 88 to 100 % of their draw, so a life that ends with "found worn" is
 * shorter than the life in service by up to an eighth, and fits of eroding modes come out shorter too.
 */
export const RECOVERABLE = {foundWorn: {from: 1, caught: 0}, quietShare: 0.3} as const;

export interface GrownRun extends RunPlan {
  run: string;
  readonly tool: string;
  readonly fleet: FleetName;
  readonly model: string;
  /** ms since 1970 UTC, on the half hour */
  readonly start: number;
  readonly end: number;
  readonly circulating: number;
  readonly belowRotary: number;
  readonly pulses: number;
  readonly bore: number;
  readonly probe: number;
  readonly outcome: "completed" | "failed downhole" | "pulled for other reason" | "lost in hole";
  /** what truly ended it: mode and circulating hours into the run; null when nothing failed */
  readonly failure: {readonly mode: string; readonly at: number; readonly logged: boolean} | null;
  readonly lostTime: number;
  readonly comment: string;
}

export type Found = "good" | "worn" | "failed" | "damaged at service" | "not inspected";
export type Action = "kept" | "renewed" | "swapped for a used part" | "reworked";

/** One component looked at in one rebuild. */
export interface GrownInspection {
  rebuild: string;
  readonly tool: string;
  readonly fleet: FleetName;
  /** ms since 1970 UTC, midnight */
  readonly date: number;
  readonly shop: string;
  readonly technician: string;
  readonly component: Component;
  readonly found: Found;
  readonly mode: string | null;
  readonly endedRun: boolean;
  readonly action: Action;
  /** the part that came out or stays, -1 at an installation; and the part in the slot afterwards */
  readonly partBefore: number;
  readonly partAfter: number;
  readonly hoursOnPart: number | null;
  readonly installedWith: number | null;
  readonly measurement: Measurement | null;
  readonly waitDays: number;
  readonly labour: number;
  readonly comment: string;
}

export interface Grown {
  readonly seed: number;
  /** first day and last moment of the logs, ms since 1970 UTC */
  readonly from: number;
  readonly to: number;
  readonly fleets: readonly FleetTruth[];
  /** sorted by fleet, then start */
  readonly runs: readonly GrownRun[];
  /** sorted by fleet, then date, then tool; the components of a rebuild together */
  readonly inspections: readonly GrownInspection[];
  /** the truth of every part, by fleet and `id` */
  readonly parts: Readonly<Record<FleetName, readonly Part[]>>;
}

interface Tool {
  readonly serial: string;
  readonly random: Random;
  readonly parts: Record<Component, Part>;
  /** a fault the shop planted at the last rebuild */
  fault: {readonly law: ModeLaw; readonly draw: number; hours: number} | null;
  sinceOpen: number;
  job: Job | null;
  hours: number;
  readonly targetHours: number;
  /** calendar span over which the target hours are spread, ms */
  readonly from: number;
  readonly to: number;
  ready: number;
  readonly lostAfterHours: number;
}

interface Shelf {
  readonly part: Part;
  readonly since: number;
}

interface Strike {
  readonly component: Component;
  readonly mode: string;
  /** index of the law in the part, -1 for a shop fault */
  readonly law: number;
  readonly after: number;
}

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const NEVER: Strike = {component: "SEAL", mode: "", law: -1, after: Infinity};

/** The tools' last days stay free, so that the run in progress ends inside the window. */
const QUIET_END = 14 * DAY;
const FAILURE_HOUR_LOGGED = 0.85;
const PULLED_FOR_OTHER_REASON = 0.06;
const USED_AT_REPLACEMENT = 0.06;
const USED_AT_WILL = 0.004;
const BENCH_DAMAGE = 0.012;
const NOT_INSPECTED = 0.02;
const OTHER_REASONS = ["bit change", "section TD", "motor stalled", "hole condition trip", "battery change"];
const SHELF_AT_START: readonly Component[] = ["LINR", "SHFT", "HLXS", "TIPP", "BAND", "ORIF"];

/** Grows every fleet asked for. The same options give the same logs. */
export function growScenario(options: GrowOptions): Grown {
  const months = options.months ?? MONTHS;
  const names = options.fleets ? FLEET_NAMES.filter((name) => options.fleets?.[name]) : FLEET_NAMES;
  const fleets = names.map((name): FleetTruth => ({...FLEETS[name], ...options.fleets?.[name]}));
  const to = WINDOW.from + months * WINDOW.hoursPerMonth * HOUR;
  const grown = fleets.map((fleet) => new FleetGrowth(fleet, options, to).grow());
  const partsOf = (name: FleetName): readonly Part[] => grown[names.indexOf(name)]?.parts ?? [];
  return {
    seed: options.seed,
    from: WINDOW.from,
    to,
    fleets,
    runs: grown.flatMap(({runs}) => runs),
    inspections: grown.flatMap(({inspections}) => inspections),
    parts: {Alder: partsOf("Alder"), Basalt: partsOf("Basalt"), Cobalt: partsOf("Cobalt")},
  };
}

/** The growing state of one fleet. */
class FleetGrowth {
  readonly #fleet: FleetTruth;
  readonly #random: Random;
  readonly #maker: PartMaker;
  readonly #foundWorn: {readonly from: number; readonly caught: number};
  readonly #to: number;
  readonly #shelf: Shelf[] = [];
  readonly #runs: GrownRun[] = [];
  readonly #inspections: GrownInspection[] = [];
  #tools = 0;
  #jobs = 0;

  constructor(fleet: FleetTruth, {seed, foundWorn = FOUND_WORN, quietShare = 0}: GrowOptions, to: number) {
    this.#fleet = fleet;
    this.#random = new Random(`${seed}/${fleet.name}`);
    this.#maker = new PartMaker(fleet.name, quietShare);
    this.#foundWorn = foundWorn;
    this.#to = to;
  }

  grow(): {runs: GrownRun[]; inspections: GrownInspection[]; parts: readonly Part[]} {
    this.#stockShelf();
    const active = this.#startTools();
    while (active.length > 0) {
      const tool = active.reduce((first, other) => (other.ready < first.ready ? other : first));
      const goesOn = this.#step(tool, true);
      if (!goesOn) active.splice(active.indexOf(tool), 1);
      if (this.#runs.at(-1)?.outcome === "lost in hole" && !goesOn) active.push(this.#replacementOf(tool));
    }
    return {
      runs: numbered(this.#runs, this.#fleet),
      inspections: this.#numberedInspections(),
      parts: this.#maker.parts,
    };
  }

  #stockShelf(): void {
    const condition = {mud: mostCommon(this.#fleet.muds), regime: mostCommon(this.#fleet.flows), temperature: 110};
    for (const component of SHELF_AT_START) {
      const hours = rounded(this.#random.between(60, 420), 1);
      this.#shelf.push({part: this.#maker.makeUsed(component, this.#random, hours, condition), since: WINDOW.from});
    }
  }

  #startTools(): Tool[] {
    const {tools, olderTools, lost} = this.#fleet;
    const older = Math.min(tools, olderTools.known + olderTools.unknown);
    const started: Tool[] = [];
    for (let i = 0; i < tools; i++) {
      const lostTool = i >= tools - lost;
      const tool = this.#newTool(WINDOW.from, null, lostTool);
      started.push(tool);
      if (i >= older) {
        this.#install(tool);
        continue;
      }
      const before = tool.random.between(300, 1300);
      while (tool.hours < before) this.#step(tool, false);
      if (i >= olderTools.known) for (const component of COMPONENTS) tool.parts[component].hoursKnown = false;
      started[i] = {...tool, hours: 0, job: null, ready: tool.from};
    }
    return started;
  }

  #newTool(from: number, targetHours: number | null, lost: boolean): Tool {
    this.#tools += 1;
    const fleet = this.#fleet;
    const random = this.#random.stream(`tool ${this.#tools}`);
    const months = (this.#to - WINDOW.from) / HOUR / WINDOW.hoursPerMonth;
    const hours = targetHours ?? fleet.hoursPerToolMonth * months;
    const begins = from + random.integer(0, 24 * 12) * HOUR;
    const parts = Object.fromEntries(COMPONENTS.map((c) => [c, this.#maker.make(c, random)])) as Tool["parts"];
    const tool: Tool = {
      serial: `${fleet.model.slice(0, 2)}-${String(100 + this.#tools * 7)}`,
      random,
      parts,
      fault: null,
      sinceOpen: 0,
      job: null,
      hours: 0,
      targetHours: hours,
      from: begins,
      to: this.#to - QUIET_END,
      ready: begins,
      lostAfterHours: lost ? hours * random.between(0.5, 0.85) : Infinity,
    };
    this.#plantFault(tool);
    return tool;
  }

  #replacementOf(tool: Tool): Tool {
    const next = this.#newTool(tool.ready + 20 * DAY, Math.max(tool.targetHours - tool.hours, 1), false);
    this.#install(next);
    return next;
  }

  #plantFault(tool: Tool): void {
    tool.fault = null;
    if (!tool.random.chance(this.#fleet.shopFault)) return;
    const shares = Object.fromEntries(SHOP_FAULTS.map(({mode, share}) => [mode, share]));
    const mode = tool.random.weighted(shares);
    const law = SHOP_FAULTS.find((fault) => fault.mode === mode)!;
    tool.fault = {law, draw: tool.random.weibull(law), hours: 0};
  }

  /** One run, and the rebuild after it when due. Returns whether the tool goes on. */
  #step(tool: Tool, logged: boolean): boolean {
    const fleet = this.#fleet;
    const {random} = tool;
    if (!tool.job || tool.job.runsLeft === 0) {
      if (logged) this.#jobs += 1;
      tool.job = nextJob(fleet, `${fleet.name[0]}W-${String(this.#jobs).padStart(4, "0")}`, tool.job, random);
    }
    const plan = nextRun(fleet, tool.job, random);
    const planned = Math.max(RUN_LENGTH.within[0], random.gamma({shape: RUN_LENGTH.shape, mean: fleet.runHours}));
    const length = rounded(Math.min(planned, RUN_LENGTH.within[1]), 1);
    const strike = firstStrike(tool, plan);
    const lost = logged && tool.hours + length > tool.lostAfterHours;
    const failed = !lost && strike.after <= length;
    const circulating = failed ? hoursWithFailure(tool, plan, strike, length) : length;
    this.#wear(tool, plan, circulating, failed ? strike : null);
    tool.hours += circulating;
    tool.sinceOpen += circulating;
    if (logged) this.#logRun(tool, plan, circulating, lost ? "lost" : failed ? strike : null);
    if (lost) return false;
    const due = failed || tool.sinceOpen >= fleet.rebuildEach;
    const goesOn = !logged || (tool.hours < tool.targetHours && tool.ready < tool.to);
    if (due && (goesOn || failed)) this.#rebuild(tool, failed ? strike : null, logged);
    return goesOn;
  }

  /** Adds the run to every part and marks the modes that struck without ending it. */
  #wear(tool: Tool, plan: RunPlan, circulating: number, strike: Strike | null): void {
    const condition = {...plan, lcm: plan.lcm > 0};
    for (const component of COMPONENTS) {
      const part = tool.parts[component];
      let quiet: {mode: string; age: number} | null = null;
      part.laws.forEach((law, i) => {
        const factor = acceleration(law.wear, condition);
        const after = (part.draws[i]! - part.damage[i]!) / factor;
        if (part.quiet[i] && after <= circulating && after <= (quiet ? quiet.age - part.hours : Infinity)) {
          quiet = {mode: law.mode, age: part.hours + after};
        }
        part.damage[i] = part.damage[i]! + circulating * factor;
      });
      if (!part.struck && quiet) part.struck = quiet;
      if (strike?.law !== -1 && strike?.component === component && !part.struck) {
        part.struck = {mode: strike.mode, age: part.hours + strike.after};
      }
      part.hours = rounded(part.hours + circulating, 1);
    }
    if (tool.fault) tool.fault.hours += circulating;
  }

  #logRun(tool: Tool, plan: RunPlan, circulating: number, ended: Strike | "lost" | null): void {
    const {random} = tool;
    const fleet = this.#fleet;
    const spread = tool.to - tool.from;
    const due = tool.from + (spread * (tool.hours - circulating)) / tool.targetHours + 3 * DAY * random.noise();
    const start = halfHour(Math.max(tool.ready + random.between(6, 30) * HOUR, due));
    const belowRotary = Math.ceil((circulating * random.between(1.2, 1.45) + random.between(8, 20)) * 2) / 2;
    const strike = ended === "lost" ? null : ended;
    const trip = random.chance(TRIP_SHARE);
    const other = !ended && random.chance(PULLED_FOR_OTHER_REASON);
    const tripHours = 4 + plan.depth / random.between(400, 700) + random.between(0, 6);
    const end = start + belowRotary * HOUR;
    this.#runs.push({
      ...plan,
      run: "",
      tool: tool.serial,
      fleet: fleet.name,
      model: fleet.model,
      start,
      end,
      circulating,
      belowRotary,
      pulses: Math.round(circulating * random.between(1100, 1900)),
      bore: rounded(fleet.bore, 2),
      probe: rounded(fleet.probe, 2),
      outcome:
        ended === "lost"
          ? "lost in hole"
          : strike
            ? "failed downhole"
            : other
              ? "pulled for other reason"
              : "completed",
      failure: strike
        ? {mode: strike.mode, at: Math.max(rounded(strike.after, 1), 0.1), logged: random.chance(FAILURE_HOUR_LOGGED)}
        : null,
      lostTime: strike
        ? rounded(trip ? tripHours : random.between(3, 8), 1)
        : ended === "lost"
          ? rounded(3 * tripHours, 1)
          : 0,
      comment: strike
        ? trip
          ? "no pulses, string tripped"
          : "no pulses, pulled on wireline and re-run"
        : ended === "lost"
          ? "string stuck, left in hole"
          : other
            ? random.pick(OTHER_REASONS)
            : "",
    });
    tool.ready = end;
  }

  #install(tool: Tool): void {
    const {random} = tool;
    const date = day(tool.from) - random.integer(1, 8) * DAY;
    const {shop, technician} = this.#bench(random);
    for (const component of COMPONENTS) {
      this.#inspections.push({
        rebuild: "",
        tool: tool.serial,
        fleet: this.#fleet.name,
        date,
        shop,
        technician,
        component,
        found: "not inspected",
        mode: null,
        endedRun: false,
        action: "renewed",
        partBefore: -1,
        partAfter: tool.parts[component].id,
        hoursOnPart: null,
        installedWith: null,
        measurement: null,
        waitDays: 0,
        labour: 1,
        comment: "new build",
      });
    }
  }

  #bench(random: Random): {shop: string; technician: string} {
    return {shop: random.pick(this.#fleet.shops), technician: random.pick(this.#fleet.technicians)};
  }

  #rebuild(tool: Tool, strike: Strike | null, logged: boolean): void {
    const {random} = tool;
    const wait = random.integer(1, strike ? 7 : 5);
    const date = day(tool.ready) + wait * DAY;
    const bench = this.#bench(random);
    const spoilt = random.chance(BENCH_DAMAGE) ? random.weighted({LINR: 0.4, SHFT: 0.35, SEAL: 0.25}) : null;
    for (const component of COMPONENTS) {
      const before = tool.parts[component];
      const seen = this.#inspect(tool, before, strike, spoilt === component);
      const after = this.#partAfter(seen, before, date, random);
      const changed = after !== before;
      if (logged) {
        this.#inspections.push({
          rebuild: "",
          tool: tool.serial,
          fleet: this.#fleet.name,
          date,
          ...bench,
          component,
          found: seen.found,
          mode: seen.mode,
          endedRun: seen.endedRun,
          action: !changed
            ? "kept"
            : after.hours > 0
              ? "swapped for a used part"
              : component === "BAND" && seen.found === "worn"
                ? "reworked"
                : "renewed",
          partBefore: before.id,
          partAfter: after.id,
          hoursOnPart: before.hoursKnown ? before.hours : null,
          installedWith: changed && after.hours > 0 ? after.hours : null,
          measurement: seen.found === "not inspected" ? null : measure(before, this.#fleet.name, seen.beyond, random),
          waitDays: wait,
          labour: changed ? 1 : 0.5,
          comment: "",
        });
      }
      tool.parts[component] = after;
    }
    this.#plantFault(tool);
    tool.sinceOpen = 0;
    // the job goes on without this tool, so its next job is another
    if (tool.job) tool.job.runsLeft = 0;
    tool.ready = date + random.integer(2, 4) * DAY;
  }

  #inspect(tool: Tool, part: Part, strike: Strike | null, spoilt: boolean): Seen {
    const {random} = tool;
    const {component} = part;
    const worn = wornMode(part, this.#foundWorn.from);
    const beyond = worn !== null && random.chance(this.#foundWorn.caught);
    const skipped = random.chance(NOT_INSPECTED);
    const limit = this.#fleet.policy[component];
    const renew = limit !== undefined && part.hours + POLICY_MARGIN_H >= limit;
    if (strike?.component === component) {
      return {
        found: "failed",
        mode: strike.mode,
        endedRun: true,
        renew: true,
        beyond: part.struck?.mode === strike.mode,
      };
    }
    if (part.struck) return {found: "failed", mode: part.struck.mode, endedRun: false, renew: true, beyond: true};
    if (beyond) return {found: "worn", mode: worn, endedRun: false, renew: true, beyond};
    if (spoilt)
      return {found: "damaged at service", mode: BENCH_MODES[component] ?? null, endedRun: false, renew: true, beyond};
    const found = skipped && !worn && !renew ? "not inspected" : "good";
    return {found, mode: null, endedRun: false, renew, beyond};
  }

  #partAfter(seen: Seen, before: Part, date: number, random: Random): Part {
    const {component} = before;
    const used = random.chance(seen.renew ? USED_AT_REPLACEMENT : USED_AT_WILL);
    const fromShelf = used && REUSABLE.has(component) ? this.#takeFromShelf(component, date) : null;
    if (fromShelf && !seen.renew) this.#shelf.push({part: before, since: date});
    if (fromShelf) return fromShelf;
    return seen.renew ? this.#maker.make(component, random) : before;
  }

  #takeFromShelf(component: Component, date: number): Part | null {
    const limit = this.#fleet.policy[component] ?? Infinity;
    const fits = ({part, since}: Shelf): boolean =>
      part.component === component && since <= date && part.hours + this.#fleet.rebuildEach <= limit && part.hoursKnown;
    const index = this.#shelf.findIndex(fits);
    return index < 0 ? null : this.#shelf.splice(index, 1)[0]!.part;
  }

  #numberedInspections(): GrownInspection[] {
    const letter = this.#fleet.name[0]!;
    const rows = this.#inspections
      .map((row, order) => ({row, order}))
      .sort(
        (a, b) =>
          a.row.date - b.row.date || (a.row.tool < b.row.tool ? -1 : a.row.tool > b.row.tool ? 1 : a.order - b.order),
      )
      .map(({row}) => row);
    let number = 0;
    rows.forEach((row, i) => {
      const last = rows[i - 1];
      if (!last || last.tool !== row.tool || last.date !== row.date) number += 1;
      row.rebuild = `${letter}R-${String(number).padStart(4, "0")}`;
    });
    return rows;
  }
}

interface Seen {
  readonly found: Found;
  readonly mode: string | null;
  readonly endedRun: boolean;
  readonly renew: boolean;
  /** whether the gauge showed wear past the limit */
  readonly beyond: boolean;
}

/** What the bench can spoil while the tool is open. */
const BENCH_MODES: Readonly<Partial<Record<Component, string>>> = {
  LINR: "LINR-CLM",
  SHFT: "SHFT-GAL",
  SEAL: "SEAL-CUT",
};

function numbered(runs: GrownRun[], {name}: FleetTruth): GrownRun[] {
  const sorted = [...runs].sort((a, b) => a.start - b.start || (a.tool < b.tool ? -1 : 1));
  sorted.forEach((run, i) => {
    run.run = `${name[0]}-${String(i + 1).padStart(5, "0")}`;
  });
  return sorted;
}

/** The first mode to end a run under this plan, own or planted. */
function firstStrike(tool: Tool, plan: RunPlan): Strike {
  const condition = {...plan, lcm: plan.lcm > 0};
  let first = NEVER;
  for (const component of COMPONENTS) {
    const part = tool.parts[component];
    if (part.struck) continue;
    part.laws.forEach((law, i) => {
      const after = part.quiet[i] ? Infinity : (part.draws[i]! - part.damage[i]!) / acceleration(law.wear, condition);
      if (after < first.after) first = {component, mode: law.mode, law: i, after};
    });
  }
  const fault = tool.fault;
  const faultAfter = fault ? fault.draw - fault.hours : Infinity;
  if (fault && faultAfter < first.after) {
    first = {component: fault.law.component, mode: fault.law.mode, law: -1, after: faultAfter};
  }
  return {...first, after: Math.max(first.after, 0)};
}

/**
 * The pumps run on for up to two hours after the signal is gone; not so long that a second mode would strike too,
 * since the log has room for one cause.
 */
function hoursWithFailure(tool: Tool, plan: RunPlan, strike: Strike, length: number): number {
  const condition = {...plan, lcm: plan.lcm > 0};
  let next = Infinity;
  for (const component of COMPONENTS) {
    const part = tool.parts[component];
    part.laws.forEach((law, i) => {
      const after = (part.draws[i]! - part.damage[i]!) / acceleration(law.wear, condition);
      if (after > strike.after) next = Math.min(next, after);
    });
  }
  const pumped = Math.min(
    strike.after + tool.random.between(0.2, 2),
    length,
    strike.after + 0.9 * (next - strike.after),
  );
  return Math.max(rounded(pumped, 1), Math.max(rounded(strike.after, 1), 0.1));
}

/** The first eroding mode past the given share of its draw. */
function wornMode(part: Part, from: number): string | null {
  const law = part.laws.findIndex(({wear}, i) => wear === "ero" && part.damage[i]! > from * part.draws[i]!);
  return law < 0 ? null : part.laws[law]!.mode;
}

function mostCommon<K extends Mud | Regime>(shares: Readonly<Partial<Record<K, number>>>): K {
  const entries = Object.entries(shares) as [K, number][];
  return entries.reduce((best, entry) => (entry[1] > best[1] ? entry : best))[0];
}

const halfHour = (time: number): number => Math.ceil(time / (HOUR / 2)) * (HOUR / 2);
const day = (time: number): number => Math.floor(time / DAY) * DAY;
