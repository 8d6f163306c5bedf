/**
 * The conditions every run ran in: mud, velocity around the tool and its band, Reynolds number and its class.
 *
 * Convention. Reynolds numbers follow API RP 13D, 2006 and later form, for the annulus between the tool and the bore of
 * its collar. Of the three conventions in use (reynolds.ts) this is the edition in force; it alone takes a yield stress
 * and gives one number with one laminar law, 16/Re, for pipe and annulus. The older forms read the same flow 20 to 50 %
 * higher, so numbers of different conventions must not stand on one chart: `convention` is printed wherever one stands.
 *
 * Flow past such a tool is nearly always turbulent, so the velocity band is what splits a fleet by default.
 */
import {quantileSorted} from "d3";
import {wordAt, wordsOf, type Words} from "../../shared/columnar.ts";
import type {Finding} from "../../shared/findings.ts";
import type {Settings} from "../../shared/settings.ts";
import {MUDS} from "../../shared/vocabulary/index.ts";
import type {RunTable} from "../logs/logTable.ts";
import {reynoldsClassOf} from "./criticalNumbers.ts";
import {reynolds2006} from "./reynolds.ts";
import {herschelBulkley, readingsOf, type Fluid} from "./rheology.ts";
import {annulusVelocity} from "./velocity.ts";

export type VelocityBands = readonly [mediumFrom: number, highFrom: number];

/** One entry a run, in the order of the run table. */
export interface RunConditions {
  /** bulk velocity between tool and collar bore, m/s; NaN where flow, bore or tool diameter is missing */
  readonly velocity_mps: Float64Array;
  /** generalized Reynolds number; NaN where velocity, density or rheology is missing */
  readonly reynolds: Float64Array;
  readonly reynoldsClass: Words;
  /** low, medium, high or unknown */
  readonly velocityBand: Words;
  /** mud code; UNK where the log does not say */
  readonly mud: Words;
  /** the grouping the settings ask for: velocity band, Reynolds class or the range the shop logged */
  readonly regime: Words;
  /** bands in force, m/s: medium from the first, high from the second */
  readonly bands: VelocityBands;
  /** where the bands come from, in words */
  readonly bandsFrom: "settings" | "the log's terciles" | "trade practice";
  /** convention behind the regimes, as printed on charts */
  readonly convention: string;
  /** runs that conditions cannot rest on: air and mist, a bore smaller than the tool, readings that fit no flow law */
  readonly findings: readonly Finding[];
}

/** Bands where neither settings nor log give any; common practice, m/s (trade notes). */
const USUAL_BANDS: VelocityBands = [6, 9];
/** Fewer runs of known velocity than this give no terciles worth the name. */
const LEAST_RUNS_FOR_TERCILES = 6;

/** The one convention of every Reynolds number here, as printed beside it. */
export const REYNOLDS_CONVENTION =
  "Reynolds number after API RP 13D (2006 and later form) in the annulus between tool and collar bore: laminar below 3470 − 1370 n, turbulent above 4270 − 1370 n";

export function runConditions(runs: RunTable, settings: Pick<Settings, "flow_regime">): RunConditions {
  const {flow_lpm, bore_mm, tool_od_mm, density_kgm3, mud, flow_range} = runs.columns;
  const findings: Finding[] = [];
  const pulseless = pulselessMuds(mud);
  const velocity = new Float64Array(runs.rows);
  const reynolds = new Float64Array(runs.rows);
  const classes: string[] = [];
  for (let run = 0; run < runs.rows; run++) {
    const bore = bore_mm[run]!;
    const tool = tool_od_mm[run]!;
    const air = pulseless.has(mud.codes[run]!);
    if (air) findings.push(doubt(runs, run, "mud", wordAt(mud, run), AIR));
    if (bore <= tool) findings.push(doubt(runs, run, "bore_mm", `${bore} mm bore, ${tool} mm tool`, BORE));
    const v = air ? NaN : annulusVelocity(flow_lpm[run]!, {bore_mm: bore, tool_od_mm: tool});
    velocity[run] = v;
    const fluid = fluidOf(runs, run);
    if (fluid === "no law") findings.push(doubt(runs, run, "pv_mPas", null, RHEOLOGY));
    const known = fluid !== "no law" && fluid !== "not logged";
    const re = known
      ? reynolds2006(
          {
            density_kgm3: density_kgm3[run]!,
            velocity_mps: v,
            passage: {kind: "annulus", width_m: (bore - tool) / 1000},
          },
          fluid,
        )
      : NaN;
    reynolds[run] = re;
    classes.push(known ? reynoldsClassOf(re, fluid.index) : "unknown");
  }
  const {bands, bandsFrom} = bandsFor(velocity, settings.flow_regime.bands_mps);
  const velocityBand = wordsOf(Array.from(velocity, (v) => velocityBandOf(v, bands)));
  const reynoldsClass = wordsOf(classes);
  const by = settings.flow_regime.by;
  return {
    velocity_mps: velocity,
    reynolds,
    reynoldsClass,
    velocityBand,
    mud: filled(mud, "UNK"),
    regime: by === "velocity" ? velocityBand : by === "reynolds" ? reynoldsClass : loggedRange(flow_range),
    bands,
    bandsFrom,
    convention: conventionOf(by, bands, bandsFrom),
    findings,
  };
}

/** The band of a velocity: low below the first, high from the second up; `unknown` where the velocity is. */
export function velocityBandOf(velocity_mps: number, [mediumFrom, highFrom]: VelocityBands): string {
  if (!(velocity_mps >= 0)) return "unknown";
  if (velocity_mps < mediumFrom) return "low";
  return velocity_mps < highFrom ? "medium" : "high";
}

/** Terciles of the known velocities, to a tenth of a m/s; null with too few runs or where they do not split them. */
export function proposedBands(velocity_mps: Float64Array): VelocityBands | null {
  const known = Array.from(velocity_mps.filter((v) => v >= 0).sort());
  if (known.length < LEAST_RUNS_FOR_TERCILES) return null;
  const tenth = (p: number): number => Math.round(10 * quantileSorted(known, p)!) / 10;
  const bands = [tenth(1 / 3), tenth(2 / 3)] as const;
  return bands[0] > 0 && bands[0] < bands[1] ? bands : null;
}

function bandsFor(velocity: Float64Array, given: VelocityBands | null): Pick<RunConditions, "bands" | "bandsFrom"> {
  if (given !== null) return {bands: given, bandsFrom: "settings"};
  const proposed = proposedBands(velocity);
  return proposed === null
    ? {bands: USUAL_BANDS, bandsFrom: "trade practice"}
    : {bands: proposed, bandsFrom: "the log's terciles"};
}

/** The mud's flow law: by all readings if they are there, else by PV and YP. */
export function fluidOf({columns}: RunTable, run: number): Fluid | "not logged" | "no law" {
  const r600 = columns.r600[run]!;
  const r300 = columns.r300[run]!;
  const r6 = columns.r6[run]!;
  const r3 = columns.r3[run]!;
  let read = false;
  if (r600 >= 0 && r300 >= 0) {
    read = true;
    const fluid = herschelBulkley(r6 >= 0 && r3 >= 0 ? {r600, r300, r6, r3} : {r600, r300});
    if (fluid.index > 0) return fluid;
  }
  const pv = columns.pv_mPas[run]!;
  const yp = columns.yp_Pa[run]!;
  if (!(pv >= 0 && yp >= 0)) return read ? "no law" : "not logged";
  const fluid = herschelBulkley(readingsOf({plasticViscosity_Pas: pv / 1000, yieldPoint_Pa: yp}));
  return fluid.index > 0 ? fluid : "no law";
}

const LOGGED: Readonly<Record<string, string>> = {
  l: "low",
  lo: "low",
  m: "medium",
  med: "medium",
  mid: "medium",
  h: "high",
  hi: "high",
};

/** The shop's own range, lower case; the usual abbreviations of low, medium and high are spelt out. */
function loggedRange(column: Words): Words {
  const words = column.words.map((word) => {
    const plain = word.trim().toLowerCase();
    return LOGGED[plain] ?? (plain === "" ? "unknown" : plain);
  });
  return filled({codes: column.codes, words}, "unknown");
}

/** The column with its missing entries filled, and equal words made one. */
function filled(column: Words, missing: string): Words {
  const words = [...new Set([...column.words, missing])];
  const index = new Map(words.map((word, code) => [word, code]));
  const codes = column.codes.map((code) => index.get(column.words[code] ?? missing)!);
  return {codes, words};
}

function pulselessMuds({words}: Words): ReadonlySet<number> {
  return new Set(words.flatMap((word, code) => (MUDS[word]?.carriesPulses === false ? [code] : [])));
}

function conventionOf(
  by: Settings["flow_regime"]["by"],
  bands: VelocityBands,
  from: RunConditions["bandsFrom"],
): string {
  if (by === "reynolds") return REYNOLDS_CONVENTION;
  if (by === "logged") return "flow range as the shop logged it";
  return `bulk velocity between tool and collar bore: low below ${bands[0]} m/s, high from ${bands[1]} m/s up (bands from ${from})`;
}

interface Doubt {
  readonly rule: string;
  readonly message: string;
  readonly remedy: string;
}

const AIR: Doubt = {
  rule: "mud-carries-no-pulse",
  message: "no mud pulse travels through air, mist or foam, so this run has no flow regime and its lives mean little",
  remedy: "check the mud of this run; leave the run out if it really was drilled on air",
};
const BORE: Doubt = {
  rule: "bore-not-above-tool",
  message: "the collar bore is not larger than the tool in it, so the velocity cannot be computed",
  remedy: "check bore_mm and tool_od_mm and their units",
};
const RHEOLOGY: Doubt = {
  rule: "rheology-no-law",
  message: "the readings, or PV and YP, fit no flow law, so the Reynolds number is unknown",
  remedy: "check R600 > R300 > 0 and 2·R3 − R6 below the yield point, or PV above 0",
};

function doubt(runs: RunTable, run: number, column: string, found: string | null, what: Doubt): Finding {
  return {
    kind: "doubted",
    rule: what.rule,
    file: wordAt(runs.file, run) ?? "runs",
    line: runs.line[run] ?? null,
    column,
    found,
    taken: "unknown",
    message: what.message,
    remedy: what.remedy,
  };
}
