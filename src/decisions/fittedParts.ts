/** What stands in each tool when the log ends, or when the page's dates do: every part with its age and where it was spent. */
import {wordAt} from "../../shared/columnar.ts";
import type {LifeTable} from "../lives/lifeTable.ts";
import type {PartsInService} from "./partsInService.ts";

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
  /** where the hours were spent */
  readonly spent: readonly SpentIn[];
  /** hours of `age` that nobody can place, such as those given by hand */
  readonly unplaced: number;
}

export interface FittedTool {
  readonly tool: string;
  /** null where the log names none */
  readonly fleet: string | null;
  readonly parts: readonly FittedPart[];
  /** components whose present part cannot be followed, so that its age is not known */
  readonly unknown: readonly string[];
}

/** Tools with at least one part in them, by name. A tool lost in hole has none. */
export function fittedTools(lives: LifeTable, inService: PartsInService): FittedTool[] {
  const tools = new Map<string, {fleet: string | null; parts: FittedPart[]; unknown: Set<string>}>();
  for (let i = 0; i < inService.rows; i++) {
    const tool = inService.tool[i]!;
    let entry = tools.get(tool);
    if (entry === undefined) tools.set(tool, (entry = {fleet: null, parts: [], unknown: new Set()}));
    entry.fleet ??= inService.fleet[i] === "" ? null : inService.fleet[i]!;
    entry.parts.push(partAt(lives, inService, i));
  }
  const usual = usualComponents([...tools.values()]);
  for (const {parts, unknown} of tools.values()) {
    for (const component of usual) if (!parts.some((part) => part.component === component)) unknown.add(component);
  }
  for (const row of inService.ageLost) {
    tools.get(wordAt(lives.tool, row) ?? "")?.unknown.add(wordAt(lives.component, row) ?? "");
  }
  return [...tools]
    .map(([tool, {fleet, parts, unknown}]) => ({tool, fleet, parts, unknown: [...unknown]}))
    .sort((a, b) => a.tool.localeCompare(b.tool, "en", {numeric: true}));
}

/** Components that more than half of the tools have: where one lacks, its part stands in the tool unfollowed. */
function usualComponents(tools: readonly {readonly parts: readonly FittedPart[]}[]): string[] {
  const counts = new Map<string, number>();
  for (const {parts} of tools) {
    for (const component of new Set(parts.map((part) => part.component)))
      counts.set(component, (counts.get(component) ?? 0) + 1);
  }
  return [...counts].filter(([, count]) => 2 * count > tools.length).map(([component]) => component);
}

function partAt(
  lives: LifeTable,
  {component, position, age, hours, conditions, life}: PartsInService,
  i: number,
): FittedPart {
  const spent = conditions.flatMap(({mud, regime}, k): SpentIn[] => {
    const here = hours[i * conditions.length + k]!;
    return here > 0 ? [{mud, regime, hours: here}] : [];
  });
  const placed = spent.reduce((sum, one) => sum + one.hours, 0);
  return {
    component: component[i]!,
    position: position[i]!,
    serial: wordAt(lives.partSerial, life[i]!),
    age: age[i]!,
    spent,
    unplaced: Math.max(0, age[i]! - placed),
  };
}
