/** `lives FOLDER`: the life table. With `--csv` in the columns that `fit` reads. */
import {writeFile} from "node:fs/promises";
import {wordAt} from "../../shared/columnar.ts";
import {LIFE_ENDINGS, type LifeTable} from "../lives/index.ts";
import {toCsv} from "../logs/index.ts";
import type {Effects} from "./effects.ts";
import {loadFolder} from "./loadFolder.ts";
import {textTable} from "./textTable.ts";

export interface LivesOptions {
  readonly csv?: string;
  readonly json?: true;
}

type Cells = readonly (string | number | null)[];

export async function lives(path: string, {csv, json}: LivesOptions, effects: Effects): Promise<void> {
  const {logs} = await loadFolder(path, effects);
  const columns = lifeColumns(logs.lives);
  if (csv !== undefined) {
    await writeFile(csv, toCsv(columns));
    effects.say(`${logs.lives.rows} lives written`);
  }
  if (json) effects.print(JSON.stringify(rowsOf(columns, logs.lives.rows), null, 1));
  else if (csv === undefined) {
    effects.print(textTable(columns.map(({name, values}) => ({label: name, values: values.map(shortened)}))));
  }
}

/** Interval failures take `lower` and `upper`; a suspension has no `upper`; `time` is not written. */
export function lifeColumns(lives: LifeTable): {name: string; values: Cells}[] {
  const rows = Array.from({length: lives.rows}, (_, row) => row);
  const text = (column: LifeTable["tool"]): Cells => rows.map((row) => wordAt(column, row));
  return [
    {name: "component", values: text(lives.component)},
    {name: "tool", values: text(lives.tool)},
    {name: "fleet", values: text(lives.fleet)},
    {name: "position", values: text(lives.position)},
    {name: "part_serial", values: text(lives.partSerial)},
    {name: "lot", values: text(lives.lot)},
    {name: "entry", values: rows.map((row) => hours(lives.entry[row]))},
    {name: "lower", values: rows.map((row) => hours(lives.lower[row]))},
    {name: "upper", values: rows.map((row) => hours(lives.upper[row]))},
    {name: "status", values: rows.map((row) => statusOf(lives, row))},
    {name: "ending", values: rows.map((row) => LIFE_ENDINGS[lives.ending[row] ?? 0] ?? null)},
    {name: "mode", values: text(lives.mode)},
    {name: "mud", values: text(lives.mud)},
    {name: "regime", values: text(lives.regime)},
    {name: "began", values: rows.map((row) => day(lives.began[row]))},
    {name: "ended", values: rows.map((row) => day(lives.ended[row]))},
  ];
}

function statusOf({lower, upper}: LifeTable, row: number): string {
  if (upper[row] === Infinity) return "suspended";
  return lower[row] === upper[row] ? "failed" : "interval";
}

/** Hundredths of an hour: finer than any log. Infinity, a suspension's upper end, is an empty cell. */
const hours = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : Math.round(value * 100) / 100;

const day = (time: number | undefined): string | null =>
  time === undefined || !Number.isFinite(time) ? null : new Date(time).toISOString().slice(0, 10);

const shortened = (value: string | number | null): string | number | null =>
  typeof value === "number" ? Math.round(value * 10) / 10 : value;

function rowsOf(columns: readonly {name: string; values: Cells}[], rows: number): Record<string, unknown>[] {
  return Array.from({length: rows}, (_, row) =>
    Object.fromEntries(columns.map(({name, values}) => [name, values[row] ?? null])),
  );
}
