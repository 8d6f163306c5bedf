/**
 * The log columns: name, type, canonical unit, aliases, plausible range and meaning. One definition each;
 * the importer, the data dictionary and the form on the logs page all read it here.
 * Names are a contract with other programs: do not rename them.
 */
import type {ColumnShape} from "./columnar.ts";
import type {Quantity} from "./units.ts";

export interface ColumnSpec extends ColumnShape {
  /** a row without it cannot be used */
  readonly required?: true;
  /** kind of quantity, which says the canonical unit and the units a header or cell may carry */
  readonly quantity?: Quantity;
  /** closed list of texts, when the column has one */
  readonly oneOf?: readonly string[];
  /** other headers shops use, lower case, without unit */
  readonly aliases: readonly string[];
  /** a value outside is asked about, in the canonical unit (trade practice, no limit of any maker) */
  readonly plausible?: readonly [number, number];
  /** a value outside cannot be, in the canonical unit */
  readonly possible?: readonly [number, number];
  /** one sentence for the data dictionary */
  readonly meaning: string;
}

export const OUTCOMES = ["completed", "failed downhole", "pulled for other reason", "lost in hole"] as const;
export const FOUND = ["good", "worn", "failed", "damaged at service", "not inspected"] as const;
export const ACTIONS = ["kept", "renewed", "swapped for a used part", "reworked"] as const;

const columns = <const S extends Readonly<Record<string, ColumnSpec>>>(specs: S): S => specs;

export const RUN_COLUMNS = columns({
  run: {
    type: "text",
    required: true,
    aliases: ["run id", "run no", "run number"],
    meaning: "identifier of the run, unique with the tool",
  },
  tool: {type: "text", required: true, aliases: ["tool sn", "tool serial", "serial"], meaning: "serial of the tool"},
  job: {type: "text", aliases: ["well", "job no"], meaning: "job or well alias"},
  fleet: {type: "text", aliases: ["district", "base"], meaning: "fleet the tool belongs to"},
  start: {type: "date", aliases: ["run start", "below rotary"], meaning: "tool below the rotary table"},
  end: {type: "date", required: true, aliases: ["run end", "at surface"], meaning: "tool back at surface"},
  circulating_h: {
    type: "number",
    quantity: "time",
    required: true,
    possible: [0, 2000],
    plausible: [0, 300],
    aliases: ["circ hrs", "circulating hours"],
    meaning: "hours with the pumps above the pulsing threshold",
  },
  below_rotary_h: {
    type: "number",
    quantity: "time",
    possible: [0, 5000],
    plausible: [0, 500],
    aliases: ["brt", "brt hrs"],
    meaning: "hours below the rotary table",
  },
  pulses: {
    type: "number",
    quantity: "count",
    possible: [0, 1e8],
    plausible: [0, 600000],
    aliases: ["pulse count", "strokes"],
    meaning: "valve cycles of the run",
  },
  mud: {type: "text", aliases: ["mud type", "fluid"], meaning: "mud family (code or shop word)"},
  density_kgm3: {
    type: "number",
    quantity: "density",
    possible: [1, 3000],
    plausible: [850, 2300],
    aliases: ["mud weight", "mw"],
    meaning: "mud density",
  },
  pv_mPas: {
    type: "number",
    quantity: "viscosity",
    possible: [0, 500],
    plausible: [1, 80],
    aliases: ["pv", "plastic viscosity"],
    meaning: "plastic viscosity",
  },
  yp_Pa: {
    type: "number",
    quantity: "stress",
    possible: [0, 200],
    plausible: [0, 30],
    aliases: ["yp", "yield point"],
    meaning: "yield point",
  },
  r600: {
    type: "number",
    quantity: "dial",
    possible: [0, 400],
    aliases: ["600 rpm"],
    meaning: "viscometer reading at 600 rpm",
  },
  r300: {
    type: "number",
    quantity: "dial",
    possible: [0, 400],
    aliases: ["300 rpm"],
    meaning: "viscometer reading at 300 rpm",
  },
  r100: {
    type: "number",
    quantity: "dial",
    possible: [0, 400],
    aliases: ["100 rpm"],
    meaning: "viscometer reading at 100 rpm",
  },
  r6: {
    type: "number",
    quantity: "dial",
    possible: [0, 400],
    aliases: ["6 rpm"],
    meaning: "viscometer reading at 6 rpm",
  },
  r3: {
    type: "number",
    quantity: "dial",
    possible: [0, 400],
    aliases: ["3 rpm"],
    meaning: "viscometer reading at 3 rpm",
  },
  sand_pct: {
    type: "number",
    quantity: "percent",
    possible: [0, 100],
    plausible: [0, 3],
    aliases: ["sand", "sand content"],
    meaning: "sand content by volume",
  },
  lcm_kgm3: {
    type: "number",
    quantity: "concentration",
    possible: [0, 1000],
    plausible: [0, 180],
    aliases: ["lcm"],
    meaning: "lost-circulation material",
  },
  flow_lpm: {
    type: "number",
    quantity: "flow",
    possible: [0, 10000],
    plausible: [250, 5500],
    aliases: ["flow", "flow rate", "pump rate"],
    meaning: "average flow rate",
  },
  flow_range: {
    type: "text",
    aliases: ["flow class"],
    meaning: "flow range as the shop logged it, when flow_regime.by is logged",
  },
  bore_mm: {
    type: "number",
    quantity: "length",
    possible: [10, 500],
    plausible: [50, 110],
    aliases: ["collar bore", "bore"],
    meaning: "bore of the collar around the tool",
  },
  tool_od_mm: {
    type: "number",
    quantity: "length",
    possible: [5, 400],
    plausible: [40, 60],
    aliases: ["probe od", "tool od"],
    meaning: "outside diameter of the tool in the bore",
  },
  temperature_max_C: {
    type: "number",
    quantity: "temperature",
    possible: [-60, 400],
    plausible: [10, 180],
    aliases: ["temp", "max temp", "bht"],
    meaning: "highest circulating temperature",
  },
  depth_m: {
    type: "number",
    quantity: "depth",
    possible: [0, 15000],
    aliases: ["depth", "md"],
    meaning: "measured depth at the end of the run",
  },
  outcome: {type: "text", oneOf: OUTCOMES, aliases: ["result", "status"], meaning: "how the run ended"},
  failed_at_h: {
    type: "number",
    quantity: "time",
    possible: [0, 2000],
    aliases: ["failure hour", "failed at"],
    meaning: "circulating hours into this run at the failure",
  },
  lost_time_h: {
    type: "number",
    quantity: "time",
    possible: [0, 5000],
    plausible: [0, 200],
    aliases: ["npt", "lost time"],
    meaning: "rig hours lost to the failure",
  },
  comment: {type: "text", aliases: ["remarks", "notes"], meaning: "free text"},
});

export const REBUILD_COLUMNS = columns({
  rebuild: {type: "text", aliases: ["rebuild id", "work order"], meaning: "identifier of the rebuild"},
  tool: {type: "text", required: true, aliases: ["tool sn", "tool serial"], meaning: "serial of the tool"},
  date: {type: "date", required: true, aliases: ["teardown date"], meaning: "date of the teardown"},
  shop: {type: "text", aliases: ["base", "workshop"], meaning: "shop that did the work"},
  technician: {type: "text", aliases: ["tech", "initials"], meaning: "initials of who did the work"},
  component: {type: "text", required: true, aliases: ["part", "item"], meaning: "component (code or shop word)"},
  position: {
    type: "text",
    aliases: ["pos", "location"],
    meaning: "position, where a tool holds several of one component",
  },
  part_number: {type: "text", aliases: ["part no", "pn"], meaning: "part number fitted"},
  lot: {type: "text", aliases: ["batch"], meaning: "lot or batch of the part fitted"},
  part_serial: {type: "text", aliases: ["part sn"], meaning: "serial of the part in the slot after this row"},
  found: {
    type: "text",
    oneOf: FOUND,
    aliases: ["condition", "found condition"],
    meaning: "what the part was found to be",
  },
  mode: {type: "text", aliases: ["failure mode", "defect"], meaning: "what was seen (code or shop word)"},
  mechanism: {type: "text", aliases: [], meaning: "how it came about"},
  ended_run: {
    type: "flag",
    aliases: ["caused failure", "ended run"],
    meaning: "yes when this part is what ended the last run",
  },
  action: {
    type: "text",
    required: true,
    oneOf: ACTIONS,
    aliases: ["work done", "disposition"],
    meaning: "what was done with the part",
  },
  installed_with_h: {
    type: "number",
    quantity: "time",
    possible: [0, 100000],
    aliases: ["hours on new part"],
    meaning: "hours already on the part that went in",
  },
  hours_on_part: {
    type: "number",
    quantity: "time",
    possible: [0, 100000],
    aliases: ["part hours"],
    meaning: "hours on the part taken out or kept, as the shop counted them",
  },
  measure: {type: "text", aliases: ["dimension"], meaning: "which dimension was measured"},
  measured_mm: {
    type: "number",
    quantity: "length",
    possible: [0, 5000],
    aliases: ["measured", "reading"],
    meaning: "the measured value",
  },
  limit_mm: {
    type: "number",
    quantity: "length",
    possible: [0, 5000],
    aliases: ["limit"],
    meaning: "the shop's limit for it",
  },
  wait_days: {
    type: "number",
    quantity: "days",
    possible: [0, 3650],
    plausible: [0, 120],
    aliases: ["wait"],
    meaning: "days from out of hole to teardown",
  },
  part_cost: {
    type: "number",
    quantity: "money",
    possible: [0, 1e7],
    aliases: ["cost"],
    meaning: "cost of the part fitted, in the settings' currency",
  },
  labour_h: {
    type: "number",
    quantity: "time",
    possible: [0, 1000],
    plausible: [0, 40],
    aliases: ["man hours"],
    meaning: "bench hours of this row",
  },
  comment: {type: "text", aliases: ["remarks", "notes"], meaning: "free text"},
});

export type RunColumn = keyof typeof RUN_COLUMNS;
export type RebuildColumn = keyof typeof REBUILD_COLUMNS;
