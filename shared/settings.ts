/** The settings of a shop: every key has a default. */

export const EXPOSURES = ["circulating hours", "below-rotary hours", "pulses", "runs"] as const;
export type ExposureClock = (typeof EXPOSURES)[number];

export interface ComponentSettings {
  /** what renewing the part at a rebuild costs, in the currency */
  readonly planned_cost: number;
  /** what one in-service failure that ends a run costs, in the currency */
  readonly failure_cost: number;
  /** what a failure only found at teardown costs besides the planned change, in the currency */
  readonly teardown_failure_cost: number;
  /** today's policy: renew at this age, in the exposure clock; null: run to failure; 0: at every rebuild */
  readonly current_interval_h: number | null;
}

export interface FleetSettings {
  readonly components: Readonly<Record<string, Partial<ComponentSettings>>>;
}

export interface Settings {
  readonly currency: string;
  readonly exposure: ExposureClock;
  readonly flow_regime: {
    readonly by: "velocity" | "reynolds" | "logged";
    /** low below the first, high from the second up, m/s; null: the log's own terciles */
    readonly bands_mps: readonly [number, number] | null;
  };
  readonly reliability_target: number;
  /** two-sided confidence level of every limit */
  readonly level: number;
  /** planned length of the next run, h; null: the log's median run */
  readonly next_run_h: number | null;
  /** recommended intervals are rounded down to a multiple of this, h */
  readonly service_unit_h: number;
  readonly lost_in_hole: "suspended" | "failed";
  /** keyed by component code, e.g. SEAL */
  readonly components: Readonly<Record<string, ComponentSettings>>;
  readonly fleets: Readonly<Record<string, FleetSettings>>;
  readonly units: "metric" | "oilfield";
}
