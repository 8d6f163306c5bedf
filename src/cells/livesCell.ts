/** Cell kind `lives`: the life table behind every count, and how the lives ended. */
import {wordAt} from "../../shared/columnar.ts";
import {modeLabel} from "../../shared/vocabulary/index.ts";
import {LIFE_ENDINGS, type LifeEnding, type LifeTable} from "../lives/lifeTable.ts";
import {livesBehind} from "./behind.ts";
import type {CellKind, CellTable, TableColumn} from "./contract.ts";
import {choiceParam, componentsParam, numberParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partOf,
  partsOf,
  sayCondition,
  sayCount,
  sayNothing,
  sayNumber,
  sayShare,
} from "./say.ts";

const SHOW = {all: "all lives", failures: "lives that ended in a failure", suspensions: "lives that did not"} as const;

const {schema, fields} = params({
  component: componentsParam(),
  show: choiceParam("which lives the table lists", SHOW, "all"),
  most: numberParam("how many rows at most, the latest first", {min: 1, max: 100_000, fallback: 20_000}),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly show: keyof typeof SHOW;
  readonly most: number;
}

export interface LivesResult {
  readonly lives: number;
  readonly endings: Readonly<Record<LifeEnding, number>>;
  /** rows of the life table by their ending */
  readonly rows: Readonly<Record<LifeEnding, readonly number[]>>;
  /** failures of exactly known age */
  readonly exact: number;
  /** lives first seen at an age above zero */
  readonly lateEntries: number;
  /** rows of the life table that are listed, the latest first */
  readonly listed: Int32Array;
  readonly matching: number;
}

/** What each ending is called in a sentence about several lives. */
const SAID: Readonly<Record<LifeEnding, string>> = {
  "failed in run": "failed in a run",
  "found at teardown": "found failed or past limit at a teardown",
  "renewed good": "renewed while good",
  "damaged at service": "damaged at service",
  "lost in hole": "lost in hole",
  "still running": "still in a tool",
  "cut by window": "cut by the date filter",
  "lost from view": "lost from view: hours or part no longer told by the log",
};

export const lives: CellKind<Params, LivesResult> = {
  kind: "lives",
  summary: "The life table: every part's life, its age and how it ended.",
  schema,
  fields,
  example: "component: seals\n",

  compute({lives: table}, {component, show, most}) {
    const endings = Object.fromEntries(LIFE_ENDINGS.map((ending) => [ending, 0])) as Record<LifeEnding, number>;
    const rows = Object.fromEntries(LIFE_ENDINGS.map((ending) => [ending, [] as number[]])) as Record<
      LifeEnding,
      number[]
    >;
    const matching: number[] = [];
    let count = 0;
    let exact = 0;
    let lateEntries = 0;
    for (let row = 0; row < table.rows; row++) {
      if (component !== null && !component.includes(wordAt(table.component, row) ?? "")) continue;
      const failed = table.upper[row]! < Infinity;
      count++;
      endings[LIFE_ENDINGS[table.ending[row]!]!]++;
      rows[LIFE_ENDINGS[table.ending[row]!]!].push(row);
      if (failed && table.lower[row] === table.upper[row]) exact++;
      if (table.entry[row]! > 0) lateEntries++;
      if (show === "all" || failed === (show === "failures")) matching.push(row);
    }
    matching.sort((a, b) => table.ended[b]! - table.ended[a]! || a - b);
    return {
      lives: count,
      endings,
      rows,
      exact,
      lateEntries,
      listed: Int32Array.from(matching.slice(0, most)),
      matching: matching.length,
    };
  },

  present(result, {component, show}, inputs) {
    const what = component === null ? "lives" : `lives of ${component.map(partsOf).join(" and ")}`;
    if (result.lives === 0) return onlySentence(sayNothing(what, inputs));
    const {endings} = result;
    const failed = endings["failed in run"] + endings["found at teardown"];
    const kinds = LIFE_ENDINGS.filter((ending) => endings[ending] > 0);
    return {
      headline:
        `${sayCount(result.lives, "life", "lives")}${component === null ? "" : ` of ${component.map(partsOf).join(" and ")}`}: ` +
        (failed === 0
          ? "none ended in a failure, so all count as suspensions."
          : `${sayNumber(failed)} ended in a failure (${sayShare(failed, result.lives)}), ${sayNumber(result.exact)} of them at an hour the log names; ` +
            `${sayNumber(result.lives - failed)} did not and count as suspensions.`),
      figures: [
        {
          name: "endings",
          title: `${failed === 0 ? "None" : sayShare(failed, result.lives)} of the lives ended in a failure`,
          caption: `How ${sayCount(result.lives, "life", "lives")} ended, ${sayCount(failed, "failure")} among them. A suspension says that the part lived at least that long.`,
          alt: kinds.map((ending) => `${SAID[ending]}: ${sayNumber(endings[ending])}`).join("; "),
          chart: {
            kind: "bars",
            label: "lives",
            unit: "",
            bars: kinds
              .map((ending) => ({
                behind: livesBehind(inputs, inputs.lives, result.rows[ending], {mark: SAID[ending]}),
                name: SAID[ending],
                value: endings[ending],
                lower: null,
                upper: null,
                serviceInduced: false,
                runningShare: null,
              }))
              .sort((a, b) => b.value - a.value),
          },
        },
      ],
      tables: [listTable(result, show, inputs.lives, clockOf(inputs.settings).unit)],
      cautions:
        result.lateEntries > 0
          ? [
              `${sayCount(result.lateEntries, "life was", "lives were")} already at some age when the log began or the part came in used; they count from that age on.`,
            ]
          : [],
    };
  },
};

function listTable({listed, matching}: LivesResult, show: Params["show"], table: LifeTable, unit: string): CellTable {
  const rows = [...listed];
  const age = (column: Float64Array) => rows.map((row) => (Number.isFinite(column[row]) ? column[row]! : null));
  const words = (
    name: string,
    label: string,
    column: LifeTable["tool"],
    say = (word: string) => word,
  ): TableColumn => ({
    name,
    label,
    values: rows.map((row) => {
      const word = wordAt(column, row);
      return word === null ? null : say(word);
    }),
  });
  return {
    name: "lives",
    title: capital(SHOW[show]),
    columns: [
      words("component", "component", table.component, partOf),
      words("tool", "tool", table.tool),
      words("position", "position", table.position),
      words("fleet", "fleet", table.fleet),
      words("part_serial", "part", table.partSerial),
      words("lot", "lot", table.lot),
      {name: "began", label: "fitted", format: "date", values: age(table.began)},
      {name: "ended", label: "ended", format: "date", values: age(table.ended)},
      {name: "ending", label: "how it ended", values: rows.map((row) => SAID[LIFE_ENDINGS[table.ending[row]!]!])},
      words("mode", "what was seen", table.mode, modeLabel),
      {name: "entry", label: "age at entry", unit, format: "hours", values: age(table.entry)},
      {name: "age", label: "age at the end", unit, format: "hours", values: age(table.ageAtEnd)},
      {name: "lower", label: "survived", unit, format: "hours", values: age(table.lower)},
      {name: "upper", label: "failed by", unit, format: "hours", values: age(table.upper)},
      {
        name: "condition",
        label: "condition",
        values: rows.map((row) => sayCondition(wordAt(table.mud, row), wordAt(table.regime, row))),
      },
    ],
    note:
      `${matching > rows.length ? `The latest ${sayNumber(rows.length)} of ${sayCount(matching, "row")}. ` : ""}` +
      "A failure lies between “survived” and “failed by”; where there is no “failed by” the life is a suspension. " +
      "Condition: mud and flow with at least 80 % of the hours, else mixed.",
  };
}
