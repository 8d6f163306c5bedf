/** Alder: tidy. Codes and full words, SG and gpm in its headers, year-first dates, hours always counted. */
import {MODES} from "../../shared/vocabulary/index.ts";
import {PART_COST} from "../scenario.ts";
import {GALLON_L, YIELD_PA, clock, column, costOf, fixed, partAfter, short, word, type Habit} from "./habit.ts";

const MUDS: Readonly<Record<string, readonly string[]>> = {
  KCL: ["KCl/PHPA", "KCl/PHPA", "KCl polymer"],
  BRN: ["CaCl2 brine", "CaCl2 brine", "brine"],
};
const PARTS = {
  SEAL: "Seal",
  LINR: "Liner",
  BAND: "Wear band",
  TIPP: "Poppet tip",
  SPRG: "Return spring",
  SHFT: "Shaft",
  HLXS: "Helix/screen",
  ORIF: "Orifice",
  ORNG: "O-ring kit",
};
const OUTCOMES = {"lost in hole": "LIH"};

function minute(time: number): string {
  const {y, m, d, hm} = clock(time);
  return `${y}-${m}-${d} ${hm}`;
}

function day(time: number): string {
  const {y, m, d} = clock(time);
  return `${y}-${m}-${d}`;
}

export const alder: Habit = {
  format: {delimiter: ",", lineEnd: "\n", byteOrderMark: false},
  runs: [
    column("Run No", ({run}) => run),
    column("Tool SN", ({tool}) => tool),
    column("Well", ({job}) => job),
    column("Fleet", ({fleet}) => fleet),
    column("Run Start", ({start}) => minute(start)),
    column("Run End", ({end}) => minute(end)),
    column("Circ Hrs", ({circulating}) => short(circulating, 1)),
    column("BRT Hrs", ({belowRotary}) => short(belowRotary, 1)),
    column("Pulse Count", ({pulses}) => String(pulses)),
    column("Mud Type", ({mud}, {dice}) => dice.pick(MUDS[mud] ?? [mud])),
    column("MW [SG]", ({density}) => fixed(density / 1000, 2)),
    column("PV [cP]", ({pv}) => String(pv)),
    column("YP [lbf/100ft2]", ({yp}) => fixed(yp / YIELD_PA, 0)),
    column("Sand [%]", ({sand}) => short(sand, 2)),
    column("LCM [kg/m3]", ({lcm}) => String(lcm)),
    column("Flow Rate [gpm]", ({flow}) => fixed(flow / GALLON_L, 0)),
    column("Collar Bore [mm]", ({bore}) => short(bore, 2)),
    column("Probe OD [mm]", ({probe}) => short(probe, 2)),
    column("Max Temp [degC]", ({temperature}) => String(temperature)),
    column("Depth [m]", ({depth}) => String(depth)),
    column("Outcome", ({outcome}) => word(OUTCOMES, outcome)),
    column("Failed At [h]", ({failure}) => short(failure?.logged ? failure.at : null, 1)),
    column("NPT [h]", ({lostTime}) => short(lostTime, 1)),
    column("Remarks", ({comment}) => comment),
  ],
  rebuilds: [
    column("Rebuild ID", ({rebuild}) => rebuild),
    column("Tool SN", ({tool}) => tool),
    column("Teardown Date", ({date}) => day(date)),
    column("Workshop", ({shop}) => shop),
    column("Tech", ({technician}) => technician),
    column("Component", ({component}) => PARTS[component]),
    column("Part No", (row, scene) => partAfter(row, scene).partNumber),
    column("Batch", (row, scene) => partAfter(row, scene).lot),
    column("Part SN", (row, scene) => partAfter(row, scene).serial ?? ""),
    column("Condition", ({found}) => found),
    column("Failure Mode", ({mode}) => mode ?? ""),
    column("Mechanism", ({mode}) => (mode ? (MODES[mode]?.mechanism ?? "") : "")),
    column("Ended Run", ({endedRun}) => (endedRun ? "Y" : "N")),
    column("Action", ({action}) => action),
    column("Hours On New Part", ({installedWith}) => short(installedWith, 1)),
    column("Part Hours", ({hoursOnPart}) => short(hoursOnPart, 1)),
    column("Dimension", ({measurement}) => measurement?.measure ?? ""),
    column("Measured [mm]", ({measurement}) => fixed(measurement?.measured ?? null, 2)),
    column("Limit [mm]", ({measurement}) => fixed(measurement?.limit ?? null, 2)),
    column("Wait [days]", ({waitDays}) => String(waitDays)),
    column("Cost [USD]", (row) => costOf(row, PART_COST[row.component])),
    column("Man Hours", ({labour}) => short(labour, 1)),
    column("Remarks", ({comment}) => comment),
  ],
};
