/**
 * One fleet as it grows. Its tools advance together in calendar order, so that a used part can move from one tool to
 * another.
 */
import type {Found, GrownInspection, GrownRun} from "./grown.ts";
import type {GrowOptions} from "./grow.ts";
import {nextJob, nextRun, type RunPlan} from "./jobs.ts";
import {measure} from "./measure.ts";
import {PartMaker, REUSABLE, type Part} from "./parts.ts";
import {Random, rounded} from "./Random.ts";
import {
  COMPONENTS,
  FOUND_WORN,
  POLICY_MARGIN_H,
  RUN_LENGTH,
  SHOP_FAULTS,
  TRIP_SHARE,
  WINDOW,
  type Component,
  type FleetTruth,
  type Mud,
  type Regime,
} from "./scenario.ts";
import {firstStrike, hoursWithFailure, wear, wornMode, type Strike, type Tool} from "./toolWear.ts";

interface Shelf {
  readonly part: Part;
  readonly since: number;
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

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

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

export class FleetGrowth {
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
    wear(tool, plan, circulating, failed ? strike : null);
    tool.hours += circulating;
    tool.sinceOpen += circulating;
    if (logged) this.#logRun(tool, plan, circulating, lost ? "lost" : failed ? strike : null);
    if (lost) return false;
    const due = failed || tool.sinceOpen >= fleet.rebuildEach;
    const goesOn = !logged || (tool.hours < tool.targetHours && tool.ready < tool.to);
    if (due && (goesOn || failed)) this.#rebuild(tool, failed ? strike : null, logged);
    return goesOn;
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

function numbered(runs: GrownRun[], {name}: FleetTruth): GrownRun[] {
  const sorted = [...runs].sort((a, b) => a.start - b.start || (a.tool < b.tool ? -1 : 1));
  sorted.forEach((run, i) => {
    run.run = `${name[0]}-${String(i + 1).padStart(5, "0")}`;
  });
  return sorted;
}

function mostCommon<K extends Mud | Regime>(shares: Readonly<Partial<Record<K, number>>>): K {
  const entries = Object.entries(shares) as [K, number][];
  return entries.reduce((best, entry) => (entry[1] > best[1] ? entry : best))[0];
}

const halfHour = (time: number): number => Math.ceil(time / (HOUR / 2)) * (HOUR / 2);
const day = (time: number): number => Math.floor(time / DAY) * DAY;
