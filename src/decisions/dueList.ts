/**
 * Which parts stand past their renewal age, or will before the next run is over.
 *
 * An interval of the register or a recommended one is for one mud and flow: the part's age is counted in hours of that
 * condition, each hour at the pace of where it was spent. One of the settings is a rule on the hours themselves.
 */
import type {Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import {COMPONENTS} from "../../shared/vocabulary/index.ts";
import {fleetPolicy} from "./fleetCosts.ts";
import type {FittedPart, FittedTool} from "./fittedParts.ts";
import {equivalentAge, hazardAhead, type RunAhead} from "./hazardAhead.ts";
import type {IntervalRow} from "./intervalRow.ts";
import {survivalOf, type Chance} from "./nextRun.ts";
import type {PartModel} from "./partModels.ts";
import {inForce, type Revision} from "./policyInForce.ts";

/** Where an interval comes from. */
export type IntervalSource = "register" | "settings" | "recommended";

export interface DuePart {
  readonly tool: string;
  readonly fleet: string | null;
  readonly component: string;
  readonly position: string | null;
  readonly serial: string | null;
  /** hours on the part, and as they are held against the interval */
  readonly age: number;
  readonly counted: number;
  readonly interval: number;
  readonly source: IntervalSource;
  readonly decided: Revision | null;
  readonly ahead: RunAhead;
  /** `counted` beyond the interval now, and when the next run is over; negative while below */
  readonly over: number;
  readonly overAfter: number;
  /** chance to come through the next run; null where there is no model */
  readonly survival: Chance | null;
}

export interface DueQuestion {
  readonly tools: readonly FittedTool[];
  /** the run each tool is likely to be sent on next */
  readonly ahead: (tool: FittedTool) => RunAhead;
  readonly models: ReadonlyMap<string, PartModel>;
  /** the interval sheet, for parts that neither the register nor the settings have an interval for */
  readonly sheet: readonly IntervalRow[];
  readonly settings: Settings;
  readonly register: Register;
}

export interface DueList {
  /** parts with an interval, those least likely to come through their next run first; then the furthest past it */
  readonly parts: readonly DuePart[];
  /** parts that nobody has an interval for: run to failure, or too few failures to say */
  readonly withoutInterval: number;
  /** parts renewed at every rebuild, whatever their age */
  readonly everyRebuild: number;
}

const past = ({overAfter, interval}: DuePart): number => overAfter / interval;

function byUrgency(a: DuePart, b: DuePart): number {
  return (a.survival?.mean ?? 2) - (b.survival?.mean ?? 2) || past(b) - past(a) || (a.tool < b.tool ? -1 : 1);
}

export function dueList({tools, ahead: runOf, models, sheet, settings, register}: DueQuestion): DueList {
  const parts: DuePart[] = [];
  const rows = new Map(sheet.map((row) => [`${row.component} ${row.mud} ${row.regime}`, row]));
  let withoutInterval = 0;
  let everyRebuild = 0;
  for (const tool of tools) {
    const ahead = runOf(tool);
    for (const part of tool.parts) {
      const {component} = part;
      const rule = ruleFor(part, tool, ahead);
      if (rule === null) {
        withoutInterval += 1;
        continue;
      }
      if (rule.interval === 0 || COMPONENTS[component]?.disposition === "always renewed") {
        everyRebuild += 1;
        continue;
      }
      const model = models.get(component);
      const equivalent = model === undefined ? null : equivalentAge(model, part, ahead);
      const counted = rule.source === "settings" ? part.age : (equivalent ?? part.age);
      const hazard = model === undefined ? null : hazardAhead(model, part, ahead);
      parts.push({
        tool: tool.tool,
        fleet: tool.fleet,
        component,
        position: part.position,
        serial: part.serial,
        age: part.age,
        counted,
        ...rule,
        ahead,
        over: counted - rule.interval,
        overAfter: counted + ahead.hours - rule.interval,
        survival: hazard === null ? null : survivalOf(hazard, settings.level),
      });
    }
  }
  parts.sort(byUrgency);
  return {parts, withoutInterval, everyRebuild};

  function ruleFor(
    {component}: FittedPart,
    {fleet}: FittedTool,
    {mud, regime}: RunAhead,
  ): Pick<DuePart, "interval" | "source" | "decided"> | null {
    const decided = inForce(register, {component, mud, regime, fleet});
    if (decided !== null)
      return decided.interval_h === null ? null : {interval: decided.interval_h, source: "register", decided};
    const {current} = fleetPolicy(settings, fleet ?? "", component);
    if (current !== null) return {interval: current, source: "settings", decided: null};
    const row = rows.get(`${component} ${mud} ${regime}`);
    if (row?.advice !== "renew at" || row.interval_h === null) return null;
    return {interval: row.interval_h, source: "recommended", decided: null};
  }
}
