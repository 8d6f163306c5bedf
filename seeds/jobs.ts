/** Jobs: a well with one mud, one temperature and usually one flow, and one to four runs of a tool. */
import {rounded, type Random} from "./Random.ts";
import {FLOW_VELOCITIES, LCM, MUD_PROPERTIES, type FleetTruth, type Mud, type Regime} from "./scenario.ts";

export interface Job {
  readonly name: string;
  readonly mud: Mud;
  readonly regime: Regime;
  readonly temperature: number;
  readonly density: number;
  /** mPa.s and lbf/100ft2 at the start of the job */
  readonly pv: number;
  readonly yp: number;
  depth: number;
  runsLeft: number;
}

/** What the hole did to the tool in one run, before anything fails. Units are canonical. */
export interface RunPlan {
  readonly job: string;
  readonly mud: Mud;
  readonly regime: Regime;
  readonly temperature: number;
  readonly density: number;
  readonly pv: number;
  readonly yp: number;
  readonly sand: number;
  readonly lcm: number;
  readonly flow: number;
  readonly depth: number;
}

/** A tool's next job is in the same mud this often, beyond chance; and at the same flow. */
const SAME_MUD = 0.6;
const SAME_FLOW = 0.35;
/** Within a job a run leaves its flow regime this often (another hole section). */
const OTHER_FLOW = 0.12;
/** Pa in a lbf/100ft2 */
const PA_PER_YIELD_UNIT = 0.478803;

const along = ([low, high]: readonly [number, number], share: number): number => low + share * (high - low);

export function nextJob(fleet: FleetTruth, name: string, last: Job | null, random: Random): Job {
  const mud = last && random.chance(SAME_MUD) ? last.mud : random.weighted(fleet.muds);
  const regime = last && random.chance(SAME_FLOW) ? last.regime : random.weighted(fleet.flows);
  const weight = random.between(0, 1);
  const {density, pv, yp} = MUD_PROPERTIES[mud];
  return {
    name,
    mud,
    regime,
    temperature: random.integer(...fleet.temperature),
    density: rounded(along(density, weight), 0),
    pv: along(pv, weight),
    yp: along(yp, random.between(0.2, 0.8)),
    depth: rounded(random.between(fleet.depth[0], fleet.depth[1]), 0),
    runsLeft: random.integer(1, 4),
  };
}

/** Area of the gap between bore and probe, mm2. */
function gapArea({bore, probe}: FleetTruth): number {
  return (Math.PI / 4) * (bore * bore - probe * probe);
}

/** The next run of a job; uses one of its runs up. */
export function nextRun(fleet: FleetTruth, job: Job, random: Random): RunPlan {
  const regime = random.chance(OTHER_FLOW) ? random.weighted(fleet.flows) : job.regime;
  const velocity = random.between(...FLOW_VELOCITIES[regime]);
  const {pv, yp} = MUD_PROPERTIES[job.mud];
  job.runsLeft -= 1;
  job.depth += random.integer(60, 260);
  return {
    job: job.name,
    mud: job.mud,
    regime,
    temperature: job.temperature,
    density: job.density,
    pv: Math.max(pv[0], rounded(job.pv + random.noise(), 0)),
    yp: rounded(Math.max(yp[0], rounded(job.yp + random.noise(), 0)) * PA_PER_YIELD_UNIT, 2),
    sand: rounded(
      job.mud === "BRN" ? random.between(0, 0.15) : 0.1 + 0.2 * (random.between(0, 1) + random.between(0, 1)),
      2,
    ),
    lcm: random.chance(LCM.share) ? rounded(random.between(15, 70), 0) : 0,
    flow: rounded((velocity * gapArea(fleet) * 60) / 1000, 0),
    depth: job.depth,
  };
}
