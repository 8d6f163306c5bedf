/** The wetted parts of the lower end that a shop looks at, one code each. */

export interface Component {
  /** singular, lower case, as it stands in a sentence */
  readonly label: string;
  readonly plural: string;
  /** what the part does */
  readonly does: string;
  readonly material: string;
  /** what uses it up */
  readonly wornBy: string;
  /** what is measured at an inspection; limits are the shop's own */
  readonly measures: readonly string[];
  /** what usually happens to it when it is no longer good */
  readonly disposition: string;
  /** true where shops commonly renew it by age; a default that the settings overrule */
  readonly ageLimited: boolean;
}

/** In the order in which a bench takes them out. Materials and dispositions are common practice, no maker's data. */
export const COMPONENTS: Readonly<Record<string, Component>> = {
  SEAL: {
    label: "seal",
    plural: "seals",
    does: "keeps mud out of the oil-filled part around a moving shaft",
    material: "HNBR, FKM or filled PTFE lip with a spring energiser",
    wornBy: "grit, swelling, heat and stroke count",
    measures: ["lip free diameter", "lip interference", "hardness", "lip flat width", "weep under low pressure"],
    disposition: "replace by limit or age",
    ageLimited: true,
  },
  LINR: {
    label: "liner",
    plural: "liners",
    does: "is the bore in which the moving part runs",
    material: "tungsten carbide, alumina or zirconia",
    wornBy: "erosion and impact",
    measures: ["bore at three depths and two angles", "ovality", "dye or ring test for cracks"],
    disposition: "reuse or scrap",
    ageLimited: false,
  },
  BAND: {
    label: "wear band",
    plural: "wear bands",
    does: "guides and centralises the tool in its bore",
    material: "hardfaced steel or carbide tiles",
    wornBy: "abrasion and vibration",
    measures: ["outside diameter at four angles", "thickness", "bond tap test"],
    disposition: "reuse or re-coat",
    ageLimited: true,
  },
  TIPP: {
    label: "poppet tip",
    plural: "poppet tips",
    does: "throttles the flow and so makes the pulse",
    material: "tungsten carbide or ceramic",
    wornBy: "jet erosion and impact",
    measures: ["tip outside diameter", "profile", "length", "chip count"],
    disposition: "reuse or scrap",
    ageLimited: true,
  },
  SPRG: {
    label: "return spring",
    plural: "return springs",
    does: "sets travel and closing force",
    material: "alloy or stainless steel, or a nickel alloy",
    wornBy: "fatigue, relaxation and corrosion",
    measures: ["free length", "load at set height", "coil pitch"],
    disposition: "reuse or scrap",
    ageLimited: true,
  },
  SHFT: {
    label: "shaft",
    plural: "shafts",
    does: "passes the stroke on",
    material: "precipitation-hardened stainless steel, coated",
    wornBy: "scoring, pitting and bending",
    measures: ["outside diameter", "run-out", "roughness", "thread gauge"],
    disposition: "reuse, polish or scrap",
    ageLimited: false,
  },
  HLXS: {
    label: "helix and screen",
    plural: "helices and screens",
    does: "seats the tool and filters the pilot flow",
    material: "hardfaced steel and wire",
    wornBy: "erosion and plugging",
    measures: ["slot width", "land height", "open area"],
    disposition: "clean or scrap",
    ageLimited: false,
  },
  ORIF: {
    label: "orifice",
    plural: "orifices",
    does: "is the fixed throat of the valve",
    material: "tungsten carbide",
    wornBy: "jet erosion",
    measures: ["inside diameter at two angles", "edge radius"],
    disposition: "flip or scrap",
    ageLimited: false,
  },
  ORNG: {
    label: "O-ring set",
    plural: "O-ring sets",
    does: "seals static joints",
    material: "HNBR, FKM or FEPM",
    wornBy: "set, extrusion and nicks",
    measures: ["section", "compression set", "extrusion lip"],
    disposition: "always renewed",
    ageLimited: true,
  },
};

export const COMPONENT_CODES: readonly string[] = Object.keys(COMPONENTS);

/** The label of a component, or the code itself where the vocabulary has none. */
export function componentLabel(code: string): string {
  return COMPONENTS[code]?.label ?? code;
}
