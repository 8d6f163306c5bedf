/**
 * Shop words for what the vocabulary calls by one code or word. The table is the default; a shop may add to it.
 *
 * Words are lower case with single spaces. A mode word may name one code (`LINR-CLM`) or, where it depends on the part,
 * endings in order of preference (`-ERO -WSH`): the first that the part's list of modes holds. An empty meaning (`?`) is
 * a word known to be ambiguous: it is asked about, never guessed.
 */
import {COMPONENTS} from "./components.ts";
import {nearest} from "./editDistance.ts";
import {MODES} from "./modes.ts";
import {MUDS} from "./muds.ts";

export const SYNONYM_KINDS = ["mud", "component", "mode", "outcome", "found", "action", "flag"] as const;
export type SynonymKind = (typeof SYNONYM_KINDS)[number];

/** word → meaning, for each kind */
export type Synonyms = Readonly<Record<SynonymKind, Readonly<Record<string, string>>>>;

/** What a word was taken for. */
export interface Meaning {
  readonly kind: "code" | "synonym" | "misspelt" | "near" | "ambiguous" | "unknown";
  /** the code or word of the vocabulary; for `near` a proposal; null where there is none */
  readonly code: string | null;
}

/** Meaning of a word that must be asked about. */
const ASK = "?";

function table(lines: string): Record<string, string> {
  const entries: Record<string, string> = {};
  for (const line of lines.split("\n")) {
    const [meaning, words] = line.split(":");
    if (meaning === undefined || words === undefined) continue;
    for (const word of words.split(",")) {
      const plain = plainWord(word);
      if (plain !== "") entries[plain] = meaning.trim();
    }
  }
  return entries;
}

export const SYNONYMS: Synonyms = {
  mud: table(`
    SPUD: spud, spud mud, gel, gel water, native, native mud, fwm, freshwater, fresh water, fresh water mud, bentonite, gel spud
    DISP: disp, dispersed, lignite, lignosulfonate, lignosulphonate, ligno, cls, chrome lignite
    POLY: poly, polymer, wbm, wbf, phpa, hpwbm, water base polymer, phpa polymer, water based, water base, water based mud, water base mud, wb polymer, low solids, hpwbf
    KCL: kcl, k poly, kpoly, kcl polymer, kcl phpa, kcl poly, potassium, potassium chloride, kcl mud, kcl glycol, kcl wbm, kcl polymer mud
    SALT: salt, sat salt, salt sat, saturated salt, salt saturated, ssm, nacl mud, salt mud, nacl saturated, sss, salt sat mud, saltsat
    LIME: lime, gyp, gypsum, calcium mud, lime mud, gyp mud, lime gyp
    OBM: obm, obf, oil, oil base, oil based, oil based mud, oil base mud, invert, invert emulsion, invert obm, diesel, diesel mud, diesel obm, diesel invert, mineral oil, mineral oil mud, ltobm, ltobf
    SBM: sbm, sbf, sobm, syn, synth, synthetic, synthetic mud, synthetic base, synthetic based mud, ester, olefin, io sbm, paraffin, syn based
    BRN: brn, brine, clear brine, clear fluid, formate, formate brine, cacl2, cacl2 brine, calcium chloride, cabr2, calcium bromide, znbr2, zinc bromide, nacl brine, kcl brine, completion brine, completion fluid, sodium formate, potassium formate, cesium formate, nabr
    AIR: air, mist, foam, aerated, air mist, stiff foam, nitrogen, n2
    UNK: unk, unknown
    ${ASK}: nadf, naf, nabm, non aqueous, mud, water, fluid, wb, ob, various, mixed, mix, drilling fluid, drilling mud, salt water, seawater, sea water
  `),
  component: table(`
    SEAL: seal, seals, lip seal, lip seals, dynamic seal, dynamic seals, shaft seal, rod seal, wiper, wiper seal, mud seal, main seal, lipseal
    LINR: linr, liner, liners, sleeve, bore liner, carbide liner, bore sleeve, carbide sleeve
    BAND: band, wear band, wearband, wear bands, bands, wear ring, wear sleeve, centraliser band, centralizer band, hardband, hard band
    TIPP: tipp, tip, poppet tip, poppet, poppettip, tips, carbide tip, poppet head, valve tip, pulser tip
    SPRG: sprg, spring, springs, return spring, poppet spring, main spring, compression spring
    SHFT: shft, shaft, rod, piston rod, poppet shaft, main shaft, valve shaft, shafts, stem
    HLXS: hlxs, helix, screen, helix screen, helix and screen, mud screen, filter screen, helix end, helix assembly, screens, helix scrn
    ORIF: orif, orifice, orifice ring, throat, fixed orifice, orifices, orifice insert
    ORNG: orng, o ring, o rings, oring, orings, o ring kit, o ring set, oring kit, static seals, static o rings, seal kit, redress kit
  `),
  mode: table(`
    -ERO -WSH: erosion, eroded, washed, wash, washout, washed out, wash out, jet wash, fluid cut, flow cut, od washed, id washed, profile washed, bore washed, erod, ero
    -ABR -SCO -WEA: abrasion, abraded, abrasive wear, abr, grit wear, lip flat, lip worn, flat lip
    -SWL: swollen, swelled, swell, swelling, soft, swl
    -HRD -CHM: hard, hardened, hard and cracked, brittle, heat hardened, cooked, burnt, burned
    -EXT: extruded, extrusion, nibbled, extruded lip, nibble
    -BLI: blister, blisters, blistered, gas blister, explosive decompression
    -REV: reversed, installed backwards, backwards, fitted backwards, wrong way round, lip reversed, upside down
    -CUT -NIC: cut, cut on install, cut at assembly, cut on thread, sliced
    -WEA -GEN: wear, worn out, od worn, under gauge, undergauge, od under limit, thin, polished
    -GEN: worn, general wear, normal wear, used, wear and tear, worn past limit, out of limits, out of tolerance, over limit, past limit, gen
    -IMP -CHP -EDG: impact, chip, chipped, chipped edge, debris hit, impact damage, chips
    -CHP -IMP -EDG: edge chipped, edge chip
    -COB -COR -PIT: corrosion, corroded, rust, rusted, binder leached, leached, cobalt leached, binder attack
    -PIT -COR -COB: pitted, pitting, pits, pit
    -THM -HCK -CRK: heat cracks, thermal crack, heat check, heat checked, heat checking, crazed
    -CRK -FAT -THM: crack, cracked, cracks
    LINR-CLM: cracked by vice, vice crack, vise crack, cracked by clamp, clamp crack, clamped too hard, over clamped, cracked in vice, cracked in vise, clamp damage, clamping, vise damage, vice damage
    -SPL -COA: spalled, spalling, spall, tile off, tile lost, coating lost, flaked, coating flaked, delaminated
    -LOS -LOO -BKO: loose, came loose, loosened, slack
    -BKO: backed off, back off, unscrewed, tip backed off, no loctite, thread locker missing, threadlocker missing
    -JAM: jammed, jam, stuck, sticking, stuck on solids
    -FAT -BRK: broken, broke, broken coil, fatigue, fatigue crack, snapped, fractured, fracture, coil broken
    -SET: set, short, lost length, relaxed, weak, low load, free length low, flat, flattened, compression set
    -RUB: rubbed, rub, rubbing
    -CAK -DRY: caked, mud caked, dried mud, dry mud, caked mud, dried out
    -WRG -SIZ: wrong part, wrong spring, wrong shim, wrong shims
    -SIZ: wrong size, wrong orifice
    -SCO -ABR -WEA: scored, scoring, score, scratched by grit, grooved
    -SCR: scratched, scratch, scratches, tool marks
    -BEN -DEF: bent, bend, run out, runout
    -GAL: galled, galling, gall, thread galled, galled thread, seized thread
    -PLG: plugged, plug, plugged up, lcm, blocked, clogged, packed off, plugged with lcm, lcm plug, blockage
    -DEF: deformed, pinched, collapsed, burst, dented
    -BRK: wire broken, key broken, broken key, broken wire
    -SEA: not seated, unseated, spinning, not landed
    -EDG: rounded, edge rounded, edge worn
    -WSH -ERO: washed behind, washed behind carrier
    -CHM -SWL: chemical, chemical attack, fluid attack, attacked
    -NIC -CUT: nicked, nick, twisted, pinched at fitting, nicked at assembly
    -OMI: missing, left out, omitted, not fitted, wrong compound
    -UNK: unknown, unk, not known, cause unknown, leak, leaking, leaked, leakage
    -NFF: nff, no fault, no fault found, nothing found, ok, good, none found, no defect, no damage
  `),
  outcome: table(`
    completed: ok, complete, good, success, successful, td, tdd, reached td, pooh td, no failure, pass, passed, fine, planned, drilled to td, normal
    failed downhole: fail, failed, failure, dhf, downhole failure, down hole failure, no pulse, no pulses, lost signal, no signal, lost telemetry, tool failure, tool failed, mwd failure, pulser failure, f1, f2, f3
    pulled for other reason: pulled, pull, pooh, bit trip, bit, bha change, trip for bit, other, motor failure, motor, washout in string, rig, change bha, bha, pulled other, bit change, pulled for bit
    lost in hole: lih, lost, lost in hole, stuck in hole, fished out no, left in hole, stuck and lost
  `),
  found: table(`
    good: ok, good, fine, serviceable, reusable, re use, reuse, pass, passed, within limits, as new, acceptable, no defect, in spec, 0, okay
    worn: worn, wear, used, marginal, worn within limits, worn past limit, out of limits, fair, part worn, 1, 2
    failed: fail, failed, bad, reject, rejected, scrap, broken, nok, not ok, unserviceable, us, u s, failure, 3
    damaged at service: damaged at service, shop damage, damaged in shop, service damage, bench damage, assembly damage, damaged at rebuild, handling damage, shop, damaged by shop
    not inspected: not inspected, ni, n i, not looked at, not checked, no inspection, skipped
  `),
  action: table(`
    kept: keep, kept, reused, re used, reuse, re use, re run, rerun, as is, inspected, inspect, inspected ok, cleaned, clean, none, no action, left in, retained, refitted, checked
    renewed: renew, renewed, new, replaced, replace, rpl, changed, change, changed out, scrapped, scrap, fitted new, new part, replaced new, installed new, installed, install, exchange, exchanged
    swapped for a used part: swap, swapped, used part, fitted used, replaced used, used, swapped used, replaced with used, second hand, swap used
    reworked: rework, reworked, recoated, re coated, recoat, polished, polish, repaired, repair, refurbished, refurb, machined, flipped, flip, re hardfaced
  `),
  flag: table(`
    yes: y, yes, true, 1, x, t, ja, si, oui, caused failure
    no: n, no, false, 0, f, nein
  `),
};

/** Misspellings seen in shop logs, and the words they mean: repaired with notice, where other near words are only proposed. */
const MISSPELLINGS: Readonly<Record<string, string>> = {
  erotion: "erosion",
  erosin: "erosion",
  errosion: "erosion",
  eroison: "erosion",
  errotion: "erosion",
  washd: "washed",
  washt: "washed",
  abrasin: "abrasion",
  abrassion: "abrasion",
  swoll: "swollen",
  swolen: "swollen",
  corosion: "corrosion",
  corrosin: "corrosion",
  chiped: "chipped",
  crackd: "cracked",
  pluged: "plugged",
  "lcm d": "lcm",
  lcmd: "lcm",
  faild: "failed",
  replacd: "replaced",
  renewd: "renewed",
  complted: "completed",
  spirng: "spring",
  sring: "spring",
  linner: "liner",
  orfice: "orifice",
  oriface: "orifice",
  popet: "poppet",
  poppit: "poppet",
  brien: "brine",
  galed: "galled",
  scord: "scored",
  fatige: "fatigue",
};

/** The default table with a shop's own words added; the shop's win. */
export function withSynonyms(own: Partial<Synonyms>, base: Synonyms = SYNONYMS): Synonyms {
  const merged: Record<SynonymKind, Readonly<Record<string, string>>> = {...base};
  for (const kind of SYNONYM_KINDS) {
    const plain = Object.entries(own[kind] ?? {}).map(([word, code]) => [plainWord(word), code] as const);
    merged[kind] = {...base[kind], ...Object.fromEntries(plain)};
  }
  return merged;
}

/** Lower case, every run of signs and spaces one space. */
export function plainWord(text: string): string {
  return text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}?]+/gu, " ")
    .trim();
}

/** The mud family a word names. */
export function mudMeaning(text: string, synonyms: Synonyms = SYNONYMS): Meaning {
  return meaningOf(text, synonyms.mud, Object.keys(MUDS));
}

/** The component a word names; a number or place behind it (`lip seal #2`, `seal upper`) is its position. */
export function componentMeaning(
  text: string,
  synonyms: Synonyms = SYNONYMS,
): Meaning & {readonly position: string | null} {
  const whole = meaningOf(text, synonyms.component, Object.keys(COMPONENTS));
  if (whole.kind !== "unknown" && whole.kind !== "near") return {...whole, position: null};
  const split =
    /^(.*?)[\s#(_-]+(?:no\.?\s*|pos\.?\s*)?(\d{1,2}|upper|lower|top|bottom|middle|front|rear|[ab])\)?\s*$/i.exec(text);
  const bare = split === null ? whole : meaningOf(split[1]!, synonyms.component, Object.keys(COMPONENTS));
  return bare.kind === "unknown" || split === null
    ? {...whole, position: null}
    : {...bare, position: split[2]!.toLowerCase()};
}

/** The mode a word names on a part of the given component. */
export function modeMeaning(text: string, component: string, synonyms: Synonyms = SYNONYMS): Meaning {
  const code = text.trim().toUpperCase();
  if (MODES[code] !== undefined) return {kind: "code", code};
  const ending = MODES[`${component}-${code}`];
  if (ending !== undefined) return {kind: "code", code: `${component}-${code}`};
  const word = plainWord(text);
  const meaning = Object.hasOwn(synonyms.mode, word) ? synonyms.mode[word] : undefined;
  if (meaning === ASK) return {kind: "ambiguous", code: null};
  const known = meaning === undefined ? null : modeIn(component, meaning);
  if (known !== null) return {kind: "synonym", code: known};
  const meant = Object.hasOwn(MISSPELLINGS, word) ? modeIn(component, synonyms.mode[MISSPELLINGS[word]!] ?? "") : null;
  if (meant !== null) return {kind: "misspelt", code: meant};
  const near = nearest(word, Object.keys(synonyms.mode)) ?? null;
  const proposal = near === null ? null : modeIn(component, synonyms.mode[near] ?? "");
  if (proposal !== null) return {kind: "near", code: proposal};
  const label = Object.entries(MODES).find(
    ([, mode]) => mode.component === component && plainWord(mode.label) === word,
  );
  return label === undefined ? {kind: "unknown", code: null} : {kind: "synonym", code: label[0]};
}

/** One of a closed list of texts (outcome, found, action) or the flag words `yes` and `no`. */
export function listMeaning(
  text: string,
  kind: "outcome" | "found" | "action" | "flag",
  list: readonly string[],
  synonyms: Synonyms = SYNONYMS,
): Meaning {
  const word = plainWord(text);
  const exact = list.find((entry) => entry === word);
  if (exact !== undefined) return {kind: text === exact ? "code" : "synonym", code: exact};
  return meaningOf(text, synonyms[kind], list);
}

/** Words of the default table near a text are proposals only. */
function meaningOf(text: string, words: Readonly<Record<string, string>>, codes: readonly string[]): Meaning {
  const code = text.trim().toUpperCase();
  if (codes.includes(code)) return {kind: "code", code};
  const word = plainWord(text);
  const meaning = Object.hasOwn(words, word) ? words[word] : undefined;
  if (meaning === ASK) return {kind: "ambiguous", code: null};
  if (meaning !== undefined) return {kind: "synonym", code: meaning};
  const meant = Object.hasOwn(MISSPELLINGS, word) ? words[MISSPELLINGS[word]!] : undefined;
  if (meant !== undefined) return {kind: "misspelt", code: meant};
  const near = nearest(word, Object.keys(words));
  const proposal = near === null ? undefined : words[near];
  return proposal === undefined || proposal === ASK ? {kind: "unknown", code: null} : {kind: "near", code: proposal};
}

/** The first of the endings (or the whole code) that the component has. */
function modeIn(component: string, meaning: string): string | null {
  for (const entry of meaning.split(" ")) {
    const code = entry.startsWith("-") ? component + entry : entry;
    if (MODES[code]?.component === component) return code;
  }
  return null;
}
