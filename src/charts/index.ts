export type * from "./chart.ts";
export {chartOptions} from "./chartOptions.ts";
export {chartTable} from "./chartTable.ts";
export {csvOf, tabbedOf} from "./csv.ts";
export {finishDrawing, type DrawnElement} from "./drawable.ts";
export type {ChartColumn, Drawing} from "./drawing.ts";
export {DARK_PALETTE, LIGHT_PALETTE, PAGE_PALETTE, paletteProperties, type Palette} from "./palette.ts";
