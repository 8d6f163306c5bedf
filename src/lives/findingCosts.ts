/**
 * What findings cost: rows that count nowhere, lives that are missing for it, and lives that are there but in doubt.
 *
 * - A row is lost to a finding that holds it or sets it aside. What stands twice, or is no row, is no loss.
 * - A life is missing for a lost rebuild row that does not say the part was kept: it would have ended one life and begun
 *   the next, which are now told as one. And where the age of a part is not known, its life is set aside. Both count what
 *   there would be at most.
 * - A life is in doubt where a row with the finding began it, ended it or aged it; where a lost row of its tool or its slot
 *   falls into its time; and where a question about a whole column is answered otherwise than it was taken.
 *
 * A life or row may be lost to several findings, so costs do not add up.
 */
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {Words} from "../../shared/columnar.ts";
import {INDEXES} from "../logs/mapHeaders.ts";
import type {RowOrigin} from "../logs/logTable.ts";
import type {LogRows} from "../logs/rowPlaces.ts";
import {RULES} from "../logs/rules/catalogue.ts";
import type {LifeTable} from "./lifeTable.ts";

export interface FindingCost {
  readonly rowsLost: number;
  /** at most; null where nobody can tell */
  readonly livesMissing: number | null;
  readonly livesInDoubt: number;
}

/** No row is lost with these: what they say stands elsewhere, or is nothing. */
const NO_LOSS = new Set(["duplicate", "overlap", "row-repeats-header", "row-total", "sheet-other", "blank-lines"]);
/** One of two versions of a row is used: no life is missing for the other. */
const OTHER_VERSION = new Set(["near-duplicate", "changed-between-files"]);
/** These take whole columns or files out of use, and name no row. */
const WHOLE_HELD = new Set(["header-unit", "header-unit-contradicts", "run-hours-cumulative", "headers-exchanged"]);
const WHOLE_SET_ASIDE = new Set(["header-missing"]);
/** Files of which no row was understood. */
const UNREAD = new Set(["file-log-unknown", "file-unread", "file-kind", "file-empty"]);
/** A question about a whole column: another answer changes every life that rests on the file. */
const WHOLE_IN_DOUBT = new Set([
  "date-order-sequence",
  "date-serial",
  "hours-differ",
  "run-hours-cumulative",
  "headers-exchanged",
]);
/** The same, where the column is one that ages or conditions are made of. */
const UNIT_IN_DOUBT = new Set(["header-unit-assumed", "header-unit-taken", "header-twice"]);
const OF_LIVES = new Set([
  ...["run", "circulating_h", "below_rotary_h", "pulses", "end", "start", "tool", "failed_at_h", "outcome"],
  ...[
    "flow_lpm",
    "bore_mm",
    "tool_od_mm",
    "density_kgm3",
    "pv_mPas",
    "yp_Pa",
    "mud",
    "date",
    "component",
    "found",
    "mode",
    "action",
    "ended_run",
  ],
  ...["installed_with_h", "hours_on_part", "part_serial"],
]);
/** Rows that are in the table and yet belong to no slot. */
const WITHOUT_SLOT = new Set(["position-missing", "rebuild-without-key"]);
/** Each sets the life that begins with its row aside. */
const NO_AGE = new Set(["used-part-age-unknown", "used-part-age-in-hours", "spoilt-part-back"]);
const AGE_UNKNOWN = "age-unknown";

const LOGS = ["runs", "rebuilds"] as const;
const DAY_MS = 86_400_000;

export interface FindingCosts {
  /** of each group */
  readonly costs: readonly FindingCost[];
  /** of all together, every row and life counted once */
  readonly total: FindingCost;
}

/** @param groups findings of one rule whose cost is asked for together; repaired rows cost nothing */
export function findingCosts(
  groups: readonly (readonly Finding[])[],
  logs: LogRows & {readonly counts: readonly RowCount[]},
  lives: LifeTable,
): FindingCosts {
  const {leftOut, rebuilds, runs, counts} = logs;
  const lists = new Lists(groups);
  const lost = new Float64Array(groups.length);
  const missing = new Float64Array(groups.length);
  const ruleOf = groups.map(([first]) => first?.rule ?? "");
  const total = {rowsLost: 0, livesMissing: 0, livesInDoubt: 0};
  const onRuns = lists.of(runs);
  const onRebuilds = lists.of(rebuilds);

  // rows that are in no table
  const causes = new Int32Array(leftOut.rows).fill(-1);
  const onLeftOut = lists.of(leftOut);
  for (let row = 0; row < leftOut.rows; ++row) {
    const list = lists.causeOf(onLeftOut[row]!, leftOut.file.codes[row]!, leftOut.isHeld[row] === 1, leftOut.file);
    causes[row] = list;
    const changed = leftOut.isRebuild[row] === 1 && wordOf(leftOut.action, row) !== "kept";
    let isMissing = false;
    for (const group of lists.at(list)) {
      ++lost[group]!;
      if (!changed || OTHER_VERSION.has(ruleOf[group]!)) continue;
      ++missing[group]!;
      isMissing = true;
    }
    if (lists.at(list).length > 0) ++total.rowsLost;
    if (isMissing) ++total.livesMissing;
  }

  // rows that are in the table and give no life
  const waiting = new Set<string>();
  const {tool, component, position, action} = rebuilds.columns;
  for (let row = 0; row < rebuilds.rows; ++row) {
    if (onRebuilds[row]! < 0) continue;
    for (const group of lists.at(onRebuilds[row]!)) {
      const rule = ruleOf[group]!;
      const kept = wordOf(action, row) === "kept";
      if (WITHOUT_SLOT.has(rule)) {
        ++lost[group]!;
        ++total.rowsLost;
      }
      if (NO_AGE.has(rule) || (WITHOUT_SLOT.has(rule) && !kept)) {
        ++missing[group]!;
        ++total.livesMissing;
      }
      if (rule !== AGE_UNKNOWN) continue;
      // a part of unknown age may be looked at many times: its life is one, until it is changed
      const slot = [group, tool.codes[row], component.codes[row], position.codes[row]].join(" ");
      if (kept) waiting.add(slot);
      else {
        waiting.delete(slot);
        ++missing[group]!;
        ++total.livesMissing;
      }
    }
  }
  for (const slot of waiting) ++missing[Number.parseInt(slot)]!;
  total.livesMissing += waiting.size;

  const doubted = livesInDoubt(groups.length, lists, {logs, lives, onRuns, onRebuilds, causes});
  const costs = groups.map((group, at): FindingCost => {
    const [first] = group;
    if (first === undefined || !UNREAD.has(first.rule))
      return {rowsLost: lost[at]!, livesMissing: missing[at]!, livesInDoubt: doubted[at]!};
    const files = new Set(group.map(({file}) => file));
    const rows = counts.reduce((sum, {file, log, read}) => sum + (log === "unknown" && files.has(file) ? read : 0), 0);
    total.rowsLost += rows;
    return {rowsLost: rows, livesMissing: null, livesInDoubt: 0};
  });
  return {costs, total: {...total, livesInDoubt: doubted[groups.length]!}};
}

interface Doubting {
  readonly logs: LogRows;
  readonly lives: LifeTable;
  readonly onRuns: Int32Array;
  readonly onRebuilds: Int32Array;
  /** list of the groups to which each row left out is lost */
  readonly causes: Int32Array;
}

/** Lives in doubt of each group, and behind them those of any. */
function livesInDoubt(groups: number, lists: Lists, {logs, lives, onRuns, onRebuilds, causes}: Doubting): Int32Array {
  const {runs, rebuilds, leftOut} = logs;
  const doubted = new Int32Array(groups + 1);
  const last = new Int32Array(groups + 1).fill(-1);
  let life = 0;
  const mark = (group: number): void => {
    if (last[group] === life) return;
    last[group] = life;
    ++doubted[group]!;
  };
  const touch = (list: number): void => {
    if (list < 0) return;
    for (const group of lists.at(list)) mark(group);
    mark(groups);
  };
  const wholeRuns = lists.wholeFiles(runs.file);
  const wholeRebuilds = lists.wholeFiles(rebuilds.file);
  const lostOf = lostByTool(logs, lives, causes);
  const sameComponent = leftOut.component.words.map((word) => lives.component.words.indexOf(word));
  const samePosition = leftOut.position.words.map((word) => lives.position.words.indexOf(word));
  const {offsets, run} = lives.exposure;
  for (; life < lives.rows; ++life) {
    for (const row of [lives.beganRow[life]!, lives.endedRow[life]!]) {
      if (row < 0) continue;
      touch(onRebuilds[row]!);
      touch(wholeRebuilds?.[rebuilds.file.codes[row]!] ?? -1);
    }
    for (let k = offsets[life]!; k < offsets[life + 1]!; ++k) {
      const row = run[k]!;
      if (onRuns[row]! >= 0) touch(onRuns[row]!);
      if (wholeRuns !== null) touch(wholeRuns[runs.file.codes[row]!]!);
    }
    const rows = lostOf[lives.tool.codes[life]!];
    if (rows === undefined) continue;
    const [began, ended] = [lives.began[life]!, lives.ended[life]! + DAY_MS];
    for (let i = firstAfter(rows, leftOut.time, began); i < rows.length; ++i) {
      const row = rows[i]!;
      if (leftOut.time[row]! >= ended) break;
      const part = leftOut.component.codes[row]!;
      const place = leftOut.position.codes[row]!;
      const sameSlot =
        part >= 0 &&
        sameComponent[part] === lives.component.codes[life] &&
        (place < 0 || samePosition[place] === lives.position.codes[life]);
      if (leftOut.isRebuild[row] === 0 || sameSlot) touch(causes[row]!);
    }
  }
  return doubted;
}

/** Lost rows with a tool and a time, by code of the tool among the lives, each list by time. */
function lostByTool({leftOut}: LogRows, lives: LifeTable, causes: Int32Array): (number[] | undefined)[] {
  const codeOf = new Map(lives.tool.words.map((word, code) => [word, code]));
  const toolOf = leftOut.tool.words.map((word) => codeOf.get(word) ?? -1);
  const rows: (number[] | undefined)[] = [];
  for (let row = 0; row < leftOut.rows; ++row) {
    const tool = toolOf[leftOut.tool.codes[row]!] ?? -1;
    if (causes[row]! < 0 || tool < 0 || Number.isNaN(leftOut.time[row]!)) continue;
    (rows[tool] ??= []).push(row);
  }
  for (const of of rows) of?.sort((a, b) => leftOut.time[a]! - leftOut.time[b]!);
  return rows;
}

function firstAfter(rows: readonly number[], time: Float64Array, moment: number): number {
  let [low, high] = [0, rows.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[rows[middle]!]! > moment) high = middle;
    else low = middle + 1;
  }
  return low;
}

const wordOf = ({codes, words}: Words, row: number): string | null => words[codes[row]!] ?? null;

/** Which groups of findings name which line: lists of group numbers, and one number for each line that has a list. */
class Lists {
  readonly #lists: number[][] = [];
  readonly #rules: readonly (Finding | undefined)[];
  readonly #byFile = new Map<string, Int32Array>();
  readonly #wholeHeld = new Map<string, number>();
  readonly #wholeSetAside = new Map<string, number>();
  readonly #wholeInDoubt = new Map<string, number>();
  /** the list of those groups of a list that take a row out of use; -1 for none */
  readonly #causes = new Map<number, number>();

  constructor(groups: readonly (readonly Finding[])[]) {
    this.#rules = groups.map(([first]) => first);
    const lines = new Map<string, number>();
    for (const group of groups)
      for (const {file, line} of group) if (line !== null) lines.set(file, Math.max(line, lines.get(file) ?? 0));
    for (const [file, most] of lines) this.#byFile.set(file, new Int32Array(most + 1).fill(-1));
    groups.forEach((group, at) => {
      for (const finding of group) this.#enter(finding, at);
    });
  }

  #enter({file, line, rule, kind, column}: Finding, group: number): void {
    if (kind === "repaired") return;
    if (WHOLE_HELD.has(rule)) this.#whole(this.#wholeHeld, file, group);
    if (WHOLE_SET_ASIDE.has(rule)) this.#whole(this.#wholeSetAside, file, group);
    const known = column === null ? [] : LOGS.flatMap((log) => INDEXES[log].match(column)?.column ?? []);
    const ofLives = known.some((name) => OF_LIVES.has(name));
    const inDoubt = line === null ? WHOLE_IN_DOUBT.has(rule) : false;
    if (inDoubt || (UNIT_IN_DOUBT.has(rule) && ofLives)) this.#whole(this.#wholeInDoubt, file, group);
    // a remark or a sand content says nothing about a life
    if (line === null || (known.length > 0 && !ofLives)) return;
    const at = this.#byFile.get(file)!;
    if (at[line]! < 0) at[line] = this.#lists.push([group]) - 1;
    else if (!this.at(at[line]!).includes(group)) this.#lists[at[line]!]!.push(group);
  }

  #whole(of: Map<string, number>, file: string, group: number): void {
    const list = of.get(file);
    if (list === undefined) of.set(file, this.#lists.push([group]) - 1);
    else if (!this.at(list).includes(group)) this.#lists[list]!.push(group);
  }

  at(list: number): readonly number[] {
    return this.#lists[list] ?? [];
  }

  /** The list of each row; -1: no finding names it. */
  of({file, line}: RowOrigin): Int32Array {
    const lists = new Int32Array(line.length).fill(-1);
    const byCode = file.words.map((name) => this.#byFile.get(name));
    for (let row = 0; row < lists.length; ++row) lists[row] = byCode[file.codes[row]!]?.[line[row]!] ?? -1;
    return lists;
  }

  /** By code of the file, the list of the questions about whole columns of it; null: there are none. */
  wholeFiles({words}: Words): Int32Array | null {
    if (this.#wholeInDoubt.size === 0) return null;
    return Int32Array.from(words, (name) => this.#wholeInDoubt.get(name) ?? -1);
  }

  /** The list of the groups to which a row is lost: those that name it, else those about its whole file. */
  causeOf(list: number, file: number, isHeld: boolean, {words}: Words): number {
    const own = list < 0 ? -1 : this.#takingOut(list);
    if (own !== -1) return own;
    const whole = this.#wholeSetAside.get(words[file] ?? "");
    return whole ?? (isHeld ? (this.#wholeHeld.get(words[file] ?? "") ?? -1) : -1);
  }

  #takingOut(list: number): number {
    const known = this.#causes.get(list);
    if (known !== undefined) return known;
    const taking = this.at(list).filter((group) => takesOut(this.#rules[group]));
    const costly = taking.filter((group) => !NO_LOSS.has(this.#rules[group]?.rule ?? ""));
    // NONE: the row is explained, and no loss
    const cause = taking.length === 0 ? -1 : costly.length === 0 ? NONE : this.#lists.push(costly) - 1;
    this.#causes.set(list, cause);
    return cause;
  }
}

const NONE = -2;

function takesOut(finding: Finding | undefined): boolean {
  if (finding === undefined || (finding.kind !== "asked" && finding.kind !== "set aside")) return false;
  const rule = Object.hasOwn(RULES, finding.rule) ? RULES[finding.rule as keyof typeof RULES] : null;
  return rule !== null && rule.row !== "as it was";
}
