/** Markdown of an analysis as nodes that can do nothing but be read. */
import DOMPurify from "dompurify";
import {marked} from "marked";

/** No script, no style, no form, no picture from elsewhere, no class that could dress words up as the page's own. */
export function proseNodes(markdown: string): DocumentFragment {
  return DOMPurify.sanitize(marked.parse(markdown, {async: false, gfm: true}), {
    USE_PROFILES: {html: true},
    FORBID_TAGS: ["style", "form", "input", "button", "textarea", "select", "img", "video", "audio", "h1"],
    FORBID_ATTR: ["style", "class", "id"],
    RETURN_DOM_FRAGMENT: true,
  });
}
