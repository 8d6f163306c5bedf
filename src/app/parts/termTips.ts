/**
 * Words with their meaning at hand: the first use of a term, in the words of a page and in each of its answers, can be
 * pointed at, tapped or reached by keyboard, and then says what it means. One small sheet serves the whole page.
 */
import {GLOSSARY, termParts, type Term, type TermPart} from "../../../shared/glossary.ts";

const TIP = "term-tip";
/** Long enough to get from a word to its meaning. */
const GRACE_MS = 300;

/** Makes the first use of each term in these nodes a button that explains itself; headings, links and code stay as they are. */
export function markTerms(root: DocumentFragment | HTMLElement, terms: readonly Term[]): void {
  const wanted = new Set(terms);
  for (const node of wordsOf(root)) {
    const parts = termParts(node.data, wanted);
    if (parts.every(({term}) => term === null)) continue;
    node.replaceWith(...parts.map((part) => (part.term === null ? part.text : button(part, part.term))));
  }
}

function button({text, before, after}: TermPart, term: Term): HTMLElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "term";
  made.dataset.term = term.name;
  made.textContent = text;
  if (before + after === "") return made;
  const whole = document.createElement("span");
  whole.className = "unbroken";
  whole.append(before, made, after);
  return whole;
}

function wordsOf(root: DocumentFragment | HTMLElement): Text[] {
  const found: Text[] = [];
  const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
    if (!node.parentElement?.closest("h1, h2, h3, h4, a, code, button, th")) found.push(node as Text);
  }
  return found;
}

/** Shows the meaning of the term under the pointer or the keyboard, inside this element. */
export function showTerms(root: HTMLElement): () => void {
  let shown: HTMLElement | null = null;
  let leaving = 0;
  const tip = document.createElement("div");
  tip.id = TIP;
  tip.role = "tooltip";
  tip.hidden = true;
  document.body.append(tip);

  const hide = (): void => {
    clearTimeout(leaving);
    shown?.removeAttribute("aria-describedby");
    shown = null;
    tip.hidden = true;
  };
  const show = (event: Event): void => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-term]") : null;
    if (button === null) return;
    clearTimeout(leaving);
    if (button === shown) return;
    const term = GLOSSARY.find(({name}) => name === button.dataset.term);
    if (term === undefined) return;
    hide();
    tip.textContent = term.meaning;
    tip.hidden = false;
    button.setAttribute("aria-describedby", TIP);
    shown = button;
    place(tip, button);
  };
  // the meaning may be pointed at itself; what has the focus keeps it
  const leave = ({relatedTarget}: PointerEvent): void => {
    if (shown === null || document.activeElement === shown) return;
    if (relatedTarget instanceof Node && (shown.contains(relatedTarget) || tip.contains(relatedTarget))) return;
    clearTimeout(leaving);
    leaving = window.setTimeout(hide, GRACE_MS);
  };
  const stay = (): void => clearTimeout(leaving);
  const elsewhere = ({target}: PointerEvent): void => {
    if (shown !== null && !(target instanceof Node && (shown.contains(target) || tip.contains(target)))) hide();
  };
  const keys = (event: KeyboardEvent): void => {
    if (event.key === "Escape") hide();
  };

  root.addEventListener("pointerover", show);
  root.addEventListener("pointerout", leave);
  root.addEventListener("focusin", show);
  root.addEventListener("focusout", hide);
  root.addEventListener("click", show);
  tip.addEventListener("pointerenter", stay);
  tip.addEventListener("pointerleave", leave);
  document.addEventListener("keydown", keys);
  document.addEventListener("pointerdown", elsewhere);
  return () => {
    clearTimeout(leaving);
    root.removeEventListener("pointerover", show);
    root.removeEventListener("pointerout", leave);
    root.removeEventListener("focusin", show);
    root.removeEventListener("focusout", hide);
    root.removeEventListener("click", show);
    document.removeEventListener("keydown", keys);
    document.removeEventListener("pointerdown", elsewhere);
    tip.remove();
  };
}

/** Under the word, and inside the window. */
function place(tip: HTMLElement, word: HTMLElement): void {
  const {left, top, bottom} = word.getBoundingClientRect();
  const {width, height} = tip.getBoundingClientRect();
  const across = document.documentElement.clientWidth;
  const under = bottom + 6 + height < innerHeight;
  tip.style.left = `${scrollX + Math.max(8, Math.min(left, across - width - 8))}px`;
  tip.style.top = `${scrollY + (under ? bottom + 6 : top - height - 6)}px`;
}
