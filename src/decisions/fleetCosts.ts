/** What the settings say of a component in a fleet; the fleet's own words first. */
import type {ComponentSettings, Settings} from "../../shared/settings.ts";
import {NO_DECISIONS, type DecisionScope, type Register} from "../../shared/register.ts";
import type {RenewalCosts} from "./costs.ts";
import {inForce, type Revision} from "./policyInForce.ts";

export interface FleetPolicy {
  /** null when a cost is missing or no number of 0 or more */
  readonly costs: RenewalCosts | null;
  /** today's renewal age; null: run to failure */
  readonly current: number | null;
}

/** The same, with today's renewal age from the register where that has decided for the condition. */
export interface DecidedPolicy extends FleetPolicy {
  readonly decided: Revision | null;
}

export function policyIn(
  settings: Pick<Settings, "components" | "fleets">,
  scope: DecisionScope,
  register: Register = NO_DECISIONS,
): DecidedPolicy {
  const policy = fleetPolicy(settings, scope.fleet ?? "", scope.component);
  const decided = inForce(register, scope);
  return decided === null ? {...policy, decided} : {...policy, current: decided.interval_h, decided};
}

export function fleetPolicy(
  settings: Pick<Settings, "components" | "fleets">,
  fleet: string,
  component: string,
): FleetPolicy {
  const said: Partial<ComponentSettings> = {
    ...settings.components[component],
    ...settings.fleets[fleet]?.components[component],
  };
  const amount = (value: number | undefined): number =>
    value !== undefined && value >= 0 && value < Infinity ? value : NaN;
  const planned = amount(said.planned_cost);
  const failure = amount(said.failure_cost);
  const found = said.teardown_failure_cost === undefined ? 0 : amount(said.teardown_failure_cost);
  const known = !Number.isNaN(planned + failure + found);
  const current = said.current_interval_h ?? null;
  return {
    costs: known ? {planned, failure, found} : null,
    current: current !== null && current >= 0 && current < Infinity ? current : null,
  };
}
