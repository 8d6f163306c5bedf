/** The logs in the program's own columns, units and codes: nothing left to interpret. */
import {MODES} from "../../shared/vocabulary/index.ts";
import {PART_COST} from "../scenario.ts";
import {clock, column, costOf, fixed, partAfter, short, type Habit} from "./habit.ts";

function isoMinute(time: number): string {
  const {y, m, d, hm} = clock(time);
  return `${y}-${m}-${d}T${hm}Z`;
}

function isoDay(time: number): string {
  const {y, m, d} = clock(time);
  return `${y}-${m}-${d}`;
}

export const canonical: Habit = {
  format: {delimiter: ",", lineEnd: "\n", byteOrderMark: false},
  runs: [
    column("run", ({run}) => run),
    column("tool", ({tool}) => tool),
    column("job", ({job}) => job),
    column("fleet", ({fleet}) => fleet),
    column("start", ({start}) => isoMinute(start)),
    column("end", ({end}) => isoMinute(end)),
    column("circulating_h", ({circulating}) => fixed(circulating, 1)),
    column("below_rotary_h", ({belowRotary}) => fixed(belowRotary, 1)),
    column("pulses", ({pulses}) => String(pulses)),
    column("mud", ({mud}) => mud),
    column("density_kgm3", ({density}) => String(density)),
    column("pv_mPas", ({pv}) => String(pv)),
    column("yp_Pa", ({yp}) => short(yp, 2)),
    column("sand_pct", ({sand}) => short(sand, 2)),
    column("lcm_kgm3", ({lcm}) => String(lcm)),
    column("flow_lpm", ({flow}) => String(flow)),
    column("bore_mm", ({bore}) => short(bore, 2)),
    column("tool_od_mm", ({probe}) => short(probe, 2)),
    column("temperature_max_C", ({temperature}) => String(temperature)),
    column("depth_m", ({depth}) => String(depth)),
    column("outcome", ({outcome}) => outcome),
    column("failed_at_h", ({failure}) => fixed(failure?.logged ? failure.at : null, 1)),
    column("lost_time_h", ({lostTime}) => short(lostTime, 1)),
    column("comment", ({comment}) => comment),
  ],
  rebuilds: [
    column("rebuild", ({rebuild}) => rebuild),
    column("tool", ({tool}) => tool),
    column("date", ({date}) => isoDay(date)),
    column("shop", ({shop}) => shop),
    column("technician", ({technician}) => technician),
    column("component", ({component}) => component),
    column("part_number", (row, scene) => partAfter(row, scene).partNumber),
    column("lot", (row, scene) => partAfter(row, scene).lot),
    column("part_serial", (row, scene) => partAfter(row, scene).serial ?? ""),
    column("found", ({found}) => found),
    column("mode", ({mode}) => mode ?? ""),
    column("mechanism", ({mode}) => (mode ? (MODES[mode]?.mechanism ?? "") : "")),
    column("ended_run", ({endedRun}) => (endedRun ? "yes" : "no")),
    column("action", ({action}) => action),
    column("installed_with_h", ({installedWith}) => short(installedWith, 1)),
    column("hours_on_part", ({hoursOnPart}) => short(hoursOnPart, 1)),
    column("measure", ({measurement}) => measurement?.measure ?? ""),
    column("measured_mm", ({measurement}) => fixed(measurement?.measured ?? null, 2)),
    column("limit_mm", ({measurement}) => fixed(measurement?.limit ?? null, 2)),
    column("wait_days", ({waitDays}) => String(waitDays)),
    column("part_cost", (row) => costOf(row, PART_COST[row.component])),
    column("labour_h", ({labour}) => short(labour, 1)),
    column("comment", ({comment}) => comment),
  ],
};
