/**
 * Cobalt: semicolons and decimal commas, day.month.year, part codes and the endings of mode codes. Hours on parts are
 * noted only when something is changed.
 */
import {PART_COST} from "../scenario.ts";
import {clock, column, costOf, fixed, partAfter, short, word, type Habit} from "./habit.ts";

const MUDS: Readonly<Record<string, readonly string[]>> = {
  SBM: ["SBM", "SBM", "SOBM"],
  SALT: ["sat salt", "sat salt", "SSM"],
};
const OUTCOMES = {completed: "TD", "failed downhole": "DHF", "pulled for other reason": "pulled"};
const FOUND = {failed: "bad", "damaged at service": "damaged in shop", "not inspected": "not checked"};
const ACTIONS = {renewed: "new", "swapped for a used part": "used", reworked: "recoated"};

function minute(time: number): string {
  const {y, m, d, hm} = clock(time);
  return `${d}.${m}.${y} ${hm}`;
}

function day(time: number): string {
  const {y, m, d} = clock(time);
  return `${d}.${m}.${y}`;
}

const comma = (text: string): string => text.replace(".", ",");

export const cobalt: Habit = {
  format: {delimiter: ";", lineEnd: "\r\n", byteOrderMark: true},
  runs: [
    column("Run ID", ({run}) => run),
    column("Tool S/N", ({tool}) => tool),
    column("Well Name", ({job}) => job),
    column("District", ({fleet}) => fleet),
    column("Below Rotary", ({start}) => minute(start)),
    column("At Surface", ({end}) => minute(end)),
    column("Circ h", ({circulating}) => comma(fixed(circulating, 1))),
    column("BRT h", ({belowRotary}) => comma(fixed(belowRotary, 1))),
    column("Pulses", ({pulses}) => String(pulses)),
    column("Mud system", ({mud}, {dice}) => dice.pick(MUDS[mud] ?? [mud])),
    column("Mud density [kg/m3]", ({density}) => String(density)),
    column("PV [mPas]", ({pv}) => String(pv)),
    column("YP [Pa]", ({yp}) => comma(fixed(yp, 1))),
    column("Sand [vol%]", ({sand}) => comma(fixed(sand, 2))),
    column("LCM [kg/m3]", ({lcm}) => String(lcm)),
    column("Flow avg [L/min]", ({flow}) => String(flow)),
    column("Collar ID [mm]", ({bore}) => comma(fixed(bore, 2))),
    column("Tool OD [mm]", ({probe}) => comma(fixed(probe, 2))),
    column("T max [°C]", ({temperature}) => comma(fixed(temperature, 1))),
    column("MD [m]", ({depth}) => String(depth)),
    column("Run result", ({outcome}) => word(OUTCOMES, outcome)),
    column("Failed after [h]", ({failure}) => comma(fixed(failure?.logged ? failure.at : null, 1))),
    column("NPT [h]", ({lostTime}) => (lostTime === 0 ? "" : comma(fixed(lostTime, 1)))),
    column("Notes", ({comment}) => comment),
  ],
  rebuilds: [
    column("WO", ({rebuild}) => rebuild),
    column("Tool S/N", ({tool}) => tool),
    column("Date of teardown", ({date}) => day(date)),
    column("Workshop", ({shop}) => shop),
    column("Done by", ({technician}) => technician),
    column("Part", ({component}) => component),
    column("PN", (row, scene) => partAfter(row, scene).partNumber),
    column("Batch no", (row, scene) => partAfter(row, scene).lot),
    column("Part S/N", (row, scene) => partAfter(row, scene).serial ?? ""),
    column("Finding", ({found}) => word(FOUND, found)),
    column("Fault", ({mode}) => mode?.slice(5) ?? ""),
    column("Run ender", ({endedRun}) => (endedRun ? "x" : "")),
    column("Disposition", ({action}) => word(ACTIONS, action)),
    column("Prior hours", ({installedWith}) => comma(fixed(installedWith, 1))),
    column("Hours at teardown", ({hoursOnPart, action}) => comma(fixed(action === "kept" ? null : hoursOnPart, 1))),
    column("Dimension", ({measurement}) => measurement?.measure ?? ""),
    column("Actual [mm]", ({measurement}) => comma(fixed(measurement?.measured ?? null, 2))),
    column("Wear limit [mm]", ({measurement}) => comma(fixed(measurement?.limit ?? null, 2))),
    column("Days waiting", ({waitDays}) => String(waitDays)),
    column("Part price [USD]", (row) => costOf(row, PART_COST[row.component])),
    column("Man hours", ({labour}) => comma(short(labour, 1))),
    column("Notes", ({comment}) => comment),
  ],
};
