/** A figure as a picture for where it goes: a page, a slide, a printed column. Drawn by whoever has a document. */
import type {Figure} from "../cells/contract.ts";
import type {Chart} from "../charts/chart.ts";
import type {Drawing} from "../charts/drawing.ts";
import {LIGHT_PALETTE} from "../charts/palette.ts";
import {PAGE_FORM, roomFor, standaloneSvg, type PictureForm} from "../charts/standaloneSvg.ts";
import type {PictureSize} from "./pictureSizes.ts";

/** Draws a chart to SVG text: with Plot on a browser's document, or on one made in Node. */
export type Draw = (chart: Chart, drawing: Drawing, alt: string) => {readonly svg: string; readonly height: number};

export interface Picture {
  readonly svg: string;
  /** CSS pixels */
  readonly width: number;
  readonly height: number;
  /** pixels a PNG takes for one CSS pixel: twice the screen's, and 300 to the inch in print */
  readonly density: number;
}

interface Taking {
  readonly size: PictureSize;
  readonly draw: Draw;
  readonly origin: string;
  /** `data:` address of the font, or null for the fonts the reader has */
  readonly font: string | null;
}

const PAGE_WIDTH = 860;
const SLIDE: PictureForm & {readonly height: number} = {edge: 44, title: 32, caption: 17, origin: 14, height: 720};
const SLIDE_WIDTH = 1280;
/** 12 px in a chart of a slide read as 21 px. */
const SLIDE_SCALE = 1.75;
/** The column of an A4 page between usual margins: 170 mm at 96 CSS pixels to the inch. */
const PRINT_WIDTH = 643;
const PRINT: PictureForm = {edge: 0, title: 14, caption: 11.5, origin: 10.5, printWidth: 170};

/** Charts of rows: their height follows the number of rows, so they are scaled whole and never squeezed. */
const ROWS: ReadonlySet<Chart["kind"]> = new Set(["bars", "intervals", "dots", "timeline"]);

export function pictureOf(figure: Figure, taking: Taking): Picture {
  switch (taking.size) {
    case "page":
      return drawn(figure, taking, {form: PAGE_FORM, width: PAGE_WIDTH, density: 2});
    case "print":
      return drawn(figure, taking, {form: PRINT, width: PRINT_WIDTH, density: 300 / 96});
    case "slide":
      return slide(figure, taking);
  }
}

interface Sheet {
  readonly form: PictureForm;
  readonly width: number;
  readonly height?: number;
  readonly scale?: number;
  readonly density: number;
}

function drawn(
  {chart, title, caption, alt}: Figure,
  {draw, origin, font}: Taking,
  {form, width, height, scale = 1, density}: Sheet,
): Picture {
  const {svg, height: tall} = draw(chart, {width, height, palette: LIGHT_PALETTE}, alt);
  return {
    ...standaloneSvg({chart: svg, width, height: tall, title, caption, origin, alt, font, form, scale}),
    density,
  };
}

function slide(figure: Figure, taking: Taking): Picture {
  const across = SLIDE_WIDTH - 2 * SLIDE.edge;
  const room = roomFor({...figure, ...taking, form: SLIDE, width: across}, SLIDE.height);
  const usual = taking.draw(figure.chart, {width: across / SLIDE_SCALE, palette: LIGHT_PALETTE}, figure.alt).height;
  const fits = usual * SLIDE_SCALE <= room;
  const scale = ROWS.has(figure.chart.kind) && !fits ? room / usual : SLIDE_SCALE;
  const height = ROWS.has(figure.chart.kind) ? undefined : room / scale;
  return drawn(figure, taking, {
    form: SLIDE,
    width: across / scale,
    ...(height === undefined ? {} : {height}),
    scale,
    density: 2,
  });
}
