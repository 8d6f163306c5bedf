/** Charts as SVG text, drawn on the page's own document. */
import {chartOptions} from "../../charts/chartOptions.ts";
import type {Draw} from "../../report/picture.ts";
import {drawChart} from "../parts/drawChart.ts";

export const drawSvg: Draw = (chart, drawing, alt) => {
  const {svg, height} = drawChart(chartOptions(chart, drawing), alt);
  return {svg: new XMLSerializer().serializeToString(svg), height};
};
