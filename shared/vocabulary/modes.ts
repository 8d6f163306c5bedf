/**
 * Failure modes: what is seen (mode), how it came about (mechanism) and why (cause) stay three things.
 *
 * Mechanisms carry the numbers and names of ISO 14224:2016 table B.2, causes those of table B.3 (names of B.3, and
 * mechanisms 5.1 and 5.2, from memory). A fault the shop causes takes cause 3.3, maintenance error, which includes
 * assembly done at a rebuild; never 2.2, which excludes it.
 */
import {COMPONENT_CODES} from "./components.ts";

export interface Mode {
  readonly component: string;
  /** what is seen, lower case, as it stands in a sentence */
  readonly label: string;
  /** number and name of the mechanism */
  readonly mechanism: string;
  /** number and name of the cause; two where only the job can tell */
  readonly cause: string;
  /** how it is found */
  readonly detection: string;
  /** what is done about it */
  readonly activity: string;
  /** true when the shop causes it */
  readonly serviceInduced: boolean;
}

export const MECHANISMS: Readonly<Record<string, string>> = {
  "1.1": "leakage",
  "1.3": "clearance or alignment",
  "1.4": "deformation",
  "1.5": "looseness",
  "1.6": "sticking",
  "2.2": "corrosion",
  "2.3": "erosion",
  "2.4": "wear",
  "2.5": "breakage",
  "2.6": "fatigue",
  "2.7": "overheating",
  "5.1": "blockage",
  "5.2": "contamination",
};

export const CAUSES: Readonly<Record<string, string>> = {
  "1.1": "improper capacity",
  "1.2": "improper material",
  "2.1": "fabrication",
  "3.1": "off-design service",
  "3.2": "operating error",
  "3.3": "maintenance error",
  "3.4": "expected wear and tear",
  "5.1": "no cause found",
};

const DETECTIONS: Readonly<Record<string, string>> = {
  I: "inspection",
  P: "pressure test",
  F: "functional test",
  D: "on demand in service",
  C: "casual observation",
};

const ACTIVITIES: Readonly<Record<string, string>> = {
  RPL: "replace",
  REP: "repair",
  SRV: "service",
  REF: "refit",
  ADJ: "adjust",
};

/** code, what is seen, mechanism, cause, detection, activity; a star behind the code marks a service-induced mode */
type Row = readonly [code: string, seen: string, mechanism: string, cause: string, found: string, activity: string];

const ROWS: readonly Row[] = [
  ["SEAL-ABR", "lip flattened or scored by grit", "2.4", "3.4", "I", "RPL"],
  ["SEAL-SWL", "swollen or soft, interference too high", "1.4", "1.2/3.1", "I", "RPL"],
  ["SEAL-HRD", "hard, cracked or set", "2.7", "3.1", "I", "RPL"],
  ["SEAL-EXT", "nibbled or extruded", "1.4", "3.1", "I", "RPL"],
  ["SEAL-BLI", "blistered after bleed-off", "1.4", "3.1", "I", "RPL"],
  ["SEAL-REV*", "lip fitted the wrong way round", "1.1", "3.3", "P", "REF"],
  ["SEAL-CUT*", "cut on a thread or groove edge", "2.5", "3.3", "P/I", "RPL"],
  ["LINR-ERO", "bore washed past its limit", "2.3", "3.4", "I", "RPL"],
  ["LINR-WEA", "bore polished oval or scored", "2.4", "3.4", "I", "RPL"],
  ["LINR-IMP", "chipped by debris", "2.5", "3.1", "I", "RPL"],
  ["LINR-COB", "binder leached, rough", "2.2", "1.2/3.1", "I", "RPL"],
  ["LINR-THM", "cracked by heat", "2.5", "3.1/3.3", "I", "RPL"],
  ["LINR-CLM*", "cracked by vice, clamp or press", "2.5", "3.3", "I/C", "RPL"],
  ["BAND-WEA", "diameter or thickness under its limit", "2.4", "3.4", "I", "REP"],
  ["BAND-ERO", "washed behind the edge", "2.3", "3.4", "I", "REP"],
  ["BAND-SPL", "coating or tile spalled", "2.5", "2.1", "I", "REP"],
  ["BAND-HCK", "heat-checked", "2.7", "3.1", "I", "REP"],
  ["BAND-COR", "undercut by corrosion", "2.2", "3.1", "I", "REP"],
  ["BAND-LOS*", "loose, fitted up wrong", "1.5", "3.3", "I/D", "REF"],
  ["TIPP-ERO", "diameter or profile washed", "2.3", "3.4", "I", "RPL"],
  ["TIPP-CHP", "edge chipped", "2.5", "3.1", "I", "RPL"],
  ["TIPP-CRK", "braze or shank cracked", "2.6", "2.1/3.4", "I", "RPL"],
  ["TIPP-COR", "binder attacked", "2.2", "1.2", "I", "RPL"],
  ["TIPP-JAM", "jammed on solids", "1.6", "3.1", "D/F", "SRV"],
  ["TIPP-BKO*", "backed off: thread-locker missing, old or not cured", "1.5", "3.3", "D/I", "REF"],
  ["SPRG-FAT", "coil broken", "2.6", "3.4", "I/D", "RPL"],
  ["SPRG-SET", "free length or load low", "1.4", "3.4/3.1", "I", "RPL"],
  ["SPRG-COR", "pitted or stress-cracked", "2.2", "3.1", "I", "RPL"],
  ["SPRG-RUB", "ends or outside rubbed", "2.4", "3.4", "I", "RPL"],
  ["SPRG-CAK*", "coils caked with mud dried in a long wait", "1.6", "3.3", "F/I", "SRV"],
  ["SPRG-WRG*", "wrong spring or shim stack", "1.3", "3.3", "F", "ADJ"],
  ["SHFT-SCO", "scored under the seal", "2.4", "3.4", "I", "REP"],
  ["SHFT-PIT", "pitted", "2.2", "3.1", "I", "REP"],
  ["SHFT-BEN", "bent, run-out too high", "1.4", "3.1", "I", "RPL"],
  ["SHFT-FAT", "fatigue crack at the thread", "2.6", "1.1", "I", "RPL"],
  ["SHFT-COA", "coating flaked", "2.5", "2.1", "I", "REP"],
  ["SHFT-GAL*", "thread galled at make-up or break-out", "2.4", "3.3", "C", "RPL"],
  ["SHFT-SCR*", "scratched by a tool or a gritty cloth", "2.4", "3.3", "I", "REP"],
  ["HLXS-ERO", "lands or slots washed", "2.3", "3.4", "I", "RPL"],
  ["HLXS-PLG", "plugged by lost-circulation material or debris", "5.1", "3.1", "D/I", "SRV"],
  ["HLXS-DEF", "slots pinched or burst", "1.4", "3.1", "I", "RPL"],
  ["HLXS-BRK", "key or wire broken", "2.5", "3.1", "I", "RPL"],
  ["HLXS-SEA", "not seated, spins", "1.3", "3.2", "D", "REF"],
  ["HLXS-DRY*", "dried mud left by a late wash", "5.2", "3.3", "I", "SRV"],
  ["ORIF-ERO", "throat washed past its limit", "2.3", "3.4", "I", "RPL"],
  ["ORIF-EDG", "edge rounded or chipped", "2.3/2.5", "3.4/3.1", "I", "RPL"],
  ["ORIF-CRK", "ring cracked", "2.5", "2.1/3.1", "I", "RPL"],
  ["ORIF-WSH", "washed behind the carrier", "2.3", "3.1", "I", "REP"],
  ["ORIF-LOO", "retainer loose", "1.5", "3.1", "I", "REF"],
  ["ORIF-SIZ*", "wrong size for the flow", "1.3", "3.3", "D/F", "ADJ"],
  ["ORNG-EXT", "extruded or nibbled", "1.4", "3.1", "I", "RPL"],
  ["ORNG-SET", "flat, taken a set", "1.4", "3.4/3.1", "I", "RPL"],
  ["ORNG-BLI", "blistered", "1.4", "3.1", "I", "RPL"],
  ["ORNG-CHM", "softened or embrittled by the fluid", "1.4", "1.2", "I", "RPL"],
  ["ORNG-NIC*", "nicked or twisted at fitting", "1.1", "3.3", "P", "RPL"],
  ["ORNG-OMI*", "left out, or of the wrong compound", "1.1", "3.3", "P", "REF"],
];

export const MODES: Readonly<Record<string, Mode>> = Object.fromEntries([
  ...ROWS.map(([starred, label, mechanism, cause, detection, activity]): [string, Mode] => {
    const code = starred.replace("*", "");
    return [
      code,
      {
        component: code.slice(0, 4),
        label,
        mechanism: numbered(mechanism, MECHANISMS),
        cause: numbered(cause, CAUSES),
        detection: named(detection, DETECTIONS),
        activity: named(activity, ACTIVITIES),
        serviceInduced: starred.endsWith("*"),
      },
    ];
  }),
  ...COMPONENT_CODES.flatMap((component) => plainModes(component)),
]);

export const MODE_CODES: readonly string[] = Object.keys(MODES);

/** The label of a mode, or the code itself where the vocabulary has none. */
export function modeLabel(code: string): string {
  return MODES[code]?.label ?? code;
}

/** What every component has: worn without detail, unknown, nothing found. */
function plainModes(component: string): [string, Mode][] {
  const common = {component, detection: "inspection", activity: "replace", serviceInduced: false};
  return [
    [
      `${component}-GEN`,
      {...common, label: "worn, no detail", mechanism: "2.4 wear", cause: "3.4 expected wear and tear"},
    ],
    [`${component}-UNK`, {...common, label: "unknown", mechanism: "not stated", cause: "not stated"}],
    [
      `${component}-NFF`,
      {...common, label: "no fault found", mechanism: "none", cause: "5.1 no cause found", activity: "none"},
    ],
  ];
}

function numbered(numbers: string, names: Readonly<Record<string, string>>): string {
  return numbers
    .split("/")
    .map((number) => `${number} ${names[number] ?? "not stated"}`)
    .join(" or ");
}

function named(letters: string, names: Readonly<Record<string, string>>): string {
  return letters
    .split("/")
    .map((letter) => names[letter] ?? letter)
    .join(" or ");
}
