/** What a run does to the parts of a tool: damage, and the first mode to strike. */
import type {Job, RunPlan} from "./jobs.ts";
import type {Part} from "./parts.ts";
import {rounded, type Random} from "./Random.ts";
import {COMPONENTS, type Component, type ModeLaw} from "./scenario.ts";
import {acceleration} from "./truth.ts";

export interface Tool {
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

export interface Strike {
  readonly component: Component;
  readonly mode: string;
  /** index of the law in the part, -1 for a shop fault */
  readonly law: number;
  readonly after: number;
}

const NEVER: Strike = {component: "SEAL", mode: "", law: -1, after: Infinity};

/** The first mode to end a run under this plan, own or planted. */
export function firstStrike(tool: Tool, plan: RunPlan): Strike {
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
export function hoursWithFailure(tool: Tool, plan: RunPlan, strike: Strike, length: number): number {
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
export function wornMode(part: Part, from: number): string | null {
  const law = part.laws.findIndex(({wear}, i) => wear === "ero" && part.damage[i]! > from * part.draws[i]!);
  return law < 0 ? null : part.laws[law]!.mode;
}

/** Adds the run to every part and marks the modes that struck without ending it. */
export function wear(tool: Tool, plan: RunPlan, circulating: number, strike: Strike | null): void {
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
