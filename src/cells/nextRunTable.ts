/** The bench sheet as a table: every part, what it risks, and whether to renew it. */
import {componentLabel} from "../../shared/vocabulary/index.ts";
import type {Chance, PartAhead} from "../decisions/index.ts";
import type {CellInputs, CellTable, TableColumn} from "./contract.ts";
import type {CheckMade} from "./nextRunCheck.ts";
import {clockOf, sayLevel} from "./say.ts";

interface Named {
  readonly component: string;
  readonly position: string | null;
}

/** The component, with its position where the tool holds several. */
export function nameOf(part: Named, parts: readonly Named[]): string {
  const label = componentLabel(part.component);
  const several = parts.filter(({component}) => component === part.component).length > 1;
  return several && part.position !== null ? `${label} ${part.position}` : label;
}

interface Row {
  readonly name: string;
  readonly part: PartAhead | null;
  readonly now: Chance;
  readonly renewed: Chance | null;
  readonly renew: string | null;
}

export function partsTable({answer, stated}: CheckMade, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const {parts, whole, rebuild, unexplained} = answer;
  const opened = answer.list.length > 0;
  const rows: Row[] = [
    ...parts
      .map((part, i): Row => ({
        name: nameOf(part, parts),
        part,
        now: part.now,
        renewed: part.fresh,
        renew: answer.withIt.includes(i) ? "yes, tool is open" : answer.list.includes(i) ? "yes" : "no",
      }))
      .sort((a, b) => a.now.mean - b.now.mean),
    {name: "faults of the rebuild", part: null, now: rebuild.now, renewed: rebuild.opened, renew: null},
    {name: "not explained", part: null, now: unexplained, renewed: null, renew: null},
    {name: "the whole", part: null, now: whole.now, renewed: opened ? whole.afterList : null, renew: null},
  ];
  const of = (
    column: Omit<TableColumn, "values">,
    value: (row: Row) => string | number | null | undefined,
  ): TableColumn => ({...column, values: rows.map((row) => value(row) ?? null)});
  return {
    name: "bench-sheet",
    title: "Bench sheet",
    columns: [
      of({name: "part", label: "part"}, ({name}) => name),
      of({name: "serial", label: "serial"}, ({part}) =>
        part === null ? null : stated.includes(part.component) ? "age by hand" : part.serial,
      ),
      of({name: "age", label: "age", unit, format: "hours"}, ({part}) => part && Math.round(part.age * 10) / 10),
      of({name: "equals", label: "counts as", unit, format: "hours"}, ({part}) => part?.equivalent),
      of({name: "survival", label: "comes through", format: "share"}, ({now}) => now.mean),
      of({name: "survival_lower", label: "lower limit", format: "share"}, ({now}) => now.limits[0]),
      of({name: "survival_upper", label: "upper limit", format: "share"}, ({now}) => now.limits[1]),
      of({name: "renewed", label: "if renewed", format: "share"}, ({renewed}) => renewed?.mean),
      of({name: "renew", label: "renew"}, ({renew}) => renew),
      of({name: "cost", label: "costs", unit: settings.currency, format: "money"}, ({part}) => part?.cost),
      of({name: "failures", label: "failures", format: "count"}, ({part}) => part?.failures),
      of({name: "lives", label: "lives", format: "count"}, ({part}) => part?.lives),
    ],
    note:
      `Limits: ${sayLevel(settings)}. “Counts as” is the age in ${unit === "h" ? "hours" : unit} of the next run's mud and flow, each hour at the pace of where it was spent. ` +
      "Failures are those by wear and by chance that stand behind a part's model, in every condition. The whole comes through when every part does, no fault of the rebuild shows and nothing fails unexplained; being lost in hole is not counted.",
  };
}
