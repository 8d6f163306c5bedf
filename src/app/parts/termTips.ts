/**
 * Words with their meaning at hand: the first use of a term on a page can be pointed at, tapped or reached by keyboard,
 * and then says what it means. One small sheet serves the whole page.
 */
import {findTerm, GLOSSARY, type Term} from "../../../shared/glossary.ts";

const TIP = "term-tip";

/** Makes the first use of each term in these nodes a button that explains itself; headings, links and code stay as they are. */
export function markTerms(root: DocumentFragment | HTMLElement, terms: readonly Term[]): void {
  for (const term of terms) {
    for (const node of wordsOf(root)) {
      const found = findTerm(term, node.data);
      if (found === null) continue;
      const rest = node.splitText(found.at);
      rest.splitText(found.form.length);
      const button = document.createElement("button");
      button.type = "button";
      button.className = "term";
      button.dataset.term = term.name;
      rest.replaceWith(button);
      button.append(rest);
      break;
    }
  }
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
  const tip = document.createElement("div");
  tip.id = TIP;
  tip.role = "tooltip";
  tip.hidden = true;
  document.body.append(tip);

  const hide = (): void => {
    shown?.removeAttribute("aria-describedby");
    shown = null;
    tip.hidden = true;
  };
  const show = (event: Event): void => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>(".term") : null;
    if (button === null || button === shown) return;
    const term = GLOSSARY.find(({name}) => name === button.dataset.term);
    if (term === undefined) return;
    hide();
    tip.textContent = term.meaning;
    tip.hidden = false;
    button.setAttribute("aria-describedby", TIP);
    shown = button;
    place(tip, button);
  };
  const leave = (event: Event): void => {
    if (event.target === shown && document.activeElement !== shown) hide();
  };
  const keys = (event: KeyboardEvent): void => {
    if (event.key === "Escape") hide();
  };

  root.addEventListener("pointerover", show);
  root.addEventListener("pointerout", leave);
  root.addEventListener("focusin", show);
  root.addEventListener("focusout", hide);
  root.addEventListener("click", show);
  document.addEventListener("keydown", keys);
  return () => {
    root.removeEventListener("pointerover", show);
    root.removeEventListener("pointerout", leave);
    root.removeEventListener("focusin", show);
    root.removeEventListener("focusout", hide);
    root.removeEventListener("click", show);
    document.removeEventListener("keydown", keys);
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
