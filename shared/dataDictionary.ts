/** The data dictionary, written from the one definition that the importer reads too. */
import {CHECKED_RUN_COLUMNS, REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "./columns.ts";
import {LIFE_COLUMNS} from "./lifeColumns.ts";
import {COMPONENT_SPECS, FLOW_REGIME_SPECS, SERVICE_SPECS, SETTING_SPECS, type SettingSpec} from "./settings.ts";
import {canonicalUnit, UNITS} from "./units.ts";
import {COMPONENTS, MODES, MUDS, REGIMES} from "./vocabulary/index.ts";

type Specs = Readonly<Record<string, ColumnSpec>>;

/** Markdown: every column, code and setting with its unit and its meaning. */
export function dataDictionary(): string {
  return [
    "# Data dictionary",
    "",
    "Generated from the program's own definitions; it is what the importer reads, not a description of it.",
    "",
    "Headers may be written in any case, with spaces, dashes or underscores, by one of the other names, and may carry a",
    "unit in brackets or behind a comma (`Flow rate [gpm]`); values are converted to the unit given here. A bold column is",
    "required. A row that lacks one is set aside with a finding.",
    "",
    ...section(
      "Run log",
      "One row for each tool and run: files named `runs…`.",
      columnTable({...RUN_COLUMNS, ...CHECKED_RUN_COLUMNS}),
    ),
    ...section(
      "Rebuild log",
      "One row for each component looked at: files named `rebuilds…`. Besides the bold columns, `found` or `mode` is needed.",
      columnTable(REBUILD_COLUMNS),
    ),
    ...section(
      "Ready-made life table",
      "For those who already have lives. `time`, or `lower` and `upper`, is needed; every other column is kept for grouping.",
      columnTable(LIFE_COLUMNS),
    ),
    ...section(
      "Units",
      "What a header or a cell may carry. The first is the one that the columns above are in.",
      unitTable(),
    ),
    ...section("Components", "", componentTable()),
    ...section("Muds", "Ranges are usual ones, no limits.", mudTable()),
    ...section("Flow regimes", "", regimeTable()),
    ...section(
      "Failure modes",
      "What is seen, how it came about, and why, kept apart. A star marks a mode that the shop causes.",
      modeTable(),
    ),
    ...section("Settings", "`settings.yaml`; every key may be left out.", settingTable(SETTING_SPECS, "")),
    ...section("Settings of the flow regime", "Below `flow_regime:`.", settingTable(FLOW_REGIME_SPECS, "")),
    ...section("Settings of a service", "Below `service:`.", settingTable(SERVICE_SPECS, "")),
    ...section(
      "Settings of a component",
      "Below `components:` and the component, and again below `fleets:`, the fleet and `components:` where a fleet differs.",
      settingTable(COMPONENT_SPECS, ""),
    ),
  ].join("\n");
}

function section(title: string, says: string, rows: readonly string[]): string[] {
  return [`## ${title}`, "", ...(says === "" ? [] : [says, ""]), ...rows, ""];
}

function table(heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const line = (cells: readonly string[]): string =>
    `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
  return [line(heads), line(heads.map(() => "---")), ...rows.map(line)];
}

function columnTable(specs: Specs): string[] {
  const rows = Object.entries(specs).map(([name, spec]) => [
    spec.required === true ? `**\`${name}\`**` : `\`${name}\``,
    kindOf(spec),
    spec.meaning + (spec.oneOf === undefined ? "" : `: ${spec.oneOf.join(", ")}`),
    spec.plausible === undefined ? "" : spec.plausible.map(plain).join(" to "),
    spec.aliases.slice(0, 5).join(", "),
  ]);
  return table(["column", "type, unit", "meaning", "usual range", "also called"], rows);
}

function kindOf({type, quantity}: ColumnSpec): string {
  const unit = quantity === undefined ? "" : canonicalUnit(quantity);
  return unit === "" ? type : `${type}, ${unit}`;
}

function unitTable(): string[] {
  const rows = Object.entries(UNITS)
    .filter(([, units]) => units.some(({symbol}) => symbol !== ""))
    .map(([quantity, units]) => [quantity, units.map(({symbol}) => symbol || "as counted").join(", ")]);
  return table(["quantity", "units"], rows);
}

function componentTable(): string[] {
  const rows = Object.entries(COMPONENTS).map(([code, part]) => [
    `\`${code}\``,
    part.label,
    part.does,
    part.wornBy,
    part.measures.join(", "),
  ]);
  return table(["code", "part", "what it does", "worn by", "measured"], rows);
}

function mudTable(): string[] {
  const range = (values: readonly [number, number] | null): string =>
    values === null ? "" : values.map(plain).join(" to ");
  const rows = Object.entries(MUDS).map(([code, mud]) => [
    `\`${code}\``,
    mud.label,
    mud.describes,
    range(mud.density),
    mud.elastomers,
    mud.hardParts,
  ]);
  return table(["code", "mud", "what it is", "relative density", "elastomers", "hard parts"], rows);
}

function regimeTable(): string[] {
  return table(
    ["code", "regime", "by"],
    Object.entries(REGIMES).map(([code, {label, by}]) => [`\`${code}\``, label, by]),
  );
}

function modeTable(): string[] {
  const rows = Object.entries(MODES).map(([code, mode]) => [
    `\`${code}\`${mode.serviceInduced ? " *" : ""}`,
    mode.label,
    mode.mechanism,
    mode.cause,
    mode.detection,
    mode.activity,
  ]);
  return table(["code", "seen", "mechanism", "cause", "found by", "activity"], rows);
}

function settingTable(specs: Readonly<Record<string, SettingSpec>>, prefix: string): string[] {
  const rows = Object.entries(specs).map(([key, spec]) => [
    `\`${prefix}${key}\``,
    spec.meaning,
    spec.effect,
    spec.accepts,
  ]);
  return table(["key", "meaning", "effect", "accepts"], rows);
}

function plain(value: number): string {
  return value.toLocaleString("en", {maximumFractionDigits: 3});
}
