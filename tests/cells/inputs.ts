/** Cell inputs from a few hand-written rows, so that every figure of a test can be checked by eye. */
import {wordsOf, type Words} from "../../shared/columnar.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import {NO_DECISIONS, type IntervalDecision} from "../../shared/register.ts";
import {DEFAULT_SETTINGS, type Settings} from "../../shared/settings.ts";
import type {CellEffects, CellInputs, Where} from "../../src/cells/contract.ts";
import {FAILURE_CLASSES, type FailureClass, type FailureTable} from "../../src/lives/failureTable.ts";
import {LIFE_ENDINGS, type LifeEnding, type LifeTable} from "../../src/lives/lifeTable.ts";
import type {RebuildTable, RunTable} from "../../src/logs/logTable.ts";

export interface RunRow {
  readonly tool?: string;
  readonly fleet?: string | null;
  readonly hours: number;
  readonly mud?: string;
  readonly regime?: string;
  readonly end?: string;
}

export interface FailureRow {
  readonly component: string | null;
  readonly tool?: string;
  readonly mode?: string;
  readonly what?: FailureClass;
  readonly fleet?: string;
  readonly shop?: boolean;
  readonly lost?: number;
  readonly run?: number;
  readonly mud?: string;
  readonly regime?: string;
  readonly date?: string;
  readonly sinceRebuild?: number;
}

export interface RebuildRow {
  readonly tool?: string;
  readonly component?: string;
  readonly date: string;
  readonly measure?: string;
  readonly measured?: number;
  readonly limit?: number;
}

export interface LifeRow {
  readonly component?: string;
  readonly tool?: string;
  readonly fleet?: string;
  readonly lot?: string;
  readonly entry?: number;
  readonly lower: number;
  readonly upper?: number;
  readonly ending?: LifeEnding;
  readonly mode?: string | null;
  readonly shop?: boolean;
  /** hours in each condition, in run order; by default all in `KCL medium` */
  readonly spent?: readonly {
    readonly mud: string;
    readonly regime: string;
    readonly hours: number;
    readonly run?: number;
  }[];
  readonly began?: string;
  readonly ended?: string;
}

export interface Rows {
  readonly runs?: readonly RunRow[];
  readonly failures?: readonly FailureRow[];
  readonly lives?: readonly LifeRow[];
  readonly rebuilds?: readonly RebuildRow[];
  readonly findings?: readonly Finding[];
  readonly counts?: readonly RowCount[];
  readonly settings?: Partial<Settings>;
  readonly where?: Where;
  readonly decisions?: readonly IntervalDecision[];
}

const time = (day: string | undefined) => Date.parse(day ?? "2024-06-01");

export function inputsOf({
  runs = [],
  failures = [],
  lives = [],
  rebuilds = [],
  findings = [],
  counts = [],
  settings = {},
  where = {},
  decisions = [],
}: Rows): CellInputs {
  const table = lifeTable(lives);
  return {
    runs: runTable(runs),
    rebuilds: rebuildTable(rebuilds),
    lives: table,
    all: table,
    failures: failureTable(failures),
    conditions: {
      velocity_mps: new Float64Array(runs.length).fill(7.5),
      reynolds: new Float64Array(runs.length).fill(10_000),
      reynoldsClass: wordsOf(runs.map(() => "turbulent")),
      velocityBand: wordsOf(runs.map(({regime = "medium"}) => regime)),
      mud: wordsOf(runs.map(({mud = "KCL"}) => mud)),
      regime: wordsOf(runs.map(({regime = "medium"}) => regime)),
      bands: [6, 9],
      bandsFrom: "settings",
      convention: "velocity around the tool",
      findings: [],
    },
    findings,
    counts,
    settings: {...DEFAULT_SETTINGS, ...settings},
    register: {...NO_DECISIONS, decisions},
    where,
    bands: [6, 9],
    regimeConvention: "velocity around the tool",
  };
}

export function effects(): CellEffects & {readonly reported: [number, number][]} {
  const reported: [number, number][] = [];
  return {reported, progress: (done, of) => reported.push([done, of]), signal: new AbortController().signal};
}

function emptyColumns(
  specs: Readonly<Record<string, ColumnSpec>>,
  rows: number,
): Record<string, Words | Float64Array | Int8Array> {
  const column = ({type}: ColumnSpec) =>
    type === "text"
      ? wordsOf(Array.from({length: rows}, () => null))
      : type === "flag"
        ? new Int8Array(rows).fill(-1)
        : new Float64Array(rows).fill(NaN);
  return Object.fromEntries(Object.entries(specs).map(([name, spec]) => [name, column(spec)]));
}

function runTable(rows: readonly RunRow[]): RunTable {
  return {
    rows: rows.length,
    file: wordsOf(rows.map(() => "runs.csv")),
    line: Int32Array.from(rows, (_, i) => i + 2),
    columns: {
      ...emptyColumns(RUN_COLUMNS, rows.length),
      run: wordsOf(rows.map((_, i) => String(i + 1))),
      tool: wordsOf(rows.map(({tool = "T1"}) => tool)),
      fleet: wordsOf(rows.map(({fleet}) => (fleet === undefined ? "Alder" : fleet))),
      end: Float64Array.from(rows, ({end}) => time(end)),
      circulating_h: Float64Array.from(rows, ({hours}) => hours),
    },
  } as RunTable;
}

function rebuildTable(rows: readonly RebuildRow[]): RebuildTable {
  return {
    rows: rows.length,
    file: wordsOf(rows.map(() => "rebuilds.csv")),
    line: Int32Array.from(rows, (_, i) => i + 2),
    columns: {
      ...emptyColumns(REBUILD_COLUMNS, rows.length),
      tool: wordsOf(rows.map(({tool = "T1"}) => tool)),
      component: wordsOf(rows.map(({component = "LINR"}) => component)),
      position: wordsOf(rows.map(() => "1")),
      date: Float64Array.from(rows, ({date}) => time(date)),
      measure: wordsOf(rows.map(({measure = "bore"}) => measure)),
      measured_mm: Float64Array.from(rows, ({measured = NaN}) => measured),
      limit_mm: Float64Array.from(rows, ({limit = NaN}) => limit),
    },
  } as RebuildTable;
}

function failureTable(rows: readonly FailureRow[]): FailureTable {
  const word = (of: (row: FailureRow) => string | null | undefined) => wordsOf(rows.map((row) => of(row) ?? null));
  return {
    rows: rows.length,
    date: Float64Array.from(rows, ({date}) => time(date)),
    tool: word(({tool = "T1"}) => tool),
    fleet: word(({fleet = "Alder"}) => fleet),
    component: word(({component}) => component),
    position: word(() => null),
    mode: word(({mode, component}) => mode ?? (component === null ? null : `${component}-UNK`)),
    mechanism: word(() => null),
    serviceInduced: Uint8Array.from(rows, ({shop = false}) => (shop ? 1 : 0)),
    failureClass: Uint8Array.from(rows, ({what = "F1"}) => FAILURE_CLASSES.indexOf(what)),
    lostHours: Float64Array.from(rows, ({lost = 0}) => lost),
    mud: word(({mud = "KCL"}) => mud),
    regime: word(({regime = "medium"}) => regime),
    sinceRebuild: Float64Array.from(rows, ({sinceRebuild = NaN}) => sinceRebuild),
    run: Int32Array.from(rows, ({run}, i) => run ?? i),
    rebuild: Int32Array.from(rows, (_, i) => i),
    life: Int32Array.from(rows, () => -1),
  };
}

export function lifeTable(rows: readonly LifeRow[]): LifeTable {
  const word = (of: (row: LifeRow) => string | null | undefined) => wordsOf(rows.map((row) => of(row) ?? null));
  const spent = rows.map((row) => {
    const age = Number.isFinite(row.upper ?? Infinity) ? row.upper! : row.lower;
    return row.spent ?? [{mud: "KCL", regime: "medium", hours: age - (row.entry ?? 0), run: -1}];
  });
  const muds = [...new Set(["KCL", ...spent.flat().map(({mud}) => mud)])];
  const regimes = [...new Set(["medium", ...spent.flat().map(({regime}) => regime)])];
  const own = spent.map((stretches) => {
    const whole = stretches.reduce((sum, {hours}) => sum + hours, 0);
    const main = stretches.find(({mud, regime}) => {
      const same = stretches
        .filter((s) => s.mud === mud && s.regime === regime)
        .reduce((sum, {hours}) => sum + hours, 0);
      return same >= 0.8 * whole;
    });
    return main ?? {mud: "mixed", regime: "mixed"};
  });
  const offsets = [0];
  for (const stretches of spent) offsets.push(offsets.at(-1)! + stretches.length);
  const flat = spent.flat();
  const failed = (row: LifeRow) => (row.upper ?? Infinity) < Infinity;
  return {
    rows: rows.length,
    component: word(({component = "SEAL"}) => component),
    tool: word(({tool = "T1"}) => tool),
    fleet: word(({fleet = "Alder"}) => fleet),
    position: word(() => "1"),
    partNumber: word(() => null),
    lot: word(({lot}) => lot),
    partSerial: word(() => null),
    shop: word(() => "Alder base"),
    entry: Float64Array.from(rows, ({entry = 0}) => entry),
    lower: Float64Array.from(rows, ({lower}) => lower),
    upper: Float64Array.from(rows, ({upper = Infinity}) => upper),
    ageAtEnd: Float64Array.from(rows, (row) => (failed(row) ? row.upper! : row.lower)),
    ending: Uint8Array.from(rows, (row) =>
      LIFE_ENDINGS.indexOf(
        row.ending ??
          (failed(row) ? (row.lower === row.upper ? "failed in run" : "found at teardown") : "renewed good"),
      ),
    ),
    mode: word((row) => (row.mode === undefined ? (failed(row) ? `${row.component ?? "SEAL"}-GEN` : null) : row.mode)),
    serviceInduced: Uint8Array.from(rows, ({shop = false}) => (shop ? 1 : 0)),
    began: Float64Array.from(rows, ({began = "2024-01-01"}) => time(began)),
    ended: Float64Array.from(rows, ({ended = "2024-06-01"}) => time(ended)),
    beganRow: new Int32Array(rows.length).fill(-1),
    endedRow: new Int32Array(rows.length).fill(-1),
    lastRun: new Int32Array(rows.length).fill(-1),
    mud: wordsOf(own.map(({mud}) => mud)),
    regime: wordsOf(own.map(({regime}) => regime)),
    exposure: {
      offsets: Int32Array.from(offsets),
      hours: Float64Array.from(flat, ({hours}) => hours),
      mud: Int32Array.from(flat, ({mud}) => muds.indexOf(mud)),
      regime: Int32Array.from(flat, ({regime}) => regimes.indexOf(regime)),
      run: Int32Array.from(flat, ({run = -1}) => run),
      muds,
      regimes,
    },
  };
}
