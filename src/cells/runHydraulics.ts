/** Cell kind `run-hydraulics`: velocity past the tool, the mud's flow law, Reynolds number and what the flow does to wear. */
import {mean} from "simple-statistics";
import {wordAt} from "../../shared/columnar.ts";
import {shownUnit, type Quantity} from "../../shared/units.ts";
import {regimeLabel} from "../../shared/vocabulary/index.ts";
import {criticalReynolds, fluidOf, REYNOLDS_CONVENTION} from "../hydraulics/index.ts";
import type {CellInputs, CellKind} from "./contract.ts";
import {runsInView} from "./inView.ts";
import {params} from "./params.ts";
import {shownValue} from "./review/measured.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {onlySentence, sayCount, sayList, sayNumber, sayRegimes} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

/** Erosion grows with velocity to a power of 2 to 3: a planning band of the trade, from memory. */
const POWERS = [2, 3] as const;

interface Flow {
  readonly velocity: number;
  /** mean velocity of the fleet's other runs, hour by hour; NaN where none is known */
  readonly fleetVelocity: number;
  readonly fleetRuns: number;
  /** (velocity / fleetVelocity) to both powers; null where either is unknown */
  readonly erosion: readonly [number, number] | null;
  readonly fluid: {readonly index: number; readonly consistency: number; readonly yieldStress: number} | null;
  readonly reynolds: number;
  readonly reynoldsClass: string;
  readonly edges: {readonly laminarBelow: number; readonly turbulentAbove: number} | null;
  readonly missing: readonly string[];
}

type Result = NoSubject | {readonly found: true; readonly subject: Subject; readonly flow: Flow};

export const runHydraulics: CellKind<ReviewPicks, Result> = {
  kind: "run-hydraulics",
  summary:
    "Velocity past the tool in a run, the mud's flow law, its Reynolds number, and the velocity's weight in erosion.",
  schema,
  fields,
  example: "",

  compute(inputs, picks) {
    const subject = reviewSubject(inputs, picks);
    return subject.found ? {found: true, subject, flow: flowOf(inputs, subject)} : subject;
  },

  present(result, _picks, inputs) {
    if (!("flow" in result)) return onlySentence(result.sentence);
    const {subject, flow} = result;
    const rows = rowsOf(inputs, subject, flow);
    const known = rows.filter(([, value]) => value !== null);
    return {
      headline: headlineOf(inputs, subject, flow),
      figures: [],
      tables:
        known.length === 0
          ? []
          : [
              {
                name: "hydraulics",
                title: "Hydraulics of the run",
                columns: [
                  {name: "quantity", label: "quantity", values: known.map(([name]) => name)},
                  {name: "value", label: "value", format: "number", values: known.map(([, value]) => value)},
                  {name: "unit", label: "unit", values: known.map(([, , unit]) => unit)},
                ],
                note: `Flow classes: ${sayRegimes(inputs)}. ${REYNOLDS_CONVENTION}. Flow law: Herschel-Bulkley, from the readings where they are logged, else from PV and YP. The flow that wears the tool is the one between it and the collar's bore; the open hole is another.`,
              },
            ],
      cautions: [
        "Erosion is told as a ratio to the fleet's own usual velocity only: it grows with velocity to a power of 2 to 3 (planning band of the trade, from memory), and no limit of velocity is implied.",
      ],
    };
  },
};

function flowOf(inputs: CellInputs, {run, fleet}: Subject): Flow {
  const {runs, conditions} = inputs;
  const others = Array.from(runsInView(inputs)).filter(
    (row) =>
      row !== run &&
      (fleet === null || wordAt(runs.columns.fleet, row) === fleet) &&
      Number.isFinite(conditions.velocity_mps[row]!),
  );
  const fleetVelocity = others.length > 0 ? mean(others.map((row) => conditions.velocity_mps[row]!)) : NaN;
  const velocity = conditions.velocity_mps[run]!;
  const law = fluidOf(runs, run);
  const fluid =
    law === "no law" || law === "not logged"
      ? null
      : {index: law.index, consistency: law.consistency_Pasn, yieldStress: law.yieldStress_Pa};
  const ratio = velocity / fleetVelocity;
  const lacks = (["flow_lpm", "bore_mm", "tool_od_mm", "density_kgm3"] as const).filter(
    (column) => !Number.isFinite(runs.columns[column][run]!),
  );
  return {
    velocity,
    fleetVelocity,
    fleetRuns: others.length,
    erosion: ratio > 0 && Number.isFinite(ratio) ? [ratio ** POWERS[0], ratio ** POWERS[1]] : null,
    fluid,
    reynolds: conditions.reynolds[run]!,
    reynoldsClass: wordAt(conditions.reynoldsClass, run) ?? "unknown",
    edges: fluid === null ? null : criticalReynolds(fluid.index),
    missing: [
      ...lacks.map((column) => NAMES[column]),
      ...(law === "not logged"
        ? ["plastic viscosity and yield point"]
        : law === "no law"
          ? ["readings that fit a flow law"]
          : []),
    ],
  };
}

const NAMES = {
  flow_lpm: "the flow",
  bore_mm: "the bore",
  tool_od_mm: "the tool's diameter",
  density_kgm3: "the density",
};

function headlineOf(inputs: CellInputs, {run, runName, fleet}: Subject, flow: Flow): string {
  const {settings, conditions} = inputs;
  const speed = (mps: number) =>
    `${sayNumber(shownValue(mps, "velocity", settings.units))} ${shownUnit("velocity", settings.units)}`;
  const lacks = flow.missing.length > 0 ? ` Not in the log: ${sayList(flow.missing)}.` : "";
  if (!Number.isFinite(flow.velocity))
    return `The velocity past the tool in run ${runName} cannot be computed.${lacks}`;
  const regime = regimeLabel(wordAt(conditions.regime, run) ?? "unknown");
  const against =
    flow.erosion === null
      ? ""
      : `; against the mean of ${speed(flow.fleetVelocity)} of ${sayCount(flow.fleetRuns, "other run")}${fleet === null ? "" : ` of ${fleet}`} it erodes ${sayFactors(flow.erosion)} as fast by velocity alone`;
  const reynolds = Number.isFinite(flow.reynolds)
    ? ` The Reynolds number is ${sayNumber(Number(flow.reynolds.toPrecision(3)))}, ${flow.reynoldsClass} (${sayRule(flow)}).`
    : " The Reynolds number cannot be computed.";
  return `Mud passed the tool at ${speed(flow.velocity)} in run ${runName}, ${regime}${against}.${reynolds}${lacks}`;
}

/** `1.2 to 1.31 times`, least first; one figure where both round to it. */
function sayFactors(factors: readonly [number, number]): string {
  const [low, high] = [...factors].sort((a, b) => a - b).map((factor) => sayNumber(Number(factor.toPrecision(2))));
  return low === high ? `${low} times` : `${low} to ${high} times`;
}

const sayRule = ({edges}: Flow): string =>
  edges === null
    ? "no edges known"
    : `API RP 13D, 2006 and later form: laminar below ${sayNumber(Math.round(edges.laminarBelow))}, turbulent above ${sayNumber(Math.round(edges.turbulentAbove))}`;

function rowsOf(
  {runs, settings}: CellInputs,
  {run}: Subject,
  flow: Flow,
): readonly (readonly [name: string, value: number | null, unit: string])[] {
  const {columns} = runs;
  const of = (name: string, value: number, quantity: Quantity) =>
    [
      name,
      Number.isFinite(value) ? shownValue(value, quantity, settings.units) : null,
      shownUnit(quantity, settings.units),
    ] as const;
  const plain = (name: string, value: number | null | undefined, unit: string) =>
    [name, value === null || value === undefined || !Number.isFinite(value) ? null : value, unit] as const;
  return [
    of("flow", columns.flow_lpm[run]!, "flow"),
    of("collar bore", columns.bore_mm[run]!, "length"),
    of("tool diameter", columns.tool_od_mm[run]!, "length"),
    of("velocity past the tool", flow.velocity, "velocity"),
    of("the fleet's mean velocity", flow.fleetVelocity, "velocity"),
    plain("erosion by velocity, squared", flow.erosion?.[0], "times the fleet's mean"),
    plain("erosion by velocity, cubed", flow.erosion?.[1], "times the fleet's mean"),
    of("density", columns.density_kgm3[run]!, "density"),
    of("plastic viscosity", columns.pv_mPas[run]!, "viscosity"),
    of("yield point", columns.yp_Pa[run]!, "stress"),
    plain("flow index n", flow.fluid?.index, ""),
    plain("consistency K", flow.fluid?.consistency, "Pa·sⁿ"),
    plain("yield stress", flow.fluid?.yieldStress, "Pa"),
    plain("Reynolds number", flow.reynolds, ""),
    plain("laminar below", flow.edges?.laminarBelow, ""),
    plain("turbulent above", flow.edges?.turbulentAbove, ""),
  ];
}
