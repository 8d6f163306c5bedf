/** The one place where Plot meets the document. */
import {plot, type PlotOptions} from "@observablehq/plot";
import {finishDrawing} from "../../charts/drawable.ts";

export interface DrawnChart {
  readonly svg: SVGSVGElement;
  readonly height: number;
}

/** Draws options; the page's own style sheet stands in for Plot's, which the policy would refuse. */
export function drawChart(options: PlotOptions, alt: string): DrawnChart {
  const drawn = plot(options);
  const svg = drawn instanceof SVGSVGElement ? drawn : drawn.querySelector("svg");
  if (!(svg instanceof SVGSVGElement)) throw new Error("the chart drew no picture");
  for (const style of svg.querySelectorAll("style")) style.remove();
  svg.style.overflow = "visible";
  return {svg: finishDrawing(svg, alt), height: svg.height.baseVal.value};
}
