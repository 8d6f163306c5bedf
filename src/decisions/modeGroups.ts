/**
 * Which failure modes age limits can address.
 *
 * A part may fail because it is used up (erosion, wear, corrosion, fatigue, deformation, overheating) or because
 * something struck it whatever its age (breakage by debris, blockage, sticking, a retainer come loose). Mixed together
 * they bend the probability plot and pull the shape toward 1 (IEC 61649 asks to fit per mode first; from memory), so the
 * wear modes get a Weibull with condition effects, and chance a constant rate beside it. (One
 * Weibull for all own failures was tried on the bench: its intervals cost 4.6 % more than the best at 60 tools, these 2.7 %.)
 * Modes the shop causes belong to
 * neither: they end a life like a renewal, and no age limit prevents them.
 */
import {MODES} from "../../shared/vocabulary/index.ts";

export type ModeGroup = "wear" | "chance" | "shop" | "nothing found";

/** Numbers of the mechanisms (ISO 14224 table B.2) that strike whatever the age. */
const CHANCE: ReadonlySet<string> = new Set(["1.1", "1.3", "1.5", "1.6", "2.5", "5.1", "5.2"]);

/** The group of a mode code. A mode without a known mechanism counts as wear, which is what most turn out to be. */
export function modeGroup(code: string): ModeGroup {
  if (code.endsWith("-NFF")) return "nothing found";
  const mode = MODES[code];
  if (mode === undefined) return "wear";
  if (mode.serviceInduced) return "shop";
  return CHANCE.has(mode.mechanism.split(" ")[0] ?? "") ? "chance" : "wear";
}
