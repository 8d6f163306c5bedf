/**
 * What a drawn chart still needs before it is shown or saved. Plot labels the groups it draws, but gives them no
 * role, which assistive technology forbids; and a picture needs its text alternative.
 *
 * Usage, by whoever has a document: `finishDrawing(plot({...chartOptions(chart, drawing), document}), figure.alt)`.
 */

/** The few things asked of a drawn element; a browser's and linkedom's both have them. */
export interface DrawnElement {
  setAttribute(name: string, value: string): void;
  querySelectorAll(selector: string): Iterable<{setAttribute(name: string, value: string): void}>;
}

export function finishDrawing<T extends DrawnElement>(svg: T, alt: string): T {
  for (const group of svg.querySelectorAll("g[aria-label]")) group.setAttribute("role", "group");
  svg.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", alt);
  return svg;
}
