/** Cell kind `register`: which intervals are in force by whose decision, what was declined, and whether changes worked. */
import {componentLabel} from "../../shared/vocabulary/index.ts";
import {
  decidedScopes,
  decisionEffect,
  inForce,
  revisions,
  type IntervalRow,
  type Revision,
} from "../decisions/index.ts";
import type {CellInputs, CellKind, Figure} from "./contract.ts";
import {DEFERRAL} from "../../shared/benchCautions.ts";
import {decisionOffer} from "./decisionOffer.ts";
import {intervalSheet} from "./intervals.ts";
import {params} from "./params.ts";
import {effectTable, historyTable, sayVerdict, sheetTable, type Decided} from "./registerTables.ts";
import {capital, clockOf, sayCondition, sayCount, sayLevel, sayLimits, sayNumber} from "./say.ts";

const {schema, fields} = params({});

export interface RegisterResult {
  /** decisions in force, in the order of the file */
  readonly inForce: readonly Decided[];
  /** every decision, the latest first */
  readonly all: readonly Decided[];
  readonly rows: readonly IntervalRow[];
}

export const registerCell: CellKind<object, RegisterResult> = {
  kind: "register",
  summary: "The interval register: what was accepted, amended or declined, by whom, and whether it worked.",
  schema,
  fields,
  example: "",
  reads: ["register"],

  compute(inputs, _params, effects) {
    const {register, all: lives, runs, settings} = inputs;
    const rows = intervalSheet(inputs, {components: null, fleet: null}, effects).rows;
    const every = revisions(register);
    const decided = (decision: Revision): Decided => ({
      decision,
      effect:
        decision.decision === "declined" || decision.date > register.today
          ? null
          : decisionEffect(decision, every, {lives, runs}, settings.level),
      now: sayNow(
        rows.find(
          ({component, mud, regime}) =>
            component === decision.component && mud === decision.mud && regime === decision.regime,
        ),
      ),
    });
    const made = every.map(decided);
    const current = decidedScopes(register).flatMap((scope) => {
      const decision = inForce(register, scope);
      return decision === null
        ? []
        : [made.find((one) => one.decision.revision === decision.revision && same(one.decision, decision))!];
    });
    const kept = current.filter((one, at) => current.indexOf(one) === at);
    const latest = made
      .map((one, at) => ({one, at}))
      .sort((a, b) =>
        a.one.decision.date < b.one.decision.date ? 1 : a.one.decision.date > b.one.decision.date ? -1 : b.at - a.at,
      )
      .map(({one}) => one);
    return {inForce: kept, all: latest, rows};
  },

  present(result, _params, inputs) {
    const {register} = inputs;
    const shown = result.all.filter(({effect}) => effect !== null);
    return {
      headline: headlineOf(result, inputs),
      figures: shown.some(told) ? [effectFigure(shown.filter(told), inputs)] : [],
      tables:
        result.all.length === 0
          ? []
          : [
              ...(result.inForce.length > 0 ? [sheetTable(result.inForce, inputs, DEFERRAL)] : []),
              ...(shown.length > 0 ? [effectTable(shown, inputs)] : []),
              historyTable(result.all, inputs),
            ],
      cautions: [
        DEFERRAL,
        ...(register.trouble === null
          ? []
          : [
              `The register cannot be read, so no decision in it counts and none can be recorded: ${register.trouble}.`,
            ]),
        ...(register.leftOut > 0
          ? [
              `${capital(sayCount(register.leftOut, "entry", "entries"))} of the register cannot be used; the page on logs and findings says why.`,
            ]
          : []),
        ...result.all
          .filter(({decision}) => decision.date > register.today)
          .map(
            ({decision}) =>
              `The decision on ${nameOf(decision)} is dated ${decision.date}, which has not come yet: it is not in force.`,
          ),
      ],
      records: [decisionOffer(result.rows, inputs)],
    };
  },
};

/** Enough has been seen to draw. */
const told = ({effect}: Decided): boolean => effect !== null && ["fewer", "more", "not shown"].includes(effect.verdict);

const same = (a: Revision, b: Revision): boolean =>
  a.component === b.component && a.mud === b.mud && a.regime === b.regime && a.fleet === b.fleet;

const nameOf = ({component, mud, regime, fleet}: Revision): string =>
  `${componentLabel(component)}, ${sayCondition(mud, regime)}${fleet === null ? "" : `, ${fleet}`}`;

function sayNow(row: IntervalRow | undefined): string | null {
  if (row === undefined) return null;
  return row.interval_h === null ? row.advice : `renew at ${sayNumber(row.interval_h)}`;
}

function headlineOf({inForce: current, all, rows}: RegisterResult, inputs: CellInputs): string {
  const {register, settings} = inputs;
  const {unit} = clockOf(settings);
  if (register.trouble !== null) return `The register cannot be read: ${register.trouble}.`;
  const waiting = rows.filter(({advice}) => advice === "renew at").length;
  if (all.length === 0)
    return waiting === 0
      ? "Nothing is decided yet, and the interval sheet recommends no interval to decide on."
      : `Nothing is decided yet: ${sayCount(waiting, "recommended interval")} of the interval sheet ${waiting === 1 ? "waits" : "wait"} to be accepted, amended or declined below.`;
  const count = (word: Revision["decision"]) => all.filter(({decision}) => decision.decision === word).length;
  const tally = `${capital(sayCount(all.length, "decision"))} on record, ${sayNumber(count("accepted"))} accepted, ${sayNumber(count("amended"))} amended, ${sayNumber(count("declined"))} declined; ${sayCount(current.length, "interval")} in force by the register, the rest as the settings say.`;
  const [told] = all.filter(({effect}) => effect !== null);
  if (told === undefined) return tally;
  const {decision, effect} = told;
  return `${tally} ${capital(nameOf(decision))}, ${decision.decision} on ${decision.date}: ${sayEffect(told, unit, sayLevel(settings))}${effect!.foretold === null ? "" : ` A ratio of ${sayNumber(effect!.foretold)} was foretold.`}`;
}

function sayEffect({effect}: Decided, unit: string, level: string): string {
  const {before, after, ratio, limits, expected, verdict, wait} = effect!;
  const counts = `${sayCount(after.failures, "failure")} in ${sayNumber(Math.round(after.exposure))} ${unit} since, where the rate before (${sayNumber(before.failures)} in ${sayNumber(Math.round(before.exposure))} ${unit}) would have brought ${sayNumber(Number(expected.toPrecision(2)))}`;
  const within = `${level} ${sayLimits(limits)} times the rate before`;
  switch (verdict) {
    case "nothing to compare":
      return `there is no exposure in this mud and flow on both sides of the day, so nothing can be compared yet.`;
    case "too early":
      return `${counts}; too little time has passed to tell, since even no failure at all would not show a fall${wait === null ? ", and with so few failures before it will not for years" : ` (about ${sayNumber(Math.ceil(wait / 100) * 100)} ${unit} more would)`}.`;
    case "not shown":
      return `${counts}; no change is shown (${within}).`;
    default:
      return `${counts}: ${sayVerdict(effect!, unit)} (${ratio === null ? "" : `${sayNumber(ratio)}, `}${within}).`;
  }
}

function effectFigure(rows: readonly Decided[], {settings}: CellInputs): Figure {
  const fewer = rows.filter(({effect}) => effect!.verdict === "fewer").length;
  return {
    name: "before-and-after",
    title:
      fewer === 0
        ? `No change of ${sayNumber(rows.length)} is shown to have lowered the failures`
        : `${capital(sayCount(fewer, "change"))} of ${sayNumber(rows.length)} lowered the failures`,
    caption: `Failure rate after the decision over the rate before, own failures of the part in the mud and flow decided on; bars: ${sayLevel(settings)}; the line is no change.`,
    alt: rows
      .map(
        ({decision, effect}) =>
          `${nameOf(decision)}: ${effect!.ratio === null ? "no ratio" : sayNumber(effect!.ratio)}, ${sayLimits(effect!.limits)}`,
      )
      .join("; "),
    chart: {
      kind: "dots",
      label: "failure rate after, times that before",
      unit: "",
      reference: 1,
      log: true,
      rows: rows.map(({decision, effect}) => ({
        name: `${nameOf(decision)} (${decision.date})`,
        group: decision.component,
        value: effect!.ratio,
        lower: effect!.limits[0],
        upper: effect!.limits[1],
        note: `${effect!.before.failures} → ${effect!.after.failures} failures`,
      })),
    },
  };
}
