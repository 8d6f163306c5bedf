/** A figure as SVG text, drawn without a browser. */
import {parseHTML} from "linkedom";
import type {Figure} from "../cells/contract.ts";
import {chartOptions, finishDrawing, LIGHT_PALETTE} from "../charts/index.ts";
import {standaloneSvg} from "../charts/standaloneSvg.ts";

const WIDTH = 860;

export interface DrawnFigure {
  /** the chart alone, to stand in a page that gives it title and caption */
  readonly inline: string;
  /** with title, caption and origin inside, to stand by itself */
  readonly standalone: string;
}

export async function drawFigure(figure: Figure, origin: string): Promise<DrawnFigure> {
  // Plot shifts every mark by half a pixel where it finds no window, and looks for one as it is imported
  if (!("window" in globalThis)) Object.assign(globalThis, {window: {devicePixelRatio: 1}});
  const {plot} = await import("@observablehq/plot");
  const {document} = parseHTML("<!doctype html><html><body></body></html>");
  const options = chartOptions(figure.chart, {width: WIDTH, palette: LIGHT_PALETTE});
  const drawn = plot({...options, document});
  const svg = drawn.tagName.toLowerCase() === "svg" ? drawn : drawn.querySelector("svg");
  if (svg === null) throw new Error(`figure ${figure.name} drew no picture`);
  finishDrawing(svg, figure.alt);
  const inline = svg.outerHTML;
  const {svg: standalone} = standaloneSvg({
    chart: inline,
    width: WIDTH,
    height: Number(svg.getAttribute("height")),
    title: figure.title,
    caption: figure.caption,
    origin,
    alt: figure.alt,
    font: null,
  });
  return {inline, standalone};
}
