/**
 * What stands behind a mark of a chart: said where the pointer is, and mark by mark to the arrow keys. The charts write it
 * as the title of each mark; a browser's own display of titles is slow, unreachable by keyboard and cannot be read aloud.
 *
 * A tip may be pointed at itself, stays until the pointer or the focus has left both, and goes with Escape. Where rows of
 * the log stand behind the mark, it has a way to them: its button, or Enter. A click holds the tip, so that the way to its
 * button may lead over other marks.
 */
import {KEY_MARK} from "../../charts/behind.ts";

interface Mark {
  readonly element: SVGElement;
  readonly told: string;
  /** under which its rows are found; null for a mark without any */
  readonly key: string | null;
}

export interface MarkWays {
  /** what the button to the rows says */
  label(key: string): string;
  /** the reader wants to see them */
  show(key: string): void;
}

/** A mark this near to the pointer is meant, in CSS pixels. */
const NEAR = 18;
/** Long enough to get from a mark to its tip. */
const GRACE_MS = 300;

/** Takes the titles off a drawing and keeps what they said. The title of the picture itself stays. */
export function liftTitles(svg: SVGSVGElement): void {
  for (const title of svg.querySelectorAll("title")) {
    const mark = title.parentElement;
    if (mark === null || (mark as Element) === svg) continue;
    const [told = "", key] = (title.textContent ?? "").split(KEY_MARK);
    mark.dataset.told = told;
    if (key !== undefined) mark.dataset.key = key;
    title.remove();
  }
}

/** Reads the marks of the chart that is drawn in this element, whatever is drawn in it next; its tip stands beside it. */
export function readMarks(node: HTMLElement, ways: MarkWays): () => void {
  const frame = node.parentElement ?? node;
  const tip = document.createElement("div");
  tip.className = "mark-tip";
  tip.hidden = true;
  const words = document.createElement("div");
  const button = document.createElement("button");
  button.type = "button";
  button.className = "quiet";
  tip.append(words, button);
  const aloud = document.createElement("div");
  aloud.className = "for-readers-only";
  aloud.ariaLive = "polite";
  frame.append(tip, aloud);
  let at = -1;
  let shown: Mark | null = null;
  let held = false;
  let leaving = 0;

  const marks = (): Mark[] =>
    [...node.querySelectorAll<SVGElement>("[data-told]")].map((element) => ({
      element,
      told: element.dataset.told ?? "",
      key: element.dataset.key ?? null,
    }));

  const hide = (): void => {
    clearTimeout(leaving);
    held = false;
    shown = null;
    tip.hidden = true;
    aloud.textContent = "";
    for (const marked of node.querySelectorAll(".told")) marked.classList.remove("told");
  };
  const show = (mark: Mark, spoken: boolean): void => {
    if (shown?.element === mark.element) {
      clearTimeout(leaving);
      return;
    }
    hide();
    shown = mark;
    mark.element.classList.add("told");
    words.textContent = mark.told;
    button.hidden = mark.key === null;
    button.textContent = mark.key === null ? "" : ways.label(mark.key);
    tip.hidden = false;
    if (spoken) aloud.textContent = mark.key === null ? mark.told : `${mark.told}\nEnter: ${ways.label(mark.key)}`;
    place(tip, frame, mark.element.getBoundingClientRect());
  };
  const open = (): void => {
    const key = shown?.key;
    if (key === undefined || key === null) return;
    // where the reader comes back to
    node.focus({preventScroll: true});
    hide();
    ways.show(key);
  };

  const meant = ({target, clientX, clientY}: MouseEvent): Mark | undefined => {
    const all = marks();
    const under = target instanceof Element ? target.closest("[data-told]") : null;
    return all.find(({element}) => element === under) ?? nearest(all, clientX, clientY);
  };
  const point = (event: PointerEvent): void => {
    if (held) return;
    const mark = meant(event);
    if (mark) show(mark, false);
    else leave();
  };
  const leave = (): void => {
    clearTimeout(leaving);
    if (!held) leaving = window.setTimeout(hide, GRACE_MS);
  };
  const stay = (): void => clearTimeout(leaving);
  const click = (event: MouseEvent): void => {
    const mark = meant(event);
    if (mark === undefined) return hide();
    show(mark, true);
    held = true;
  };
  const keys = (event: KeyboardEvent): void => {
    if (event.key === "Escape") return hide();
    if (event.target !== node) return;
    if (event.key === "Enter") {
      event.preventDefault();
      return open();
    }
    const step = {ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1}[event.key];
    const all = inReadingOrder(marks());
    if (step === undefined || all.length === 0) return;
    event.preventDefault();
    at = (at + step + all.length) % all.length;
    show(all[at]!, true);
    held = true;
  };
  const blur = ({relatedTarget}: FocusEvent): void => {
    if (relatedTarget instanceof Node && frame.contains(relatedTarget)) return;
    at = -1;
    hide();
  };
  const away = ({key}: KeyboardEvent): void => {
    if (key === "Escape") hide();
  };
  const elsewhere = ({target}: PointerEvent): void => {
    if (held && !(target instanceof Node && frame.contains(target))) hide();
  };

  node.tabIndex = 0;
  node.setAttribute("role", "group");
  node.setAttribute("aria-label", "figure; the arrow keys read its marks");
  node.addEventListener("pointermove", point);
  node.addEventListener("pointerleave", leave);
  node.addEventListener("click", click);
  node.addEventListener("keydown", keys);
  tip.addEventListener("pointerenter", stay);
  tip.addEventListener("pointerleave", leave);
  button.addEventListener("click", open);
  frame.addEventListener("focusout", blur);
  document.addEventListener("keydown", away);
  document.addEventListener("pointerdown", elsewhere);
  return () => {
    clearTimeout(leaving);
    node.removeEventListener("pointermove", point);
    node.removeEventListener("pointerleave", leave);
    node.removeEventListener("click", click);
    node.removeEventListener("keydown", keys);
    frame.removeEventListener("focusout", blur);
    document.removeEventListener("keydown", away);
    document.removeEventListener("pointerdown", elsewhere);
    tip.remove();
    aloud.remove();
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

/** Above the mark or, without room there, under it; inside the window. It touches the mark, so that it can be reached. */
function place(tip: HTMLElement, frame: HTMLElement, {left, top, bottom, width}: DOMRect): void {
  const from = frame.getBoundingClientRect();
  const own = tip.getBoundingClientRect();
  const across = document.documentElement.clientWidth;
  const start = Math.max(8, Math.min(left + width / 2 - own.width / 2, across - own.width - 8));
  tip.style.left = `${start - from.left}px`;
  tip.style.top = `${(top > own.height + 60 ? top - own.height - 4 : bottom + 4) - from.top}px`;
}
