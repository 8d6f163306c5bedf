/** Markdown of an analysis as HTML that can do nothing but be read: raw HTML is shown as text, links are checked. */
import {Marked} from "marked";
import {escapeHtml} from "./escapeHtml.ts";

const safe = new Marked({
  gfm: true,
  renderer: {
    html: ({text}) => escapeHtml(text),
    image: ({text}) => escapeHtml(text),
    link({href, tokens}) {
      const words = this.parser.parseInline(tokens);
      return /^(https?:|#|\.{0,2}\/)/i.test(href) ? `<a href="${escapeHtml(href)}">${words}</a>` : words;
    },
  },
});

export function proseHtml(markdown: string): string {
  return safe.parse(markdown, {async: false});
}
