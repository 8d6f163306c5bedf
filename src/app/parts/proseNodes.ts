/** Markdown of an analysis as nodes that can do nothing but be read. */
import DOMPurify from "dompurify";
import {Marked} from "marked";

const escape = (text: string): string => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

/** HTML among the words is shown as it was typed, here as in a report: no tag of an analysis ever reaches a parser. */
const words = new Marked({
  gfm: true,
  renderer: {html: ({text}) => (/^\s*<!--[\s\S]*-->\s*$/.test(text) ? "" : escape(text))},
});

/** No script, no style, no form, no picture from elsewhere, no class that could dress words up as the page's own. */
export function proseNodes(markdown: string): DocumentFragment {
  return DOMPurify.sanitize(words.parse(markdown, {async: false}), {
    USE_PROFILES: {html: true},
    FORBID_TAGS: ["style", "form", "input", "button", "textarea", "select", "img", "video", "audio", "h1"],
    FORBID_ATTR: ["style", "class", "id"],
    RETURN_DOM_FRAGMENT: true,
  });
}
