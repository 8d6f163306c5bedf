/** What the settings page says of each value besides its meaning and effect: its name, its unit, what uses it. */

export interface SettingWords {
  readonly label: string;
  readonly unit: string;
  readonly usedBy: string;
}

const EVERY = "every life, model and interval";

export const SETTING_WORDS: Readonly<Record<string, SettingWords>> = {
  currency: {label: "Currency", unit: "", usedBy: "every amount shown"},
  exposure: {label: "Clock of ages", unit: "", usedBy: EVERY},
  reliability_target: {
    label: "Reliability target",
    unit: "share",
    usedBy: "interval sheet (risk rule), next-run check",
  },
  level: {label: "Confidence level", unit: "share", usedBy: "every limit shown"},
  next_run_h: {label: "Next run", unit: "h", usedBy: "interval sheet, next-run check"},
  service_unit_h: {label: "Planning step", unit: "h", usedBy: "interval sheet"},
  lost_in_hole: {label: "Lost in hole", unit: "", usedBy: EVERY},
  units: {label: "Units shown", unit: "", usedBy: "what pages show"},
  by: {label: "Flow regime by", unit: "", usedBy: "every split by flow regime"},
  bands_mps: {label: "Velocity bands", unit: "m/s", usedBy: "every split by flow regime"},
  opening_cost: {label: "Opening an assembly", unit: "currency", usedBy: "service plan"},
  major_cost: {label: "Major beyond minor service", unit: "currency", usedBy: "service plan"},
  minor: {label: "Renewed at every service", unit: "", usedBy: "service plan"},
  planned_cost: {label: "Planned change", unit: "currency", usedBy: "interval sheet"},
  failure_cost: {label: "Failure in service", unit: "currency", usedBy: "interval sheet, Pareto in money"},
  teardown_failure_cost: {label: "Failure found at teardown", unit: "currency", usedBy: "interval sheet"},
  current_interval_h: {label: "Today's interval", unit: "h", usedBy: "interval sheet"},
};

export const wordsOf = (key: string): SettingWords => SETTING_WORDS[key] ?? {label: key, unit: "", usedBy: ""};
