/** What the register says is done: the policy in force for a part in a condition, and the revisions behind it. */
import type {DecisionScope, IntervalDecision, Register} from "../../shared/register.ts";

/** A decision with its revision: the how-manieth of its scope, from 1. */
export interface Revision extends IntervalDecision {
  readonly revision: number;
}

/** Every decision with its revision, in the order of the file. Decisions of one scope are numbered by date, then by place. */
export function revisions({decisions}: Pick<Register, "decisions">): Revision[] {
  const placed = decisions.map((decision, at) => ({decision, at}));
  const byScope = new Map<string, typeof placed>();
  for (const one of placed) {
    const key = scopeKey(one.decision);
    byScope.set(key, [...(byScope.get(key) ?? []), one]);
  }
  const revision = new Array<number>(decisions.length).fill(0);
  for (const list of byScope.values()) {
    list
      .sort((a, b) => (a.decision.date < b.decision.date ? -1 : a.decision.date > b.decision.date ? 1 : a.at - b.at))
      .forEach(({at}, i) => (revision[at] = i + 1));
  }
  return decisions.map((decision, at) => ({...decision, revision: revision[at]!}));
}

/**
 * The latest accepted or amended decision on or before a day; a decline leaves what was in force. A fleet's own decision
 * goes before one for every fleet. Null where the register decided nothing.
 *
 * @param day ISO day; default: the register's today
 */
export function inForce(register: Register, scope: DecisionScope, day = register.today): Revision | null {
  const own = latest(register, scope, day);
  if (own !== null || scope.fleet === null) return own;
  return latest(register, {...scope, fleet: null}, day);
}

function latest(register: Register, scope: DecisionScope, day: string): Revision | null {
  const key = scopeKey(scope);
  let found: Revision | null = null;
  for (const one of revisions(register)) {
    if (scopeKey(one) !== key || one.decision === "declined" || one.date > day || one.date > register.today) continue;
    if (found === null || one.revision > found.revision) found = one;
  }
  return found;
}

/** Scopes that the register has decided on, once each, in the order of the file. */
export function decidedScopes({decisions}: Pick<Register, "decisions">): DecisionScope[] {
  const scopes = new Map<string, DecisionScope>();
  for (const {component, mud, regime, fleet} of decisions) {
    const scope = {component, mud, regime, fleet};
    if (!scopes.has(scopeKey(scope))) scopes.set(scopeKey(scope), scope);
  }
  return [...scopes.values()];
}

export function scopeKey({component, mud, regime, fleet}: DecisionScope): string {
  return JSON.stringify([component, mud, regime, fleet]);
}
