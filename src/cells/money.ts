/** What one failure costs under the settings, a fleet's own figures before the shop's. */
import {DEFAULT_SETTINGS, type ComponentSettings, type Settings} from "../../shared/settings.ts";
import {FAILURE_CLASSES, type FailureClass, type FailureTable} from "../lives/failureTable.ts";
import {sayMoney} from "./say.ts";

export function settingsOf(settings: Settings, component: string, fleet: string | null): ComponentSettings | null {
  const shop = settings.components[component];
  if (!shop) return null;
  const own = fleet === null ? undefined : settings.fleets[fleet]?.components[component];
  return {...shop, ...own};
}

/**
 * Money of one failure: the failure cost where service was lost; where it was only found at a teardown or failed
 * before a run, the planned change and what settings say besides; where the bench spoilt it, the planned change.
 *
 * @param parts how many parts are blamed for the same run: they share its cost
 * @returns null where the component is unknown or settings name no costs for it
 */
export function failureMoney(
  settings: Settings,
  {
    component,
    fleet,
    what,
    parts,
  }: {
    readonly component: string | null;
    readonly fleet: string | null;
    readonly what: FailureClass;
    readonly parts: number;
  },
): number | null {
  const costs = component === null ? null : settingsOf(settings, component, fleet);
  if (!costs) return null;
  switch (what) {
    case "F1":
    case "F2":
      return costs.failure_cost / Math.max(1, parts);
    case "F4":
    case "F5":
      return costs.planned_cost + costs.teardown_failure_cost;
    case "shop":
      return costs.planned_cost;
  }
}

/** How many parts are blamed for the run that a failure ended; 1 for a failure that ended none. */
export function partsBlamed(failures: FailureTable): (row: number) => number {
  const parts = new Map<number, number>();
  const ended = (row: number) => {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    return (what === "F1" || what === "F2") && failures.run[row]! >= 0;
  };
  for (let row = 0; row < failures.rows; row++) {
    if (ended(row)) parts.set(failures.run[row]!, (parts.get(failures.run[row]!) ?? 0) + 1);
  }
  return (row) => (ended(row) ? (parts.get(failures.run[row]!) ?? 1) : 1);
}

/** Said beside money when nobody has set what a failure costs: the figures are then the program's, not the shop's. */
export function unsetCosts({components, fleets, currency}: Settings): string[] {
  const asShipped = Object.entries(components).every(
    ([code, {failure_cost}]) => failure_cost === DEFAULT_SETTINGS.components[code]?.failure_cost,
  );
  const ofFleets = Object.values(fleets).some(({components: own}) =>
    Object.values(own).some(({failure_cost}) => failure_cost !== undefined),
  );
  if (!asShipped || ofFleets) return [];
  const cost = Math.max(...Object.values(DEFAULT_SETTINGS.components).map(({failure_cost}) => failure_cost));
  return [
    `No cost of a failure is set, so ${sayMoney(cost, {currency})} a failure stand in, a figure of no shop: give yours on the page “Settings” before anything is decided by money.`,
  ];
}
