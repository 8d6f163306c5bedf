/**
 * Basalt: oilfield units, US dates, shop words for everything, thousands with commas. Hours on parts are noted at
 * about half of the rows, dimensions in inches.
 */
import {PART_COST} from "../scenario.ts";
import {
  FOOT_M,
  GALLON_L,
  INCH_MM,
  PPB_KGM3,
  PPG_KGM3,
  YIELD_PA,
  clock,
  column,
  costOf,
  fixed,
  partAfter,
  short,
  word,
  type Habit,
} from "./habit.ts";

const MUDS: Readonly<Record<string, readonly string[]>> = {
  OBM: ["OBM", "OBM", "OBM", "invert", "diesel OBM"],
  KCL: ["K-poly", "K-poly", "KCl/Polymer"],
};
const PARTS = {
  SEAL: "LIP SEAL",
  LINR: "CARBIDE LINER",
  BAND: "WEAR BAND",
  TIPP: "TIP",
  SPRG: "SPRING",
  SHFT: "ROD",
  HLXS: "HELIX",
  ORIF: "ORIFICE",
  ORNG: "O-RINGS",
};
const OUTCOMES = {
  completed: "OK",
  "failed downhole": "FAIL",
  "pulled for other reason": "PULLED",
  "lost in hole": "LIH",
};
const FOUND = {good: "OK", worn: "WORN", failed: "FAILED", "damaged at service": "SHOP DAMAGE", "not inspected": "N/I"};
const ACTIONS = {kept: "Reused", renewed: "Replaced", "swapped for a used part": "Fitted used", reworked: "Recoated"};
export const BASALT_MODES = {
  "SEAL-ABR": "abraded",
  "SEAL-SWL": "swollen",
  "SEAL-REV": "fitted backwards",
  "SEAL-CUT": "cut on thread",
  "LINR-ERO": "bore washed",
  "LINR-IMP": "chipped",
  "LINR-CLM": "cracked in vice",
  "BAND-WEA": "OD worn",
  "BAND-SPL": "spalled",
  "TIPP-ERO": "erosion",
  "TIPP-CHP": "edge chipped",
  "TIPP-BKO": "backed off",
  "SPRG-FAT": "broken coil",
  "SPRG-SET": "set",
  "SHFT-SCO": "scored",
  "SHFT-PIT": "pitted",
  "SHFT-GAL": "thread galled",
  "HLXS-ERO": "washed",
  "HLXS-PLG": "plugged",
  "ORIF-ERO": "erosion",
  "ORNG-EXT": "extruded",
  "ORNG-NIC": "nicked",
};

function minute(time: number): string {
  const {y, month, day, hm} = clock(time);
  return `${month}/${day}/${y} ${hm}`;
}

function dayOf(time: number): string {
  const {y, month, day} = clock(time);
  return `${month}/${day}/${y}`;
}

const thousands = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ",");

export const basalt: Habit = {
  format: {delimiter: ",", lineEnd: "\r\n", byteOrderMark: false},
  runs: [
    column("Run Number", ({run}) => run),
    column("Serial", ({tool}) => tool),
    column("Job No", ({job}) => job),
    column("Fleet", ({fleet}) => fleet),
    column("Date In Hole", ({start}) => minute(start)),
    column("Date Out Of Hole", ({end}) => minute(end)),
    column("Circulating Hours", ({circulating}) => fixed(circulating, 1)),
    column("Below Rotary Hours", ({belowRotary}) => fixed(belowRotary, 1)),
    column("Strokes", ({pulses}) => thousands(pulses)),
    column("Fluid", ({mud}, {dice}) => dice.pick(MUDS[mud] ?? [mud])),
    column("Mud Weight (ppg)", ({density}) => fixed(density / PPG_KGM3, 1)),
    column("PV (cP)", ({pv}) => String(pv)),
    column("YP (lb/100ft2)", ({yp}) => fixed(yp / YIELD_PA, 0)),
    column("Sand Content (%)", ({sand}) => short(sand, 2)),
    column("LCM (ppb)", ({lcm}) => fixed(lcm / PPB_KGM3, 0)),
    column("Pump Rate (gpm)", ({flow}) => fixed(flow / GALLON_L, 0)),
    column("Collar ID (in)", ({bore}) => short(bore / INCH_MM, 3)),
    column("Tool OD (in)", ({probe}) => short(probe / INCH_MM, 3)),
    column("BHT (degF)", ({temperature}) => fixed(temperature * 1.8 + 32, 0)),
    column("MD (ft)", ({depth}) => fixed(depth / FOOT_M, 0)),
    column("Result", ({outcome}) => word(OUTCOMES, outcome)),
    column("Failure Hour", ({failure}) => short(failure?.logged ? failure.at : null, 1)),
    column("Lost Time (h)", ({lostTime}) => (lostTime === 0 ? "" : short(lostTime, 1))),
    column("Notes", ({comment}) => comment),
  ],
  rebuilds: [
    column("Work Order", ({rebuild}) => rebuild),
    column("Tool Serial", ({tool}) => tool),
    column("Service Date", ({date}) => dayOf(date)),
    column("Base", ({shop}) => shop),
    column("Initials", ({technician}) => technician),
    column("Item", ({component}) => PARTS[component]),
    column("P/N", (row, scene) => partAfter(row, scene).partNumber),
    column("Lot No", (row, scene) => partAfter(row, scene).lot),
    column("Part Serial No", (row, scene) => partAfter(row, scene).serial ?? ""),
    column("As Found", ({found}) => FOUND[found]),
    column("Defect", ({mode}) => word(BASALT_MODES, mode)),
    column("Caused Failure", ({endedRun, mode}) => (endedRun ? "yes" : mode ? "no" : "")),
    column("Work Done", ({action}) => ACTIONS[action]),
    column("New Part Hours", ({installedWith}) => short(installedWith, 1)),
    column("Total Hours", ({hoursOnPart}, {dice}) => (dice.chance(0.55) ? short(hoursOnPart, 0) : "")),
    column("Measurement", ({measurement}) => measurement?.measure ?? ""),
    column("Reading (in)", ({measurement}) => (measurement ? fixed(measurement.measured / INCH_MM, 4) : "")),
    column("Reject Limit (in)", ({measurement}) => (measurement ? fixed(measurement.limit / INCH_MM, 4) : "")),
    column("Wait Days", ({waitDays}) => String(waitDays)),
    column("Part Price", (row) => costOf(row, PART_COST[row.component])),
    column("Labor Hours", ({labour}) => short(labour, 1)),
    column("Notes", ({comment}) => comment),
  ],
};
