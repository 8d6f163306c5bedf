import {describe, expect, it} from "vitest";
import {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";
import {
  CAUSES,
  componentMeaning,
  COMPONENTS,
  editDistance,
  listMeaning,
  MECHANISMS,
  modeMeaning,
  MODES,
  mudMeaning,
  MUDS,
  nearest,
  SYNONYM_KINDS,
  SYNONYMS,
  withSynonyms,
} from "../../shared/vocabulary/index.ts";
import {ACTIONS, FOUND, OUTCOMES} from "../../shared/columns.ts";

describe("MODES", () => {
  it("holds 56 seen modes and the three plain ones of each of the nine components", () => {
    const plain = Object.keys(MODES).filter((code) => /-(GEN|UNK|NFF)$/.test(code));
    expect(plain).toHaveLength(27);
    expect(Object.keys(MODES)).toHaveLength(56 + 27);
  });

  it("belongs to a component, whose code begins its own", () => {
    for (const [code, {component}] of Object.entries(MODES)) {
      expect(COMPONENTS[component]).toBeDefined();
      expect(code.startsWith(`${component}-`)).toBe(true);
    }
  });

  it("names mechanisms and causes that the standard numbers", () => {
    for (const [code, {mechanism, cause}] of Object.entries(MODES)) {
      if (/-(GEN|UNK|NFF)$/.test(code)) continue;
      for (const part of mechanism.split(" or ").filter((text) => /^\d/.test(text)))
        expect(MECHANISMS[part.split(" ")[0]!]).toBeDefined();
      for (const part of cause.split(" or ").filter((text) => /^\d/.test(text)))
        expect(CAUSES[part.split(" ")[0]!]).toBeDefined();
    }
  });

  it("gives every service-induced mode cause 3.3, maintenance error", () => {
    const induced = Object.entries(MODES).filter(([, mode]) => mode.serviceInduced);
    expect(induced).toHaveLength(13);
    for (const [, {cause}] of induced) expect(cause).toBe("3.3 maintenance error");
  });
});

describe("SYNONYMS", () => {
  it("leads to codes and words that exist", () => {
    const known: Record<string, readonly string[]> = {
      mud: Object.keys(MUDS),
      component: Object.keys(COMPONENTS),
      outcome: OUTCOMES,
      found: FOUND,
      action: ACTIONS,
      flag: ["yes", "no"],
    };
    for (const kind of SYNONYM_KINDS) {
      for (const [word, meaning] of Object.entries(SYNONYMS[kind])) {
        const places =
          kind === "mode"
            ? meaning
                .split(" ")
                .every((part) =>
                  part.startsWith("-")
                    ? Object.keys(MODES).some((code) => code.endsWith(part))
                    : MODES[part] !== undefined,
                )
            : meaning === "?" || known[kind]!.includes(meaning);
        expect(places, `${kind} ${word}: ${meaning}`).toBe(true);
      }
    }
  });
});

describe("modeMeaning(text, component)", () => {
  it("reads codes, endings of codes and shop words on the part they were seen on", () => {
    expect(modeMeaning("LINR-ERO", "LINR")).toEqual({kind: "code", code: "LINR-ERO"});
    expect(modeMeaning("ero", "LINR")).toEqual({kind: "code", code: "LINR-ERO"});
    expect(modeMeaning("Washed", "TIPP")).toEqual({kind: "synonym", code: "TIPP-ERO"});
    expect(modeMeaning("pitted", "SHFT")).toEqual({kind: "synonym", code: "SHFT-PIT"});
    expect(modeMeaning("LCM'd", "HLXS")).toEqual({kind: "misspelt", code: "HLXS-PLG"});
    expect(modeMeaning("cracked by vice", "LINR")).toEqual({kind: "synonym", code: "LINR-CLM"});
  });

  it("repairs known misspellings and only proposes for others", () => {
    expect(modeMeaning("erotion", "ORIF")).toEqual({kind: "misspelt", code: "ORIF-ERO"});
    expect(modeMeaning("erozion", "ORIF")).toEqual({kind: "near", code: "ORIF-ERO"});
    expect(modeMeaning("gunked", "ORIF")).toEqual({kind: "unknown", code: null});
  });

  it("does not find what only JavaScript has", () => {
    expect(modeMeaning("constructor", "ORIF").kind).toBe("unknown");
    expect(mudMeaning("__proto__").kind).toBe("unknown");
  });
});

describe("mudMeaning(text)", () => {
  it("asks about words that name no family", () => {
    for (const word of ["NADF", "NAF", "mud", "water"])
      expect(mudMeaning(word)).toEqual({kind: "ambiguous", code: null});
  });

  it("lets a shop's own words win", () => {
    const own = withSynonyms({mud: {NADF: "SBM", "super slick": "OBM"}});
    expect(mudMeaning("nadf", own)).toEqual({kind: "synonym", code: "SBM"});
    expect(mudMeaning("Super-Slick", own)).toEqual({kind: "synonym", code: "OBM"});
  });
});

describe("componentMeaning(text)", () => {
  it("does not mind numbers and positions behind the word", () => {
    for (const word of ["Lip seal", "lip seal #2", "SEAL upper", "Seal 1", "dynamic seal (2)"])
      expect(componentMeaning(word).code).toBe("SEAL");
  });
});

describe("listMeaning(text, kind, list)", () => {
  it("reads what shops write for an outcome", () => {
    expect(listMeaning("DHF", "outcome", OUTCOMES).code).toBe("failed downhole");
    expect(listMeaning("Completed", "outcome", OUTCOMES).code).toBe("completed");
    expect(listMeaning("L.I.H.", "outcome", OUTCOMES).code).toBe(null);
  });
});

describe("editDistance(a, b)", () => {
  // Damerau, Communications of the ACM 7 (1964) 171: one insertion, deletion, exchange or swap of neighbours is one edit
  it("counts insertions, deletions, exchanges and swaps of neighbours as one", () => {
    expect(editDistance("erosion", "erosion")).toBe(0);
    expect(editDistance("erotion", "erosion")).toBe(1);
    expect(editDistance("eroison", "erosion")).toBe(1);
    expect(editDistance("erosin", "erosion")).toBe(1);
    expect(editDistance("kitten", "sitting")).toBe(3);
    expect(editDistance("", "abc")).toBe(3);
  });

  it("stops above the most that is asked for", () => {
    expect(editDistance("abcdefgh", "zyxwvuts", 2)).toBe(3);
  });
});

describe("nearest(word, candidates)", () => {
  it("proposes one edit away for short words and two for long ones", () => {
    expect(nearest("sael", ["seal", "tip"])).toBe("seal");
    expect(nearest("coroded", ["corroded", "eroded"])).toBe("corroded");
    expect(nearest("xy", ["xz"])).toBeNull();
    expect(nearest("battery", ["brine"])).toBeNull();
  });
});

describe("the column definitions", () => {
  it("give no header to two columns of one log", () => {
    for (const specs of [RUN_COLUMNS, REBUILD_COLUMNS]) {
      const keys = new Map<string, string>();
      for (const [name, {aliases}] of Object.entries(specs)) {
        for (const header of [name, ...aliases]) {
          const key = header
            .toLowerCase()
            .replace(/#/g, "no")
            .replace(/[^\p{L}\p{N}]/gu, "");
          expect(keys.get(key) ?? name, `${header} in ${name}`).toBe(name);
          keys.set(key, name);
        }
      }
    }
  });
});
