/** Readings of meters, in all files that the mapping calls running totals, to the values of runs; each told. */
import type {Draft} from "../draft.ts";
import type {RowRef} from "../RowRefs.ts";
import {placeOf} from "../rules/duplicates.ts";
import type {RuleId} from "../rules/catalogue.ts";
import {DAY_MS} from "../values/readDate.ts";
import {READ_AS, runValues, type RunValues} from "./meterReadings.ts";
import {elapsedHours, hoursBetweenEnds} from "./screen.ts";

/** A file and what is said of a column of it. */
export interface Meters {
  readonly draft: Draft;
  readonly isTotal: (tool: string) => boolean;
  readonly fromZero: boolean;
}

/** Rows told one by one; beyond them they are counted. */
const MOST_TOLD = 5000;
/** Where all resets seen, and so many, have a rebuild before them, meters are set back in the shop. */
const FEWEST_RESETS = 3;
/** A run may have so many times the pulses an hour that most have. */
const PULSE_SLACK = 2;

/** A meter: the used rows of a tool by time. */
interface Meter {
  readonly refs: readonly RowRef[];
  /** rows of the tool that are not used, or have no reading: the meter counted in them too */
  readonly gaps: readonly RowRef[];
  readonly fromZero: boolean;
}

export interface Converted {
  /** rows in which a meter begins or begins again and what it stood at is not known */
  readonly starts: readonly RowRef[];
  /** says what became of each row, and holds those without a value */
  readonly tell: () => void;
}

/** Puts the values of runs in the place of readings; rows without one are held only when `tell` is called. */
export function convertTotals(column: string, meters: readonly Meters[], rebuilds: readonly Draft[]): Converted {
  const starts: RowRef[] = [];
  const tells: (() => void)[] = [];
  const told = new Map<Draft, number>();
  const rebuiltOn = rebuildDays(rebuilds);
  const list = metersOf(column, meters);
  const perHour = column === "pulses" ? pulsesPerHour(list) : NaN;
  const plain = list.map((meter) => valuesOf(column, meter, perHour, () => false));
  const resets = list.flatMap(({refs}, at) => refs.flatMap((_, i) => (isRestart(plain[at]!, i) ? [{refs, i}] : [])));
  const rebuilt = (refs: readonly RowRef[], i: number, j: number): boolean => {
    const days = rebuiltOn.get(toolOf(refs[i]!)) ?? [];
    const [from, to] = [dayOf(refs[j]!), dayOf(refs[i]!)];
    return days.some((day) => day >= from && day <= to);
  };
  const inShop = resets.length >= FEWEST_RESETS && resets.every(({refs, i}) => rebuilt(refs, i, i - 1));
  list.forEach((meter, at) => {
    const {refs} = meter;
    const values = withGaps(
      meter,
      resets.length === 0 ? plain[at]! : valuesOf(column, meter, perHour, (i, j) => !inShop || rebuilt(refs, i, j)),
    );
    const columns = refs.map(({draft}) => draft.numbers.get(column)!);
    refs.forEach((ref, i) => {
      tells.push(() => tellRun(column, meter, values, i, told));
      columns[i]![ref.row] = values.values[i]!;
      const as = values.as[i];
      if (as === READ_AS.first || as === READ_AS.restart) starts.push(ref);
    });
  });
  return {
    starts,
    tell: () => {
      for (const tell of tells) tell();
      for (const [draft, count] of told) {
        if (count > MOST_TOLD)
          draft.note("total-to-run", {column, message: `${count - MOST_TOLD} more rows are counted in the same way`});
      }
    },
  };
}

/** A reading holds what was counted in rows that are not used since the reading before. */
function withGaps({refs, gaps}: Meter, run: RunValues): RunValues {
  if (gaps.length === 0) return run;
  const end = ({draft, row}: RowRef): number => draft.number("end", row);
  const name = ({draft, row}: RowRef): string | null => draft.text("run", row);
  const values = run.values.slice();
  const as = run.as.slice();
  refs.forEach((ref, i) => {
    const before = i === 0 ? null : refs[run.since[i]! < 0 ? i - 1 : run.since[i]!]!;
    const holds = gaps.some(
      (gap) =>
        end(gap) <= end(ref) &&
        (before === null || end(gap) > end(before)) &&
        // a run that stands twice is the same run
        name(gap) !== name(ref) &&
        (before === null || name(gap) !== name(before)),
    );
    if (!holds) return;
    if (as[i] === READ_AS.difference) as[i] = READ_AS.sum;
    else if (as[i] === READ_AS.fromZero) {
      as[i] = run.since[i]! < 0 ? READ_AS.first : READ_AS.restart;
      values[i] = NaN;
    }
  });
  return {values, as, since: run.since};
}

const isRestart = ({as, since}: RunValues, i: number): boolean =>
  as[i] === READ_AS.restart || (as[i] === READ_AS.fromZero && since[i]! >= 0);

const toolOf = ({draft, row}: RowRef): string => draft.text("tool", row) ?? "";
const dayOf = ({draft, row}: RowRef): number => Math.floor(draft.number("end", row) / DAY_MS);

function rebuildDays(rebuilds: readonly Draft[]): Map<string, number[]> {
  const days = new Map<string, Set<number>>();
  for (const draft of rebuilds) {
    const tools = draft.texts.get("tool");
    const date = draft.numbers.get("date");
    if (tools === undefined || date === undefined) continue;
    const sets = tools.words.map((word) => {
      const known = days.get(word) ?? new Set<number>();
      days.set(word, known);
      return known;
    });
    tools.codes.forEach((code, row) => {
      if (code >= 0 && draft.used(row)) sets[code]!.add(Math.floor(date[row]! / DAY_MS));
    });
  }
  return new Map([...days].map(([tool, set]) => [tool, [...set]]));
}

/** Used rows with a reading, by tool and time; several files of one tool are one meter. */
function metersOf(column: string, meters: readonly Meters[]): Meter[] {
  const byTool = new Map<string, {refs: RowRef[]; gaps: RowRef[]; fromZero: boolean}>();
  for (const {draft, isTotal, fromZero} of meters) {
    const tools = draft.texts.get("tool");
    const values = draft.numbers.get(column);
    if (tools === undefined || values === undefined) continue;
    const wanted = tools.words.map((word) => isTotal(word));
    for (let row = 0; row < draft.rows; ++row) {
      const code = tools.codes[row]!;
      if (code < 0 || wanted[code] !== true || Number.isNaN(draft.number("end", row))) continue;
      const of = byTool.get(tools.words[code]!) ?? {refs: [], gaps: [], fromZero};
      byTool.set(tools.words[code]!, of);
      (draft.used(row) && !Number.isNaN(values[row]!) ? of.refs : of.gaps).push({draft, row});
    }
  }
  const key = (name: string) => (a: RowRef, b: RowRef) => a.draft.number(name, a.row) - b.draft.number(name, b.row);
  const byTime = [key("end"), key("start"), key(column)];
  for (const {refs} of byTool.values()) {
    // runs of one day stand in the order in which the meter rises
    refs.sort((a, b) => byTime.reduce((order, compare) => order || compare(a, b), 0));
  }
  return [...byTool.values()];
}

function valuesOf(
  column: string,
  {refs, fromZero}: Meter,
  perHour: number,
  mayRestart: (i: number, j: number) => boolean,
): RunValues {
  const readings = refs.map(({draft, row}) => draft.number(column, row));
  const between = (i: number, j: number): number =>
    column === "pulses" ? Infinity : hoursBetweenEnds(refs[i]!, refs[j]!);
  const own = (i: number): number => {
    const {draft, row} = refs[i]!;
    if (column === "pulses") return finite(PULSE_SLACK * perHour * draft.number("circulating_h", row));
    const elapsed = elapsedHours(draft, row);
    return Number.isNaN(elapsed) ? (i === 0 ? Infinity : between(i, i - 1)) : elapsed;
  };
  return runValues({readings, own, between, mayRestart, fromZero});
}

const finite = (value: number): number => (Number.isNaN(value) ? Infinity : value);

/** What most runs have, of the differences that rise; NaN where no hours are known. */
function pulsesPerHour(list: readonly Meter[]): number {
  const rates: number[] = [];
  for (const {refs} of list) {
    for (let i = 1; i < refs.length; ++i) {
      const [now, before] = [refs[i]!, refs[i - 1]!];
      const difference = now.draft.number("pulses", now.row) - before.draft.number("pulses", before.row);
      const rate = difference / now.draft.number("circulating_h", now.row);
      if (rate > 0 && Number.isFinite(rate)) rates.push(rate);
    }
  }
  return rates.sort((a, b) => a - b)[rates.length >> 1] ?? NaN;
}

const RULE_OF: Readonly<Record<number, RuleId>> = {
  [READ_AS.difference]: "total-to-run",
  [READ_AS.fromZero]: "total-to-run",
  [READ_AS.sum]: "total-over-runs",
  [READ_AS.first]: "total-first",
  [READ_AS.restart]: "total-restart",
  [READ_AS.unclear]: "total-unclear",
  [READ_AS.misread]: "total-misread",
};

function tellRun(column: string, {refs}: Meter, {values, as, since}: RunValues, i: number, told: Map<Draft, number>) {
  const {draft, row} = refs[i]!;
  const unit = column === "pulses" ? "pulses" : "h";
  const what = column === "pulses" ? "pulses" : "hours";
  const header = draft.headerOf(column);
  const reading = draft.raw(column, row) ?? "";
  const j = since[i]!;
  const before = j < 0 ? null : refs[j]!;
  const from = before === null ? "" : `${before.draft.raw(column, before.row) ?? ""} in ${placeOf(before, refs[i]!)}`;
  const value = values[i]!;
  const known = !Number.isNaN(value);
  const rule = RULE_OF[as[i]!]!;
  const message = {
    [READ_AS.difference]: `${header} ${reading} is a running total: ${shown(value)} ${unit} since ${from}`,
    [READ_AS.fromZero]: `${header} ${reading} is a running total that began at 0 before this run: ${shown(value)} ${unit}`,
    [READ_AS.sum]: `${header} ${reading} is ${shown(value)} ${unit} above ${from}; a run between them has no reading that is used, so this row has the ${what} of both`,
    [READ_AS.first]: `${header} ${reading} is the first reading of ${toolOf(refs[i]!)}; what its meter stood at before this run is not known`,
    [READ_AS.restart]: `${header} ${reading} does not go on from ${from}: the meter began again, and from what is not known`,
    [READ_AS.unclear]: `${header} ${reading} may go on from ${from}, or be of a meter that began again at 0 before this run`,
    [READ_AS.misread]: `${header} ${reading} goes on neither from ${from} nor to the reading after it`,
  }[as[i]!]!;
  if (rule === "total-to-run") {
    const count = (told.get(draft) ?? 0) + 1;
    told.set(draft, count);
    draft.mark(row, "repaired");
    if (count > MOST_TOLD) return;
  }
  draft.tell(rule, row, {
    column,
    message,
    taken: known ? `${shown(value)} ${unit}` : draft.required(column) ? null : "missing",
    ...(known ? {} : {row: draft.required(column) ? ("held" as const) : ("repaired" as const)}),
    ...(rule === "total-to-run" || before === null ? {} : {beside: [before]}),
  });
}

const shown = (value: number): string => String(Number(value.toFixed(2)));
