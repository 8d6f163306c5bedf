/** Families of drilling fluid. A word in a log names a family, never a compound; ranges are common practice. */

export interface Mud {
  readonly label: string;
  readonly family: "water" | "non-aqueous" | "brine" | "gas" | "unknown";
  readonly describes: string;
  /** usual relative density, and usual plastic viscosity (mPa·s) and yield point (lbf/100 ft²); null where none is usual */
  readonly density: readonly [number, number] | null;
  readonly pv_mPas: readonly [number, number] | null;
  readonly yp_lbf100ft2: readonly [number, number] | null;
  readonly elastomers: string;
  readonly hardParts: string;
  /** false where no mud pulse travels: such a run is flagged, not analysed */
  readonly carriesPulses: boolean;
}

export const MUDS: Readonly<Record<string, Mud>> = {
  SPUD: {
    label: "spud mud",
    family: "water",
    describes: "water-base, spud or native mud",
    density: [1.02, 1.15],
    pv_mPas: [3, 15],
    yp_lbf100ft2: [5, 30],
    elastomers: "mild",
    hardParts: "coarse sand abrades; many solids",
    carriesPulses: true,
  },
  DISP: {
    label: "dispersed mud",
    family: "water",
    describes: "water-base, dispersed with lignosulfonate or lignite",
    density: [1.1, 2.0],
    pv_mPas: [10, 35],
    yp_lbf100ft2: [5, 15],
    elastomers: "mild, pH 9.5 to 11",
    hardParts: "solids abrade",
    carriesPulses: true,
  },
  POLY: {
    label: "polymer mud",
    family: "water",
    describes: "water-base polymer or PHPA mud",
    density: [1.02, 1.5],
    pv_mPas: [8, 25],
    yp_lbf100ft2: [8, 25],
    elastomers: "mild; watch glycol and amine additives",
    hardParts: "moderate",
    carriesPulses: true,
  },
  KCL: {
    label: "KCl mud",
    family: "water",
    describes: "water-base KCl and polymer mud",
    density: [1.05, 1.5],
    pv_mPas: [8, 25],
    yp_lbf100ft2: [10, 30],
    elastomers: "mild",
    hardParts: "chloride pits stainless steel and cobalt binder",
    carriesPulses: true,
  },
  SALT: {
    label: "salt-saturated mud",
    family: "water",
    describes: "water-base mud saturated with salt",
    density: [1.2, 1.9],
    pv_mPas: [10, 30],
    yp_lbf100ft2: [10, 30],
    elastomers: "mild, dries to hard crystals",
    hardParts: "pitting; crystals jam after standing",
    carriesPulses: true,
  },
  LIME: {
    label: "lime or gyp mud",
    family: "water",
    describes: "water-base mud treated with lime or gypsum",
    density: [1.1, 1.9],
    pv_mPas: [10, 30],
    yp_lbf100ft2: [4, 15],
    elastomers: "high pH attacks some FKM",
    hardParts: "scale",
    carriesPulses: true,
  },
  OBM: {
    label: "oil-base mud",
    family: "non-aqueous",
    describes: "invert emulsion on diesel or mineral oil",
    density: [0.9, 2.2],
    pv_mPas: [15, 60],
    yp_lbf100ft2: [6, 30],
    elastomers: "aromatics swell and soften; amine emulsifiers and lime embrittle bisphenol-cured FKM",
    hardParts: "lubricates better; barite abrades",
    carriesPulses: true,
  },
  SBM: {
    label: "synthetic-base mud",
    family: "non-aqueous",
    describes: "invert emulsion on olefin, ester or paraffin",
    density: [0.95, 2.0],
    pv_mPas: [15, 50],
    yp_lbf100ft2: [6, 25],
    elastomers: "as oil-base, usually milder; esters attack some",
    hardParts: "as oil-base",
    carriesPulses: true,
  },
  BRN: {
    label: "brine",
    family: "brine",
    describes: "solids-free brine of a chloride, bromide or formate",
    density: [1.0, 2.3],
    pv_mPas: [1, 10],
    yp_lbf100ft2: [0, 3],
    elastomers: "zinc bromide and hot formate need tested compounds",
    hardParts: "erodes little; corrodes and pits much",
    carriesPulses: true,
  },
  AIR: {
    label: "air, mist or foam",
    family: "gas",
    describes: "air, mist, foam or aerated fluid",
    density: null,
    pv_mPas: null,
    yp_lbf100ft2: null,
    elastomers: "heat",
    hardParts: "not usual",
    carriesPulses: false,
  },
  UNK: {
    label: "unknown mud",
    family: "unknown",
    describes: "the log does not say, or says it ambiguously",
    density: null,
    pv_mPas: null,
    yp_lbf100ft2: null,
    elastomers: "unknown",
    hardParts: "unknown",
    carriesPulses: true,
  },
};

export const MUD_CODES: readonly string[] = Object.keys(MUDS);

/** The label of a mud; `mixed` is a life without a mud of its own. */
export function mudLabel(code: string): string {
  return code === "mixed" ? "mixed muds" : (MUDS[code]?.label ?? code);
}
