/** Cell kind `run-conditions`: flow, mud, heat and hours of a run against what its fleet usually runs. */
import {wordAt} from "../../shared/columnar.ts";
import {shownUnit} from "../../shared/units.ts";
import {runsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable} from "./contract.ts";
import {params} from "./params.ts";
import {finiteOr, shownValue} from "./review/measured.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {LEAST_OTHERS, standings, type Standing} from "./review/usual.ts";
import {capital, onlySentence, sayCondition, sayCount, sayList, sayNumber, sayRegimes, sayShare} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

type Result = NoSubject | {readonly found: true; readonly subject: Subject; readonly standings: readonly Standing[]};

export const runConditionsCell: CellKind<ReviewPicks, Result> = {
  kind: "run-conditions",
  summary: "Flow, velocity, mud, sand, heat and hours of a run against what its fleet usually runs.",
  schema,
  fields,
  example: "",

  compute(inputs, picks) {
    const subject = reviewSubject(inputs, picks);
    return subject.found ? {found: true, subject, standings: standings(inputs, subject)} : subject;
  },

  present(result, _picks, inputs) {
    if (!("standings" in result)) return onlySentence(result.sentence);
    const {subject, standings: all} = result;
    const logged = all.filter(({value}) => Number.isFinite(value));
    const missing = all.filter(({value}) => !Number.isFinite(value)).map(({name}) => name);
    const among = subject.fleet === null ? "runs in view" : `other runs of ${subject.fleet} in view`;
    if (logged.length === 0)
      return onlySentence(
        `Nothing is logged of the conditions of run ${subject.runName}: no flow, no mud properties, no temperature, no hours.`,
      );
    return {
      headline: headlineOf(inputs, subject, logged, missing, among),
      // without others to stand among there is nothing to see
      figures: logged.every(({below}) => below === null)
        ? []
        : [
            {
              name: "standing",
              title: titleOf(logged, subject),
              caption: `Each row places run ${subject.runName} among the ${among}: 50 % is the middle run, the band holds nine in ten. The usual range printed is that band; ${sayCount(Math.max(...all.map(({others}) => others)), "other run")}. Flow classes: ${sayRegimes(inputs)}.`,
              alt: logged
                .map((row) => `${row.name} ${sayValue(row, inputs)}${row.below === null ? "" : `, ${sayPlace(row)}`}`)
                .join("; "),
              chart: {
                kind: "standing",
                among,
                rows: logged.map((row) => ({
                  name: row.name,
                  below: row.below,
                  value: sayValue(row, inputs),
                  behind: runsBehind(inputs, [subject.run], {mark: row.name}),
                  usual:
                    row.low === null || row.high === null
                      ? ""
                      : `${sayShown(row.low, row, inputs)} to ${sayShown(row.high, row, inputs)}`,
                })),
              },
            },
          ],
      tables: [table(logged, inputs)],
      cautions: [
        "Unusual is not harmful: a run outside the band is one in ten of its fleet by definition, and with ten quantities one of them is often outside.",
        ...(logged.some(({below}) => below === null)
          ? [`Fewer than ${LEAST_OTHERS} other runs have some of these logged, so no usual range is given for them.`]
          : []),
      ],
    };
  },
};

const unitOf = ({quantity}: Standing, {settings}: CellInputs): string =>
  quantity === null ? "h" : shownUnit(quantity, settings.units);
const shown = (value: number, {quantity}: Standing, {settings}: CellInputs): number =>
  quantity === null ? value : shownValue(value, quantity, settings.units);
const sayShown = (value: number, row: Standing, inputs: CellInputs): string => sayNumber(shown(value, row, inputs));
const sayValue = (row: Standing, inputs: CellInputs): string =>
  `${sayShown(row.value, row, inputs)} ${unitOf(row, inputs)}`;

/** `higher than 93 % of them`; the larger share is the one told */
const sayPlace = ({below}: Standing): string =>
  (below ?? 0) >= 0.5
    ? `higher than ${sayShare(below ?? 0, 1)} of them`
    : `lower than ${sayShare(1 - (below ?? 0), 1)} of them`;

function titleOf(rows: readonly Standing[], {runName}: Subject): string {
  const odd = rows.filter(({unusual}) => unusual);
  if (odd.length === 0) return `Run ${runName} was an ordinary one for its fleet`;
  const told = odd.slice(0, 3).map((row) => `${row.value > (row.high ?? Infinity) ? "high" : "low"} ${row.name}`);
  return `Run ${runName} was unusual for ${sayList(told)}`;
}

function headlineOf(
  inputs: CellInputs,
  {run, runName}: Subject,
  rows: readonly Standing[],
  missing: readonly string[],
  among: string,
): string {
  const condition = sayCondition(
    wordAt(inputs.conditions.mud, run) ?? "UNK",
    wordAt(inputs.conditions.regime, run) ?? "unknown",
  );
  const odd = rows.filter(({unusual}) => unusual);
  const placed = rows.filter(({below}) => below !== null);
  const whole =
    placed.length === 0
      ? `Run ${runName} ran in ${condition}; too few ${among} are logged to say what is usual.`
      : odd.length === 0
        ? `Run ${runName} (${condition}) lay inside what nine in ten ${among} see, in every one of ${sayCount(placed.length, "quantity", "quantities")} logged.`
        : `Run ${runName} (${condition}) lay outside what nine in ten ${among} see in ${sayNumber(odd.length)} of ${sayCount(placed.length, "quantity", "quantities")}: ${sayList(odd.map((row) => `${row.name} ${sayValue(row, inputs)}, ${sayPlace(row)}`))}.`;
  return `${whole}${missing.length > 0 ? ` Not logged or not computable: ${sayList(missing)}.` : ""}`;
}

function table(rows: readonly Standing[], inputs: CellInputs): CellTable {
  const number = (of: (row: Standing) => number | null) =>
    rows.map((row) => {
      const value = of(row);
      return value === null ? null : finiteOr(shown(value, row, inputs));
    });
  return {
    name: "conditions",
    title: "Conditions of the run against its fleet",
    columns: [
      {name: "quantity", label: "quantity", values: rows.map(({name}) => capital(name))},
      {name: "unit", label: "unit", values: rows.map((row) => unitOf(row, inputs))},
      {name: "value", label: "this run", format: "number", values: number(({value}) => value)},
      {name: "low", label: "low (5 %)", format: "number", values: number(({low}) => low)},
      {name: "middle", label: "middle", format: "number", values: number(({middle}) => middle)},
      {name: "high", label: "high (95 %)", format: "number", values: number(({high}) => high)},
      {name: "below", label: "runs below", format: "share", values: rows.map(({below}) => below)},
      {name: "others", label: "others", format: "count", values: rows.map(({others}) => others)},
    ],
    note: "Low, middle and high: the values that 5, 50 and 95 % of the other runs lie below. Runs below: the share of them below this run, ties counted half.",
  };
}
