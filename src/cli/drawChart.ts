/** Charts drawn without a browser: Plot on a document made in Node. */
import {parseHTML} from "linkedom";
import {chartOptions, finishDrawing} from "../charts/index.ts";
import type {Draw} from "../report/index.ts";

/** Plot comes with the first report only; the other commands start without it. */
export async function plotInNode(): Promise<Draw> {
  // Plot shifts every mark by half a pixel where it finds no window, and looks for one as it is imported
  if (!("window" in globalThis)) Object.assign(globalThis, {window: {devicePixelRatio: 1}});
  const {plot} = await import("@observablehq/plot");
  return (chart, drawing, alt) => {
    const {document} = parseHTML("<!doctype html><html><body></body></html>");
    const drawn = plot({...chartOptions(chart, drawing), document});
    const svg = drawn.tagName.toLowerCase() === "svg" ? drawn : drawn.querySelector("svg");
    if (svg === null) throw new Error(`the ${chart.kind} chart drew no picture`);
    finishDrawing(svg, alt);
    return {svg: svg.outerHTML, height: Number(svg.getAttribute("height"))};
  };
}
