export {
  SECTIONS,
  type Analysis,
  type Block,
  type CellBlock,
  type Problem,
  type ProseBlock,
  type Section,
} from "./analysis.ts";
export {cellKeys} from "./cellKeys.ts";
export {canonical, contentKey, hash, type CellContent} from "./contentKey.ts";
export {createMemo} from "./createMemo.ts";
export {
  cellText,
  duplicateCell,
  insertCell,
  insertProse,
  moveBlock,
  removeBlock,
  replaceCell,
  replaceProse,
  setFront,
  withTail,
} from "./editAnalysis.ts";
export {evaluateCell, readCell, type CellResult, type CellSource, type ReadCell} from "./evaluateCell.ts";
export {mergeWhere, NOTHING} from "./mergeWhere.ts";
export {readAnalysis, writeAnalysis} from "./readAnalysis.ts";
export {withPicks, type Picks} from "./withPicks.ts";
export {leadsToBench, sectionOf} from "./sectionOf.ts";
