/**
 * What stands behind a mark of a chart: said where the pointer is, and mark by mark to the arrow keys. The charts write it
 * as the title of each mark; a browser's own display of titles is slow, unreachable by keyboard and cannot be read aloud.
 */

interface Mark {
  readonly element: SVGElement;
  readonly told: string;
}

/** A mark this near to the pointer is meant, in CSS pixels. */
const NEAR = 18;

/** Takes the titles off a drawing and keeps what they said. The title of the picture itself stays. */
export function liftTitles(svg: SVGSVGElement): void {
  for (const title of svg.querySelectorAll("title")) {
    const mark = title.parentElement;
    if (mark === null || (mark as Element) === svg) continue;
    mark.dataset.told = title.textContent ?? "";
    title.remove();
  }
}

/** Reads the marks of the chart in this element, whatever is drawn in it next. */
export function readMarks(node: HTMLElement): () => void {
  const tip = document.createElement("div");
  tip.className = "mark-tip";
  tip.setAttribute("role", "status");
  tip.hidden = true;
  document.body.append(tip);
  let at = -1;

  const marks = (): Mark[] =>
    [...node.querySelectorAll<SVGElement>("[data-told]")].map((element) => ({
      element,
      told: element.dataset.told ?? "",
    }));

  const hide = (): void => {
    tip.hidden = true;
    for (const marked of node.querySelectorAll(".told")) marked.classList.remove("told");
  };
  const show = ({element, told}: Mark): void => {
    hide();
    element.classList.add("told");
    tip.textContent = told;
    tip.hidden = false;
    place(tip, element.getBoundingClientRect());
  };

  const point = ({target, clientX, clientY}: PointerEvent): void => {
    const all = marks();
    const under = target instanceof Element ? target.closest("[data-told]") : null;
    const meant = all.find(({element}) => element === under) ?? nearest(all, clientX, clientY);
    if (meant) show(meant);
    else hide();
  };
  const keys = (event: KeyboardEvent): void => {
    if (event.key === "Escape") return hide();
    const step = {ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1}[event.key];
    const all = inReadingOrder(marks());
    if (step === undefined || all.length === 0) return;
    event.preventDefault();
    at = (at + step + all.length) % all.length;
    show(all[at]!);
  };
  const leave = (): void => {
    at = -1;
    hide();
  };

  node.tabIndex = 0;
  node.setAttribute("role", "group");
  node.setAttribute("aria-label", "figure; the arrow keys read its marks");
  node.addEventListener("pointermove", point);
  node.addEventListener("pointerleave", hide);
  node.addEventListener("keydown", keys);
  node.addEventListener("blur", leave);
  return () => {
    node.removeEventListener("pointermove", point);
    node.removeEventListener("pointerleave", hide);
    node.removeEventListener("keydown", keys);
    node.removeEventListener("blur", leave);
    tip.remove();
  };
}

function middle({element}: Mark): readonly [number, number] {
  const {left, top, width, height} = element.getBoundingClientRect();
  return [left + width / 2, top + height / 2];
}

function nearest(marks: readonly Mark[], x: number, y: number): Mark | undefined {
  let best: Mark | undefined;
  let least = NEAR;
  for (const mark of marks) {
    const [left, top] = middle(mark);
    const distance = Math.hypot(left - x, top - y);
    if (distance < least) [best, least] = [mark, distance];
  }
  return best;
}

/** From left to right, and down where they stand above each other. */
function inReadingOrder(marks: readonly Mark[]): Mark[] {
  return marks
    .map((mark) => ({mark, at: middle(mark)}))
    .sort((a, b) => a.at[0] - b.at[0] || a.at[1] - b.at[1])
    .map(({mark}) => mark);
}

/** Above the mark or, without room there, under it; inside the window. */
function place(tip: HTMLElement, {left, top, bottom, width}: DOMRect): void {
  const own = tip.getBoundingClientRect();
  const across = document.documentElement.clientWidth;
  const start = Math.max(8, Math.min(left + width / 2 - own.width / 2, across - own.width - 8));
  tip.style.left = `${scrollX + start}px`;
  tip.style.top = `${scrollY + (top > own.height + 60 ? top - own.height - 8 : bottom + 8)}px`;
}
