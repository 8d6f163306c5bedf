/**
 * Words with their meaning at hand in a page without script: the first use of a term is a button that shows its meaning as
 * a strip at the foot of the window (the `popover` attribute), which Escape or a click elsewhere puts away. A browser that
 * does not know the attribute leaves the strips out; the same words stand in the list at the foot of the page.
 */
import {GLOSSARY, termParts, type Term, type TermPart} from "../../shared/glossary.ts";
import {escapeHtml} from "./escapeHtml.ts";

/** Text as HTML, with the terms explained that it uses first. */
export type Explain = (text: string) => string;

export class Glosses {
  readonly #used = new Set<Term>();

  /** For texts that belong together, such as those of one answer: each term is explained once in them. */
  begin(): Explain {
    const wanted = new Set(GLOSSARY);
    return (text) =>
      termParts(text, wanted)
        .map((part) => (part.term === null ? escapeHtml(part.text) : this.#button(part, part.term)))
        .join("");
  }

  /** What the buttons show; anywhere on the page. */
  strips(): string {
    return [...this.#used]
      .map(
        (term) =>
          `<div popover id="${idOf(term)}" class="meaning"><strong>${escapeHtml(term.name)}</strong> ${escapeHtml(term.meaning)}</div>`,
      )
      .join("\n");
  }

  #button({text, before, after}: TermPart, term: Term): string {
    this.#used.add(term);
    const button = `<button type="button" class="term" popovertarget="${idOf(term)}">${escapeHtml(text)}</button>`;
    // a sign stays on the line of its word
    return before + after === ""
      ? button
      : `<span class="unbroken">${escapeHtml(before)}${button}${escapeHtml(after)}</span>`;
  }
}

const idOf = ({name}: Term): string => `term-${name.toLowerCase().replaceAll(/[^a-z0-9]+/g, "-")}`;
