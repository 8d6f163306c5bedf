/** Cell kind `fix-list`: what the shop should correct in which file and row, and what leaving it costs. */
import type {Finding} from "../../shared/findings.ts";
import type {LifeTable} from "../lives/lifeTable.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {CellKind, CellTable} from "./contract.ts";
import {params} from "./params.ts";
import {sayCount, sayNumber} from "./say.ts";

const {schema, fields} = params({});

/** One thing to correct in one file. */
export interface Correction {
  readonly file: string;
  readonly rule: string;
  readonly kind: Finding["kind"];
  readonly column: string | null;
  readonly remedy: string;
  /** of the first finding */
  readonly example: string;
  readonly lines: readonly number[];
  /** rows that count nowhere until this is mended */
  readonly rowsLost: number;
  /** lives that rest on a row in doubt: begun or ended by it, or aged in its run */
  readonly livesInDoubt: number;
}

const KINDS: readonly Finding["kind"][] = ["set aside", "asked", "doubted"];
const LINES = 40;

export const fixList: CellKind<object, readonly Correction[]> = {
  kind: "fix-list",
  summary: "What the shop should correct, file by file and row by row, and what leaving it costs.",
  schema,
  fields,
  example: "",

  compute: ({findings, runs, rebuilds, all}) => corrections(findings, runs, rebuilds, all),

  present(list) {
    const files = [...new Set(list.map(({file}) => file))];
    const lost = list.reduce((sum, {rowsLost}) => sum + rowsLost, 0);
    if (list.length === 0)
      return {headline: "Nothing in the logs asks to be corrected.", figures: [], tables: [], cautions: []};
    return {
      headline: `${sayCount(list.length, "thing")} to correct in ${sayCount(files.length, "file")}; ${lost === 0 ? "no row is" : `${sayNumber(lost)} ${lost === 1 ? "row is" : "rows are"}`} left out until then.`,
      figures: [],
      tables: files.map((file) =>
        tableOf(
          file,
          list.filter((one) => one.file === file),
        ),
      ),
      cautions: [
        "Correct the log itself and read it again, rather than a copy: the next export then comes without these.",
        "A life is in doubt where a row that began it, ended it or aged it is: its age or its end may be wrong.",
      ],
    };
  },
};

function corrections(
  findings: readonly Finding[],
  runs: RunTable,
  rebuilds: RebuildTable,
  lives: LifeTable,
): Correction[] {
  const groups = new Map<string, Finding[]>();
  for (const finding of findings) {
    if (!KINDS.includes(finding.kind)) continue;
    const key = [finding.file, finding.rule, finding.column, finding.remedy].join("\u0001");
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [finding]);
    else group.push(finding);
  }
  const list = [...groups.values()];
  const places = placesOf(list);
  const used = [usedIn(runs, places), usedIn(rebuilds, places)] as const;
  const doubted = livesOf(lives, used);
  return list
    .map((group, at): Correction => {
      const [first] = group as [Finding];
      const lines = [...new Set(group.flatMap(({line}) => (line === null ? [] : [line])))].sort((a, b) => a - b);
      const inUse = new Set(used.flatMap(({linesOf}) => [...(linesOf.get(at) ?? [])]));
      return {
        file: first.file,
        rule: first.rule,
        kind: first.kind,
        column: first.column,
        remedy: first.remedy,
        example: first.message,
        lines,
        rowsLost: lines.filter((line) => !inUse.has(line)).length,
        livesInDoubt: doubted.get(at)?.size ?? 0,
      };
    })
    .sort((a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || b.lines.length - a.lines.length);
}

type Places = ReadonlyMap<string, ReadonlyMap<number, readonly number[]>>;

/** file → line → the groups that name it */
function placesOf(groups: readonly (readonly Finding[])[]): Places {
  const places = new Map<string, Map<number, number[]>>();
  groups.forEach((group, at) => {
    for (const {file, line} of group) {
      if (line === null) continue;
      const ofFile = places.get(file) ?? new Map<number, number[]>();
      places.set(file, ofFile);
      ofFile.set(line, [...(ofFile.get(line) ?? []), at]);
    }
  });
  return places;
}

interface Used {
  /** row of the table → groups that name it */
  readonly groupsOf: ReadonlyMap<number, readonly number[]>;
  /** group → its lines that are in the table */
  readonly linesOf: ReadonlyMap<number, ReadonlySet<number>>;
}

function usedIn({rows, file, line}: RunTable | RebuildTable, places: Places): Used {
  const groupsOf = new Map<number, readonly number[]>();
  const linesOf = new Map<number, Set<number>>();
  const ofFile = file.words.map((name) => places.get(name));
  for (let row = 0; row < rows; ++row) {
    const groups = ofFile[file.codes[row]!]?.get(line[row]!);
    if (groups === undefined) continue;
    groupsOf.set(row, groups);
    for (const group of groups) linesOf.set(group, (linesOf.get(group) ?? new Set<number>()).add(line[row]!));
  }
  return {groupsOf, linesOf};
}

/** group → lives that rest on a row it names */
function livesOf(lives: LifeTable, [runs, rebuilds]: readonly [Used, Used]): Map<number, Set<number>> {
  const of = new Map<number, Set<number>>();
  const touch = (groups: readonly number[] | undefined, life: number): void => {
    for (const group of groups ?? []) of.set(group, (of.get(group) ?? new Set<number>()).add(life));
  };
  const {offsets, run} = lives.exposure;
  for (let life = 0; life < lives.rows; ++life) {
    touch(rebuilds.groupsOf.get(lives.beganRow[life]!), life);
    touch(rebuilds.groupsOf.get(lives.endedRow[life]!), life);
    for (let k = offsets[life]!; k < offsets[life + 1]!; ++k) touch(runs.groupsOf.get(run[k]!), life);
  }
  return of;
}

function tableOf(file: string, list: readonly Correction[]): CellTable {
  return {
    name: `fix ${file}`,
    title: file,
    columns: [
      {name: "correct", label: "what to do", values: list.map(({remedy}) => capital(remedy))},
      {name: "lines", label: "in lines", values: list.map(({lines}) => linesText(lines))},
      {name: "column", label: "column", values: list.map(({column}) => column)},
      {name: "example", label: "for example", values: list.map(({example}) => example)},
      {name: "rows_lost", label: "rows left out", format: "count", values: list.map(({rowsLost}) => rowsLost)},
      {name: "lives", label: "lives in doubt", format: "count", values: list.map((one) => one.livesInDoubt)},
    ],
  };
}

function linesText(lines: readonly number[]): string {
  if (lines.length === 0) return "the whole file";
  const more = lines.length > LINES ? ` and ${lines.length - LINES} more` : "";
  return lines.slice(0, LINES).join(", ") + more;
}

const capital = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1);
