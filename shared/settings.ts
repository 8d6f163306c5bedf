/**
 * The settings of a shop: every key has a default, a meaning and an effect; nothing in the file can stop the work.
 * A key nobody knows, a value of the wrong kind and a file that does not parse each become a finding.
 */
import * as v from "valibot";
import {isAlias, isMap, isScalar, LineCounter, type Document, type Node, type YAMLMap} from "yaml";
import type {Finding} from "./findings.ts";
import {componentMeaning, COMPONENTS, COMPONENT_CODES, nearest} from "./vocabulary/index.ts";
import {readYaml} from "./readYaml.ts";

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

/** How a whole assembly is serviced, for the service plan. */
export interface ServiceSettings {
  /** what opening, washing, inspecting, testing and closing the assembly costs, without parts, in the currency */
  readonly opening_cost: number;
  /** what a major service costs beyond a minor one, without parts, in the currency */
  readonly major_cost: number;
  /** components renewed at every service; the others are renewed at a major service */
  readonly minor: readonly string[];
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
  readonly service: ServiceSettings;
  /** keyed by component code, e.g. SEAL */
  readonly components: Readonly<Record<string, ComponentSettings>>;
  readonly fleets: Readonly<Record<string, FleetSettings>>;
  readonly units: "metric" | "oilfield";
}

/**
 * Part prices of the invented scenario plus one bench hour at 110, and one failure at 20,000: figures to be
 * overwritten by the shop, never limits. O-rings are renewed at every opening, which is common practice.
 */
const PART_COSTS: Readonly<Record<string, number>> = {
  SEAL: 180,
  LINR: 1900,
  BAND: 750,
  TIPP: 640,
  SPRG: 220,
  SHFT: 1450,
  HLXS: 980,
  ORIF: 560,
  ORNG: 95,
};
const BENCH_HOUR = 110;
const REBUILD_HOURS = 6;

export const DEFAULT_SETTINGS: Settings = {
  currency: "USD",
  exposure: "circulating hours",
  flow_regime: {by: "velocity", bands_mps: [6, 9]},
  reliability_target: 0.95,
  level: 0.9,
  next_run_h: null,
  service_unit_h: 10,
  lost_in_hole: "suspended",
  service: {
    opening_cost: REBUILD_HOURS * BENCH_HOUR,
    major_cost: REBUILD_HOURS * BENCH_HOUR,
    minor: ["SEAL", "BAND", "TIPP", "ORNG"],
  },
  components: Object.fromEntries(
    COMPONENT_CODES.map((code) => [
      code,
      {
        planned_cost: (PART_COSTS[code] ?? 0) + BENCH_HOUR,
        failure_cost: 20000,
        teardown_failure_cost: 0,
        current_interval_h: code === "ORNG" ? 0 : null,
      },
    ]),
  ),
  fleets: {},
  units: "metric",
};

/** One key of the settings file, as the form and the findings describe it. */
export interface SettingSpec {
  readonly schema: v.GenericSchema<unknown, unknown>;
  /** what the value says */
  readonly meaning: string;
  /** what changes with it */
  readonly effect: string;
  /** the accepted values, in words */
  readonly accepts: string;
  /** the closed list, where there is one */
  readonly choices?: readonly string[];
}

const money = v.pipe(v.number(), v.finite(), v.minValue(0));
const hoursAbove0 = v.pipe(v.number(), v.finite(), v.gtValue(0));
const share = v.pipe(v.number(), v.gtValue(0), v.ltValue(1));
const FLOW_BY = ["velocity", "reynolds", "logged"] as const;
const LOST = ["suspended", "failed"] as const;
const UNIT_SYSTEMS = ["metric", "oilfield"] as const;

function choice(choices: readonly string[], meaning: string, effect: string): SettingSpec {
  return {schema: v.picklist(choices), choices, accepts: choices.join(", "), meaning, effect};
}

/** Keys at the top of the file that hold one value. */
export const SETTING_SPECS: Readonly<Record<string, SettingSpec>> = {
  currency: {
    schema: v.pipe(v.string(), v.trim(), v.minLength(1), v.maxLength(12)),
    accepts: "a short text such as USD",
    meaning: "the currency of every cost in the logs and here",
    effect: "printed beside every amount; nothing is converted",
  },
  exposure: choice(
    EXPOSURES,
    "the clock by which parts age",
    "every age, life model and interval is in this clock; runs without it are left out of lives",
  ),
  reliability_target: {
    schema: share,
    accepts: "a number above 0 and below 1, such as 0.95",
    meaning: "the chance with which a part must survive the next planned run",
    effect: "a higher target gives shorter intervals by the risk rule",
  },
  level: {
    schema: share,
    accepts: "a number above 0 and below 1, such as 0.9",
    meaning: "the two-sided confidence level of every limit",
    effect: "a higher level gives wider limits and more careful intervals",
  },
  next_run_h: {
    schema: v.nullable(hoursAbove0),
    accepts: "hours above 0, or nothing for the log's median run",
    meaning: "the planned length of the next run",
    effect: "parts are renewed when their age and this pass the interval",
  },
  service_unit_h: {
    schema: hoursAbove0,
    accepts: "hours above 0",
    meaning: "the step in which the shop plans",
    effect: "recommended intervals are rounded down to a multiple of it",
  },
  lost_in_hole: choice(
    LOST,
    "what a part lost in hole with its tool counts as",
    "failed makes lives shorter; suspended says only that the part lasted that long",
  ),
  units: choice(UNIT_SYSTEMS, "the units that pages show", "changes what is shown, never what is computed"),
};

export const FLOW_REGIME_SPECS: Readonly<Record<string, SettingSpec>> = {
  by: choice(
    FLOW_BY,
    "what runs are grouped into flow regimes by",
    "velocity past the tool, the Reynolds class, or the flow range as the shop logged it",
  ),
  bands_mps: {
    schema: v.nullable(
      v.pipe(
        v.strictTuple([hoursAbove0, hoursAbove0]),
        v.check(([low, high]) => low < high),
      ),
    ),
    accepts: "two rising velocities in m/s such as [6, 9], or nothing for the log's own terciles",
    meaning: "below the first velocity flow is low, from the second up high",
    effect: "moves runs between the low, medium and high columns",
  },
};

export const COMPONENT_SPECS: Readonly<Record<keyof ComponentSettings, SettingSpec>> = {
  planned_cost: {
    schema: money,
    accepts: "an amount of 0 or more",
    meaning: "what renewing the part at a rebuild costs",
    effect: "a dearer change gives longer intervals",
  },
  failure_cost: {
    schema: money,
    accepts: "an amount of 0 or more",
    meaning: "what one in-service failure that ends a run costs",
    effect: "a dearer failure gives shorter intervals",
  },
  teardown_failure_cost: {
    schema: money,
    accepts: "an amount of 0 or more",
    meaning: "what a failure only found at teardown costs besides the planned change",
    effect: "a dearer finding gives shorter intervals",
  },
  current_interval_h: {
    schema: v.nullable(v.pipe(v.number(), v.finite(), v.minValue(0))),
    accepts: "an age of 0 or more (0: at every rebuild), or nothing for run to failure",
    meaning: "today's policy: the age at which the part is renewed",
    effect: "what recommended intervals are priced against",
  },
};

export const SERVICE_SPECS: Readonly<Record<keyof ServiceSettings, SettingSpec>> = {
  opening_cost: {
    schema: money,
    accepts: "an amount of 0 or more",
    meaning: "what opening, washing, inspecting, testing and closing the assembly costs, without parts",
    effect: "a dearer opening makes services of the service plan rarer",
  },
  major_cost: {
    schema: money,
    accepts: "an amount of 0 or more",
    meaning: "what a major service costs beyond a minor one, without parts",
    effect: "a dearer one makes major services of the service plan rarer",
  },
  minor: {
    schema: v.pipe(
      v.array(v.pipe(v.string(), componentCode())),
      v.transform((codes) => [...new Set(codes)]),
    ),
    accepts: "a list of components such as [seal, O-ring]",
    meaning: "the components renewed at every service; the others are renewed at a major service",
    effect: "moves components between the minor and the major service of the service plan",
  },
};

/** A component by its code, label or a shop word. */
function componentCode() {
  return v.rawTransform<string, string>(({dataset, addIssue, NEVER}) => {
    const {kind, code} = componentMeaning(dataset.value);
    if (code !== null && kind !== "near") return code;
    addIssue({message: `there is no component "${dataset.value}"`});
    return NEVER;
  });
}

const SECTIONS = ["flow_regime", "service", "components", "fleets"] as const;
const TOP_KEYS: readonly string[] = [...Object.keys(SETTING_SPECS), ...SECTIONS];
const COMPONENT_KEYS = Object.keys(COMPONENT_SPECS);

/** Where a finding about the settings stands. */
interface Reader {
  readonly file: string;
  readonly lines: LineCounter;
  readonly document: Document;
  readonly findings: Finding[];
}

/**
 * The settings of a `settings.yaml`, with a finding for every key or value that was not taken; defaults fill the gaps.
 * A text that is not YAML gives one finding and the defaults. Component names may be codes or shop words.
 */
export function parseSettings(yamlText: string, fileName: string): {settings: Settings; findings: Finding[]} {
  const lines = new LineCounter();
  const document = readYaml(yamlText, {lineCounter: lines, uniqueKeys: false});
  const reader: Reader = {file: fileName, lines, document, findings: []};
  const error = document.errors[0];
  if (error !== undefined) {
    const line = lines.linePos(error.pos[0]).line;
    const message = error.message.split("\n")[0]?.replace(/ at line \d+, column \d+:?$/, "") ?? "";
    tell(
      reader,
      line,
      null,
      null,
      `the settings are not valid YAML: ${message}`,
      "mend the line; until then every default is used",
    );
    return {settings: DEFAULT_SETTINGS, findings: reader.findings};
  }
  const root = document.contents;
  if (root === null || (isScalar(root) && root.value === null)) return {settings: DEFAULT_SETTINGS, findings: []};
  if (!isMap(root)) {
    tell(
      reader,
      1,
      null,
      null,
      "the settings hold no keys",
      "write one `key: value` a line; until then every default is used",
    );
    return {settings: DEFAULT_SETTINGS, findings: reader.findings};
  }
  return {settings: readSettings(root, reader), findings: reader.findings};
}

function readSettings(root: YAMLMap, reader: Reader): Settings {
  const settings: Record<string, unknown> = {...DEFAULT_SETTINGS};
  for (const [key, node] of entries(root, reader, "")) {
    const spec = own(SETTING_SPECS, key);
    if (spec !== undefined) take(settings, key, spec, node, reader, key);
    else if (key === "flow_regime") settings[key] = readFlowRegime(node, reader);
    else if (key === "service") settings[key] = readService(node, reader);
    else if (key === "components") settings[key] = readComponents(node, reader);
    else if (key === "fleets") settings[key] = readFleets(node, reader);
    else unknownKey(reader, node, key, "", TOP_KEYS);
  }
  return settings as unknown as Settings;
}

function readFlowRegime(node: Entry, reader: Reader): Settings["flow_regime"] {
  const read = readSection(node, reader, {path: "flow_regime", specs: FLOW_REGIME_SPECS}, DEFAULT_SETTINGS.flow_regime);
  return read as unknown as Settings["flow_regime"];
}

function readService(node: Entry, reader: Reader): ServiceSettings {
  const read = readSection(node, reader, {path: "service", specs: SERVICE_SPECS}, DEFAULT_SETTINGS.service);
  return read as unknown as ServiceSettings;
}

/** A section of keys that hold one value each; defaults fill the gaps. */
function readSection(
  node: Entry,
  reader: Reader,
  {path, specs}: {readonly path: string; readonly specs: Readonly<Record<string, SettingSpec>>},
  usual: object,
): Record<string, unknown> {
  const values: Record<string, unknown> = {...usual};
  for (const [key, value] of section(node, reader, path)) {
    const spec = own(specs, key);
    if (spec === undefined) unknownKey(reader, value, key, `${path}.`, Object.keys(specs));
    else take(values, key, spec, value, reader, `${path}.${key}`);
  }
  return values;
}

function readComponents(node: Entry, reader: Reader): Settings["components"] {
  const overrides = readOverrides(node, reader, "components");
  const components: Record<string, ComponentSettings> = {...DEFAULT_SETTINGS.components};
  for (const [code, values] of Object.entries(overrides)) {
    const before = components[code];
    if (before !== undefined) components[code] = {...before, ...values};
  }
  return components;
}

function readFleets(node: Entry, reader: Reader): Settings["fleets"] {
  const fleets: Record<string, FleetSettings> = {};
  for (const [fleet, value] of section(node, reader, "fleets")) {
    const path = `fleets.${fleet}`;
    for (const [key, inner] of section(value, reader, path)) {
      if (key === "components") fleets[fleet] = {components: readOverrides(inner, reader, `${path}.components`)};
      else unknownKey(reader, inner, key, `${path}.`, ["components"]);
    }
    fleets[fleet] ??= {components: {}};
  }
  return fleets;
}

/** What a `components` section says, keyed by code. */
function readOverrides(node: Entry, reader: Reader, path: string): Record<string, Partial<ComponentSettings>> {
  const overrides: Record<string, Partial<ComponentSettings>> = {};
  for (const [name, value] of section(node, reader, path)) {
    const {kind, code} = componentMeaning(name);
    if (code === null || kind === "near") {
      const labels = COMPONENT_CODES.map((known) => `${known} (${COMPONENTS[known]?.label ?? known})`).join(", ");
      const hint = code === null ? "" : `; did you mean ${COMPONENTS[code]?.label ?? code}?`;
      tell(
        reader,
        value.line,
        `${path}.${name}`,
        name,
        `there is no component "${name}"${hint}`,
        `use one of ${labels}`,
      );
      continue;
    }
    const taken: Record<string, unknown> = {};
    for (const [key, inner] of section(value, reader, `${path}.${name}`)) {
      const spec = own(COMPONENT_SPECS, key);
      if (spec === undefined) unknownKey(reader, inner, key, `${path}.${name}.`, COMPONENT_KEYS);
      else take(taken, key, spec, inner, reader, `${path}.${name}.${key}`);
    }
    overrides[code] = {...overrides[code], ...taken};
  }
  return overrides;
}

/** A value of the file and the line its key stands in. */
interface Entry {
  readonly node: Node | null;
  readonly line: number;
}

/** The keys of a section, or none and a finding where it is no section; an empty section has no keys. */
function section(entry: Entry, reader: Reader, path: string): [string, Entry][] {
  const node = resolved(entry.node, reader);
  if (isMap(node)) return entries(node, reader, `${path}.`);
  if (node !== null && !(isScalar(node) && node.value === null))
    tell(
      reader,
      entry.line,
      path,
      asWritten(node, reader),
      `${path} is a section of keys, not a value`,
      `write the keys of ${path} indented below it`,
    );
  return [];
}

function entries(map: YAMLMap, reader: Reader, path: string): [string, Entry][] {
  const found = new Map<string, Entry>();
  for (const {key, value} of map.items) {
    const name = isScalar(key) ? String(key.value) : String(key);
    const offset = isScalar(key) ? (key.range?.[0] ?? 0) : 0;
    const entry = {node: (value ?? null) as Node | null, line: reader.lines.linePos(offset).line};
    if (found.has(name)) {
      tell(reader, entry.line, path + name, name, `${path}${name} is given twice`, "keep one; the last one is used");
    }
    found.set(name, entry);
  }
  return [...found];
}

/** Puts a value where it belongs if its schema accepts it, else leaves the default and says so. */
function take(
  into: Record<string, unknown>,
  key: string,
  spec: SettingSpec,
  entry: Entry,
  reader: Reader,
  path: string,
) {
  const node = resolved(entry.node, reader);
  const value = plainValue(node, reader);
  const result = v.safeParse(spec.schema, value);
  if (result.success) into[key] = result.output;
  else
    tell(
      reader,
      entry.line,
      path,
      asWritten(node, reader),
      `${path} cannot be ${asWritten(node, reader) ?? "empty"}`,
      `give ${spec.accepts}; until then the default is used`,
    );
}

function unknownKey(reader: Reader, entry: Entry, key: string, path: string, known: readonly string[]) {
  const near = nearest(key.toLowerCase(), known);
  const hint = near === null ? "" : `; did you mean ${near}?`;
  tell(
    reader,
    entry.line,
    path + key,
    key,
    `there is no setting ${path}${key}${hint}`,
    `known here: ${known.join(", ")}`,
  );
}

function tell(
  reader: Reader,
  line: number | null,
  column: string | null,
  found: string | null,
  message: string,
  remedy: string,
) {
  reader.findings.push({
    kind: "set aside",
    rule: "settings",
    file: reader.file,
    line,
    column,
    found,
    taken: null,
    message,
    remedy,
  });
}

function resolved(node: Node | null, reader: Reader): Node | null {
  return isAlias(node) ? (node.resolve(reader.document) ?? null) : node;
}

/** What YAML says a node is; undefined where its aliases would grow without end. */
function plainValue(node: Node | null, reader: Reader): unknown {
  try {
    return node === null ? null : node.toJS(reader.document, {maxAliasCount: 100});
  } catch {
    return undefined;
  }
}

function asWritten(node: Node | null, reader: Reader): string | null {
  if (node === null) return null;
  if (isScalar(node)) return node.value === null ? null : String(node.value);
  const value = plainValue(node, reader);
  return value === undefined ? "a tangle of aliases" : JSON.stringify(value);
}

function own<T>(record: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(record, key) ? record[key] : undefined;
}

/** The costs and policy of a component in a fleet: the fleet's own where it has any, else the shop's. */
export function componentSettings(
  settings: Settings,
  component: string,
  fleet: string | null,
): ComponentSettings | null {
  const common = own(settings.components, component);
  if (common === undefined) return null;
  const fleetOwn = fleet === null ? undefined : own(settings.fleets, fleet);
  return {...common, ...(fleetOwn === undefined ? {} : own(fleetOwn.components, component))};
}
