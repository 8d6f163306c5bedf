/** What stands in each tool when the log ends, or when the page's dates do: every part with its age and where it was spent. */
import {wordAt} from "../../shared/columnar.ts";
import {endingCode, type LifeTable} from "../lives/lifeTable.ts";

/** Exposure of a part in one mud and flow regime. */
export interface SpentIn {
  readonly mud: string;
  readonly regime: string;
  readonly hours: number;
}

export interface FittedPart {
  readonly component: string;
  readonly position: string | null;
  readonly serial: string | null;
  /** in the settings' clock, from new */
  readonly age: number;
  /** where the logged hours were spent */
  readonly spent: readonly SpentIn[];
  /** hours of `age` that nobody logged the mud and flow of */
  readonly unplaced: number;
}

export interface FittedTool {
  readonly tool: string;
  readonly fleet: string | null;
  readonly parts: readonly FittedPart[];
  /** components whose present part cannot be followed, so that its age is not known */
  readonly unknown: readonly string[];
}

const IN_TOOL = [endingCode("still running"), endingCode("cut by window")];
const LOST = endingCode("lost from view");
const GONE = endingCode("lost in hole");

/**
 * Tools with at least one part in them, by name. A tool lost in hole has none.
 *
 * @param lives cut to a window, the parts are those that stood in the tools on its last day
 */
export function fittedTools(lives: LifeTable): FittedTool[] {
  const tools = new Map<string, {fleet: string | null; parts: FittedPart[]; unknown: Set<string>}>();
  for (let row = 0; row < lives.rows; row++) {
    const tool = wordAt(lives.tool, row);
    const component = wordAt(lives.component, row);
    if (tool === null || component === null) continue;
    const ending = lives.ending[row]!;
    if (ending === GONE || (ending !== LOST && !IN_TOOL.includes(ending))) continue;
    let entry = tools.get(tool);
    if (entry === undefined) tools.set(tool, (entry = {fleet: null, parts: [], unknown: new Set()}));
    if (ending === LOST) entry.unknown.add(component);
    else {
      entry.fleet ??= wordAt(lives.fleet, row);
      entry.parts.push(partAt(lives, row, component));
    }
  }
  const usual = usualComponents([...tools.values()]);
  return [...tools]
    .filter(([, {parts}]) => parts.length > 0)
    .map(([tool, {fleet, parts, unknown}]) => {
      for (const component of usual) unknown.add(component);
      for (const {component} of parts) unknown.delete(component);
      return {tool, fleet, parts, unknown: [...unknown]};
    })
    .sort((a, b) => a.tool.localeCompare(b.tool, "en", {numeric: true}));
}

/** Components that more than half of the tools have: where one lacks, its part stands in the tool unfollowed. */
function usualComponents(tools: readonly {readonly parts: readonly FittedPart[]}[]): string[] {
  const counts = new Map<string, number>();
  const fitted = tools.filter(({parts}) => parts.length > 0);
  for (const {parts} of fitted) {
    for (const component of new Set(parts.map((part) => part.component)))
      counts.set(component, (counts.get(component) ?? 0) + 1);
  }
  return [...counts].filter(([, count]) => 2 * count > fitted.length).map(([component]) => component);
}

function partAt(lives: LifeTable, row: number, component: string): FittedPart {
  const {offsets, hours, mud, regime, muds, regimes} = lives.exposure;
  const cells = new Map<string, {mud: string; regime: string; hours: number}>();
  let placed = 0;
  for (let s = offsets[row]!; s < offsets[row + 1]!; s++) {
    if (!(hours[s]! > 0)) continue;
    const where = {mud: muds[mud[s]!] ?? "UNK", regime: regimes[regime[s]!] ?? "unknown"};
    const key = `${where.mud} ${where.regime}`;
    const cell = cells.get(key) ?? {...where, hours: 0};
    cell.hours += hours[s]!;
    placed += hours[s]!;
    cells.set(key, cell);
  }
  const age = lives.ageAtEnd[row]!;
  return {
    component,
    position: wordAt(lives.position, row),
    serial: wordAt(lives.partSerial, row),
    age,
    spent: [...cells.values()],
    unplaced: Math.max(0, age - placed),
  };
}
