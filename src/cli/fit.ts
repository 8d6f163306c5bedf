/** `fit FILE.csv`: life fits of a ready-made life table, one per group. */
import {basename} from "node:path";
import {wordAt, type Words} from "../../shared/columnar.ts";
import {readLifeTable, type ReadyLives} from "../logs/index.ts";
import {
  bootstrapLife,
  fitLife,
  lifeData,
  runToEnd,
  selectLives,
  type Family,
  type LifeData,
  type LimitsBy,
} from "../statistics/index.ts";
import {CommandError, type Effects} from "./effects.ts";
import {fitJson, type FitJson} from "./fitJson.ts";
import {readBytes} from "./folder.ts";
import {digits, limitsText, textTable} from "./textTable.ts";

export interface FitCommandOptions {
  readonly family: Family;
  readonly by?: readonly string[];
  readonly mode?: string;
  readonly shape?: number;
  readonly level: number;
  readonly limits: LimitsBy;
  readonly at?: readonly number[];
  readonly json?: true;
}

/** @throws CommandError: bad usage for a column or mode that is not there, bad input for a file without a life */
export async function fit(path: string, options: FitCommandOptions, effects: Effects): Promise<void> {
  if (options.shape !== undefined && options.family !== "weibull") {
    throw new CommandError(`--shape holds the shape of a Weibull, got --family ${options.family}`, 2);
  }
  const name = basename(path);
  const ready = await readLifeTable({name, bytes: await readBytes(path)});
  for (const {kind, line, message, remedy} of ready.findings) {
    effects.say(`${name}${line === null ? "" : ` line ${line}`}: ${kind}: ${message}; ${remedy}`);
  }
  if (ready.rows === 0) throw new CommandError(`${name} holds no life that can be fitted`, 1);
  const data = dataOf(ready, options.mode, name);
  const fits = groupsOf(ready, options.by ?? [], name).map(({group, rows}) =>
    fitGroup(group, selectLives(data, rows), toolsOf(ready, rows), options),
  );
  if (options.json) effects.print(JSON.stringify(fits, null, 2));
  else print(fits, effects);
}

/** Same input, same limits: the resampling always starts here. */
const SEED = 20_240_101;

function fitGroup(
  group: FitJson["group"],
  data: LifeData,
  tools: Int32Array | null,
  {family, shape, level, limits: by, at = []}: FitCommandOptions,
): FitJson {
  const outcome = fitLife(data, {family, shape});
  const cautions: string[] = [];
  let replicates;
  if (by === "bootstrap" && outcome.fitted) {
    if (tools === null) cautions.push("the lives name no tool, so each was resampled by itself");
    const options = {seed: SEED, ...(tools === null ? {} : {group: tools})};
    replicates = runToEnd(bootstrapLife(data, outcome, options)) ?? undefined;
  }
  return fitJson({group, data, outcome, options: {level, by, replicates}, heldShape: shape, at, cautions});
}

/** Which tool each life was in, so that parts that shared one stay together when resampled; null where unknown. */
function toolsOf({columns}: ReadyLives, rows: Int32Array): Int32Array | null {
  const name = Object.keys(columns).find((header) => header.toLowerCase() === "tool");
  const column = name === undefined ? undefined : columns[name];
  return column === undefined || column instanceof Float64Array ? null : rows.map((row) => column.codes[row] ?? -1);
}

/** With a mode asked for, a failure by any other is a suspension at the age at which it was found. */
function dataOf(
  {lower, upper, entry, count, mode, rows}: ReadyLives,
  asked: string | undefined,
  name: string,
): LifeData {
  if (asked === undefined) return lifeData({lower, upper, entry, weight: count});
  const code = mode.words.findIndex((word) => word.toLowerCase() === asked.toLowerCase());
  if (code < 0) {
    const known = mode.words.length === 0 ? "it has no mode at all" : `its modes are ${mode.words.join(", ")}`;
    throw new CommandError(`no life of ${name} ended by mode ${asked}; ${known}`, 2);
  }
  const from = new Float64Array(rows);
  const to = new Float64Array(rows);
  for (let row = 0; row < rows; row++) {
    const counts = upper[row] === Infinity || mode.codes[row] === code;
    from[row] = counts ? lower[row]! : upper[row]!;
    to[row] = counts ? upper[row]! : Infinity;
  }
  return lifeData({lower: from, upper: to, entry, weight: count});
}

/** Rows of each group, in the order in which the groups first appear. */
function groupsOf(
  ready: ReadyLives,
  by: readonly string[],
  name: string,
): {group: Record<string, string>; rows: Int32Array}[] {
  const columns = by.map((wanted) => ({wanted, cell: cellReader(ready, wanted, name)}));
  const groups = new Map<string, {group: Record<string, string>; rows: number[]}>();
  for (let row = 0; row < ready.rows; row++) {
    const group = Object.fromEntries(columns.map(({wanted, cell}) => [wanted, cell(row)]));
    const key = JSON.stringify(group);
    const known = groups.get(key);
    if (known) known.rows.push(row);
    else groups.set(key, {group, rows: [row]});
  }
  return [...groups.values()].map(({group, rows}) => ({group, rows: Int32Array.from(rows)}));
}

function cellReader({columns, mode}: ReadyLives, wanted: string, name: string): (row: number) => string {
  const found = Object.keys(columns).find((header) => header.toLowerCase() === wanted.toLowerCase());
  const column: Words | Float64Array | undefined =
    found === undefined ? (wanted.toLowerCase() === "mode" ? mode : undefined) : columns[found];
  if (column === undefined) {
    const known = Object.keys(columns).join(", ") || "none";
    throw new CommandError(`${name} has no column ${wanted} to group by; its other columns are: ${known}`, 2);
  }
  if (column instanceof Float64Array) return (row) => (Number.isNaN(column[row]) ? "" : String(column[row]));
  return (row) => wordAt(column, row) ?? "";
}

function print(fits: readonly FitJson[], {print}: Effects): void {
  for (const fit of fits) {
    const group = Object.entries(fit.group).map(([name, value]) => `${name} ${value === "" ? "(blank)" : value}`);
    print(
      `${group.length > 0 ? `${group.join(", ")}: ` : ""}${fit.family}, ${fit.lives} lives, ${fit.failures} failures`,
    );
    const names = Object.keys(fit.limits) as ("shape" | "scale" | "location" | "spread")[];
    if (fit.logLikelihood !== null) {
      print(
        textTable([
          {
            label: "",
            values: [
              ...names,
              ...fit.quantiles.map(({p}) => `B${digits(p * 100)} life`),
              ...fit.reliability.map(({at}) => `reliability at ${at}`),
            ],
          },
          {
            label: "estimate",
            values: [
              ...names.map((key) => digits(fit[key] ?? null)),
              ...fit.quantiles.map(({age}) => digits(age)),
              ...fit.reliability.map(({estimate}) => digits(estimate)),
            ],
          },
          {
            label: `${digits(fit.level * 100)} % limits (${fit.limitsBy})`,
            values: [
              ...names.map((key) => limitsText(fit.limits[key]!)),
              ...fit.quantiles.map(({limits}) => limitsText(limits)),
              ...fit.reliability.map(({limits}) => limitsText(limits)),
            ],
          },
        ]),
      );
      print(`log-likelihood ${digits(fit.logLikelihood, 7)}, AICc ${digits(fit.aicc, 7) ?? "–"}`);
    }
    for (const caution of fit.cautions) print(`caution: ${caution}`);
    print("");
  }
}
