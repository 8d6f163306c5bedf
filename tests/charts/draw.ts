/** Draws a chart to SVG text the way the batch runner does: Plot on a linkedom document. */
import {parseHTML} from "linkedom";
import type {Chart} from "../../src/charts/index.ts";
import {chartOptions, finishDrawing, LIGHT_PALETTE, type Palette} from "../../src/charts/index.ts";

export interface Drawn {
  readonly svg: Element;
  readonly text: string;
  /** how many elements match, e.g. `[aria-label=limits] path` */
  count(selector: string): number;
  words(): string;
}

export async function draw(
  chart: Chart,
  width = 640,
  palette: Palette = LIGHT_PALETTE,
  {readings = false}: {readonly readings?: boolean} = {},
): Promise<Drawn> {
  // Plot shifts by half a pixel where it finds no window
  Object.assign(globalThis, {window: {devicePixelRatio: 1}});
  const {plot} = await import("@observablehq/plot");
  const {document} = parseHTML("<!doctype html><html><body></body></html>");
  const svg = plot({...chartOptions(chart, {width, palette, readings}), document}) as unknown as Element;
  finishDrawing(svg, "a chart");
  return {
    svg,
    text: svg.outerHTML,
    count: (selector) => svg.querySelectorAll(selector).length,
    words: () => [...svg.querySelectorAll("text")].map((node) => node.textContent).join("|"),
  };
}
