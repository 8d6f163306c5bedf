/**
 * Every rule of axe on a page as it stands, and contrast in both themes, without asking the same thing thousands of times.
 *
 * - Rows of one table, marks of one group and options of one list that are built alike (elements, classes, attributes,
 *   roles, whether there are words) can only break a rule together: two of each build are looked at, the others are made
 *   invisible meanwhile, in place, so that nothing moves or stops scrolling. A row of another build is looked at.
 * - Contrast follows from styles: one text of each path of elements, classes and grounds and of each computed style is
 *   looked at, once as long as the page is not loaded anew. It is the only rule that the theme has a say in.
 * - axe cannot tell what lies behind text in a drawing and never calls it wrong: that is asked of its fill here.
 */
import axe from "axe-core";
import type {Page} from "@playwright/test";
import {expect} from "./watched.ts";

type Theme = "light" | "dark";

/** @param within selector of what is looked at, whole: one or several parts */
export async function expectAccessible(page: Page, what: string, within = "html"): Promise<void> {
  for (const theme of ["light", "dark"] as const) {
    await page.emulateMedia({colorScheme: theme});
    expect(await broken(page, within, theme), `${what}, ${theme}`).toEqual([]);
  }
  await page.emulateMedia({colorScheme: "light"});
}

/** What is broken, a sentence each. */
async function broken(page: Page, within: string, theme: Theme): Promise<string[]> {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe.source);
  return page.evaluate(look, {within, theme, all: theme === "light"});
}

interface Asked {
  readonly within: string;
  readonly theme: Theme;
  /** every rule, not contrast alone */
  readonly all: boolean;
}

/** Runs in the page, so everything it uses stands in it. */
async function look({within, theme, all}: Asked): Promise<string[]> {
  const KEPT = 2;
  const VALUES = /^(class|role|type|scope|tabindex|colspan|rowspan|aria-(hidden|sort|expanded|pressed|current))$/;
  const here = window as unknown as {axe: typeof axe; lookedAt?: Set<string>};
  const lookedAt = (here.lookedAt ??= new Set());
  const roots = [...document.querySelectorAll(within)];
  if (roots.length === 0) return [`there is no ${within}`];

  const hasWords = (element: Element): boolean =>
    [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && (node.nodeValue ?? "").trim() !== "");

  /** How an element is built: what rules look at, without the words and the places in it. */
  const build = (element: Element): string => {
    const attributes = [...element.attributes].map(({name, value}) =>
      value === "" || VALUES.test(name) ? `${name}=${value}` : name,
    );
    const inner = [...element.children].map(build).filter((each, at, every) => each !== every[at - 1]);
    return `${element.localName}[${attributes.sort().join()}]${hasWords(element) ? "+" : ""}(${inner.join()})`;
  };

  const alike: Element[] = [];
  const below = roots.flatMap((root) => [root, ...root.querySelectorAll("*")]);
  for (const parent of below.filter((each) => each.matches("tbody, select, optgroup, figure svg g"))) {
    const counts = new Map<string, number>();
    for (const child of parent.children) {
      const key = build(child);
      const count = (counts.get(key) ?? 0) + 1;
      counts.set(key, count);
      if (count > KEPT) alike.push(child);
    }
  }

  const paths = new Map<Element, string>();
  const path = (element: Element): string => {
    const known = paths.get(element);
    if (known !== undefined) return known;
    const above = element.parentElement === null ? "" : path(element.parentElement);
    const {backgroundColor, opacity} = getComputedStyle(element);
    const made = `${above}>${element.localName}.${element.getAttribute("class") ?? ""}|${backgroundColor}|${opacity}`;
    paths.set(element, made);
    return made;
  };
  const wrong: string[] = [];
  const texts: Element[] = [];
  for (const element of below) {
    if (!hasWords(element) && !element.matches("input, select, textarea")) continue;
    const {color, fill, fontSize, fontWeight} = getComputedStyle(element);
    const inDrawing = element.closest("svg") !== null;
    const style = inDrawing ? `${fill}|${behind(element)}` : `${path(element)}|${color}|${fontSize}|${fontWeight}`;
    const key = `${theme}|${style}`;
    if (lookedAt.has(key) || !element.checkVisibility({checkOpacity: true, checkVisibilityCSS: true})) continue;
    lookedAt.add(key);
    if (!inDrawing) texts.push(element);
    else {
      // at once: a figure is drawn anew whenever its width changes
      const ratio = contrast(fill, behind(element));
      if (!(ratio >= 4.5)) wrong.push(`text in a drawing: ${fill}, ${ratio.toFixed(2)} to 1: ${element.textContent}`);
    }
  }

  const told = ({violations}: axe.AxeResults): string[] =>
    violations.map(({id, help, nodes}) => `${id}: ${help}: ${nodes[0]?.html.slice(0, 160)} (${nodes.length})`);

  if (texts.length > 0) {
    const options = {runOnly: ["color-contrast"], resultTypes: ["violations" as const]};
    wrong.push(...told(await here.axe.run(texts as unknown as axe.ElementContext, options)));
  }
  if (!all) return wrong;

  // a style sheet made here is no inline style, which the page's policy would refuse
  const sheet = new CSSStyleSheet();
  sheet.replaceSync("[data-alike] {visibility: hidden !important}");
  document.adoptedStyleSheets.push(sheet);
  for (const element of alike) element.setAttribute("data-alike", "");
  try {
    const options = {rules: {"color-contrast": {enabled: false}}, resultTypes: ["violations" as const]};
    return [...wrong, ...told(await here.axe.run(roots as unknown as axe.ElementContext, options))];
  } finally {
    for (const element of alike) element.removeAttribute("data-alike");
    document.adoptedStyleSheets.pop();
  }

  function behind(element: Element): string {
    for (let each: Element | null = element; each !== null; each = each.parentElement) {
      const {backgroundColor} = getComputedStyle(each);
      if (!/^rgba\(.*, 0\)$/.test(backgroundColor)) return backgroundColor;
    }
    return "rgb(255, 255, 255)";
  }

  /** WCAG 2.2, relative luminance and contrast ratio, of two opaque colours. */
  function contrast(one: string, other: string): number {
    const [low, high] = [one, other]
      .map((colour) => {
        const [red = NaN, green = NaN, blue = NaN] = (colour.match(/[\d.]+/g) ?? []).map((text) => {
          const value = Number(text) / 255;
          return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
      })
      .sort((a, b) => a - b);
    return (high! + 0.05) / (low! + 0.05);
  }
}
