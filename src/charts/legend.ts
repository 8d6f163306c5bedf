/**
 * A legend drawn as marks, so that it stays with the figure when it is saved. Rows wrap by estimated text width.
 * Returns the mark and the top margin it needs.
 */
import type {RenderFunction} from "@observablehq/plot";
import {labelWidth, type Sheet} from "./drawing.ts";

const SVG = "http://www.w3.org/2000/svg";
const ROW = 18;
const SAMPLE = 22;

export interface LegendItem {
  readonly label: string;
  readonly sample: "line" | "steps" | "dot" | "ring" | "tick" | "band" | "bar" | "hollow" | "hatched" | "diamond";
  readonly colour: string;
  readonly dash?: string;
}

interface Placed extends LegendItem {
  readonly x: number;
  readonly y: number;
}

/** Where the legend begins; `row` 1 leaves the first row to the label of the y axis. */
export interface LegendPlace {
  readonly left: number;
  readonly row: 0 | 1;
}

export function legend(
  items: readonly LegendItem[],
  sheet: Sheet,
  {left, row}: LegendPlace,
): {mark: RenderFunction; margin: number} {
  const placed: Placed[] = [];
  let x = left;
  let y = 10 + row * ROW;
  for (const item of items) {
    const width = SAMPLE + 6 + labelWidth(item.label) + 16;
    if (x > left && x + width > sheet.width) {
      x = left;
      y += ROW;
    }
    placed.push({...item, x, y});
    x += width;
  }
  const mark: RenderFunction = (_index, _scales, _values, _dimensions, context) => {
    const group = context.document.createElementNS(SVG, "g");
    group.setAttribute("aria-label", "legend");
    for (const item of placed) {
      group.append(sampleOf(item, context.document));
      const label = context.document.createElementNS(SVG, "text");
      set(label, {x: item.x + SAMPLE + 6, y: item.y, dy: "0.32em", fill: sheet.palette.ink, "text-anchor": "start"});
      label.textContent = item.label;
      group.append(label);
    }
    return group;
  };
  return {mark, margin: items.length === 0 ? 12 + row * ROW : y + 16};
}

function sampleOf(item: Placed, document: Document): SVGElement {
  const {x, y, colour, dash = "none"} = item;
  const element = (name: string, attributes: Readonly<Record<string, string | number>>) => {
    const node = document.createElementNS(SVG, name) as SVGElement;
    set(node, attributes);
    return node;
  };
  switch (item.sample) {
    case "line":
      return element("path", {
        d: `M${x},${y}h${SAMPLE}`,
        stroke: colour,
        "stroke-width": 2,
        "stroke-dasharray": dash,
        fill: "none",
      });
    case "steps":
      return element("path", {d: `M${x},${y - 4}h8v4h8v4h6`, stroke: colour, "stroke-width": 1, fill: "none"});
    case "dot":
      return element("circle", {cx: x + SAMPLE / 2, cy: y, r: 4, fill: colour});
    case "ring":
      return element("circle", {cx: x + SAMPLE / 2, cy: y, r: 4, fill: "none", stroke: colour, "stroke-width": 1.5});
    case "diamond":
      return element("path", {
        d: `M${x + SAMPLE / 2},${y - 5}l5,5l-5,5l-5,-5Z`,
        fill: "none",
        stroke: colour,
        "stroke-width": 1.5,
      });
    case "tick":
      return element("path", {d: `M${x + SAMPLE / 2},${y - 5}v10`, stroke: colour, "stroke-width": 1.5});
    case "band":
      return element("rect", {x, y: y - 5, width: SAMPLE, height: 10, fill: colour, "fill-opacity": 0.2});
    case "bar":
      return element("rect", {x, y: y - 5, width: SAMPLE, height: 10, fill: colour});
    case "hollow":
      return element("rect", {
        x,
        y: y - 5,
        width: SAMPLE,
        height: 10,
        fill: "none",
        stroke: colour,
        "stroke-width": 1.5,
      });
    case "hatched":
      return element("path", {
        d: `M${x},${y - 5}h${SAMPLE}v10h${-SAMPLE}ZM${x},${y + 5}l10,-10M${x + 6},${y + 5}l10,-10M${x + 12},${y + 5}l10,-10`,
        fill: "none",
        stroke: colour,
        "stroke-width": 1.5,
      });
  }
}

function set(node: Element, attributes: Readonly<Record<string, string | number>>): void {
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, String(value));
}
