export {COMPONENTS, COMPONENT_CODES, componentLabel, type Component} from "./components.ts";
export {MUDS, MUD_CODES, mudLabel, type Mud} from "./muds.ts";
export {CAUSES, MECHANISMS, MODES, MODE_CODES, modeLabel, type Mode} from "./modes.ts";
export {REGIMES, REGIME_CODES, regimeLabel, type Regime} from "./regimes.ts";
export {editDistance, nearest} from "./editDistance.ts";
export {
  componentMeaning,
  listMeaning,
  modeMeaning,
  mudMeaning,
  plainWord,
  SYNONYMS,
  SYNONYM_KINDS,
  withSynonyms,
  type Meaning,
  type SynonymKind,
  type Synonyms,
} from "./synonyms.ts";
