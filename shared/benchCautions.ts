/**
 * The usual cautions for whoever acts on a page at the bench. General shop practice and public safety notices
 * (OSHA 29 CFR 1910.147 on stored energy, .133 on eye protection, .184 on lifting; HSE on fluoroelastomers;
 * published accounts of lithium cells); no maker's instruction.
 */
export interface BenchCaution {
  readonly hazard: string;
  readonly caution: string;
}

export const DEFERRAL =
  "This page is a reminder only. The law where you stand, the equipment maker's procedure and people competent for the " +
  "task decide, and they win over any number or interval shown here.";

export const BENCH_CAUTIONS: readonly BenchCaution[] = [
  {
    hazard: "Spring energy",
    caution: "Treat every spring as loaded: hold it in a fixture, stay out of its line, release it slowly.",
  },
  {
    hazard: "Trapped pressure",
    caution:
      "Assume pressure behind plugs, plugged screens and stuck joints: vent, back off a little, wait. A binding joint stores energy.",
  },
  {
    hazard: "Heat on thread-locker",
    caution:
      "Identify and take out elastomers first; prefer chemical or mechanical release. Fluoroelastomer heated in a closed joint can form hydrofluoric acid: calcium gluconate gel must be at hand.",
  },
  {
    hazard: "Carbide and ceramic",
    caution: "Brittle parts burst when struck or clamped: face shield, soft jaws, no steel hammer, no dry grinding.",
  },
  {
    hazard: "Clamping",
    caution: "Clamp at the marked zones with wrapped jaws at the set pressure, never on the length of a liner.",
  },
  {hazard: "Lithium cells", caution: "Take the battery off first. No flame, no crushing, no wet storage."},
  {
    hazard: "Mud, oil, hydrogen sulphide",
    caution: "Wash down under extraction, with gloves; carry a gas meter when opening a tool from a sour job.",
  },
  {hazard: "Lifting", caution: "Long, heavy sections: two-point sling, rated gear, no hand underneath."},
];
