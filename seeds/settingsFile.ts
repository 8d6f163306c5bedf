/** `settings.yaml` of the invented fleets: costs and today's policies. */
import {
  BENCH,
  COMPONENTS,
  FLEETS,
  FLEET_NAMES,
  PART_COST,
  TRIP_SHARE,
  type Component,
  type FleetName,
  type FleetTruth,
} from "./scenario.ts";

/** Expected cost of one failure that ends a run, $: tripped or re-run on wireline, in the share of the scenario. */
export function failureCost({failureCost: {trip, wireline}}: FleetTruth): number {
  return Math.round(TRIP_SHARE * trip + (1 - TRIP_SHARE) * wireline);
}

/** What renewing a part costs at a rebuild that takes place anyway, $: the part and its bench time. */
export function plannedCost(component: Component): number {
  return PART_COST[component] + BENCH.dollarsPerHour * BENCH.hoursPerChangedPart;
}

/** The fleet with the most hours, whose figures stand in where a row mixes fleets. */
const LARGEST: FleetName = FLEET_NAMES.reduce((best, name) => (hours(name) > hours(best) ? name : best));

function hours(name: FleetName): number {
  return FLEETS[name].tools * FLEETS[name].hoursPerToolMonth;
}

export function settingsFile(): string {
  const lines = [
    "# Settings of the demo fleets. INVENTED: no real company, tool, person, cost or policy.",
    "# The data dictionary beside this file explains every key.",
    "currency: USD",
    "exposure: circulating hours",
    "flow_regime: {by: velocity, bands_mps: [6, 9]}",
    "reliability_target: 0.95",
    "level: 0.9",
    "service_unit_h: 10",
    "",
    `# A planned change costs the part and ${BENCH.hoursPerChangedPart} bench hour at ${BENCH.dollarsPerHour} USD.`,
    `# Where a row of a sheet mixes fleets, the largest fleet (${LARGEST}) gives failure cost and policy.`,
    "components:",
    ...COMPONENTS.map(
      (code) =>
        `  ${code}: {planned_cost: ${plannedCost(code)}, failure_cost: ${failureCost(FLEETS[LARGEST])}, ` +
        `current_interval_h: ${policyOf(LARGEST, code)}}`,
    ),
    "",
    `# Of the failures that end a run, ${TRIP_SHARE * 100} % trip the string and the rest are pulled and re-run on wireline:`,
    ...FLEET_NAMES.map((name) => `#   ${name}: ${costSum(FLEETS[name])}`),
    "# 0 is at every rebuild, null is run to failure.",
    "fleets:",
    ...FLEET_NAMES.flatMap((name) => [
      `  ${name}:`,
      "    components:",
      ...COMPONENTS.map(
        (code) =>
          `      ${code}: {failure_cost: ${failureCost(FLEETS[name])}, current_interval_h: ${policyOf(name, code)}}`,
      ),
    ]),
    "units: metric",
  ];
  return `${lines.join("\n")}\n`;
}

function policyOf(fleet: FleetName, component: Component): string {
  return String(FLEETS[fleet].policy[component] ?? null);
}

function costSum(fleet: FleetTruth): string {
  const {trip, wireline} = fleet.failureCost;
  return `${TRIP_SHARE} x ${trip} + ${(1 - TRIP_SHARE).toFixed(1)} x ${wireline} = ${failureCost(fleet)} USD`;
}
