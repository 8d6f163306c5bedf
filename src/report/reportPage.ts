/**
 * One analysis as a page that needs no script, no server and no file beside it to be read. The batch runner and the app
 * make it from the same presentations: what one prints, the other prints.
 */
import {BENCH_CAUTIONS, DEFERRAL} from "../../shared/benchCautions.ts";
import {termsIn} from "../../shared/glossary.ts";
import type {Figure, Presentation, Where} from "../cells/contract.ts";
import {bindUnits, formatCount} from "../cells/formatValue.ts";
import {figureTable} from "../cells/figureTable.ts";
import {wordsOf} from "../cells/wordsOf.ts";
import type {ReportBasis} from "./basis.ts";
import {filtersInWords, originOf} from "./origin.ts";
import {escapeHtml} from "./escapeHtml.ts";
import {Glosses, type Explain} from "./glosses.ts";
import {proseHtml} from "./proseHtml.ts";
import {reportStyle, type ReportFonts} from "./reportStyle.ts";
import {tableHtml} from "./tableHtml.ts";

/** A way to the file behind a figure or a table; `download` names what a `data:` address saves as. */
export interface ReportLink {
  readonly label: string;
  readonly href: string;
  readonly download?: string;
}

export interface ReportFigure {
  readonly figure: Figure;
  /** the chart's own svg, in the page's colours */
  readonly svg: string;
  readonly links: readonly ReportLink[];
}

export type ReportBlock =
  | {readonly type: "prose"; readonly markdown: string}
  | {readonly type: "problem"; readonly message: string; readonly remedy: string}
  | {
      readonly type: "answer";
      readonly presentation: Pick<Presentation, "headline" | "tables" | "cautions" | "asks" | "signOff">;
      readonly figures: readonly ReportFigure[];
      /** for each table of the presentation */
      readonly tableLinks: readonly (readonly ReportLink[])[];
    };

/** What every page of a report shares. */
export interface ReportFrame {
  readonly basis: ReportBasis;
  readonly fonts: ReportFonts | null;
  /** ISO day on which it was made */
  readonly made: string;
  readonly version: string;
}

export interface ReportPage extends ReportFrame {
  readonly title: string;
  readonly question: string;
  readonly where: Where;
  readonly blocks: readonly ReportBlock[];
  /** its answers lead someone to the bench */
  readonly bench: boolean;
  /** the page that lists the others; null for a page that was saved alone */
  readonly contents: string | null;
}

export function reportPage(page: ReportPage): string {
  const {title, question, where, blocks, basis, bench, contents} = page;
  const glosses = new Glosses();
  const prose = glosses.begin();
  return htmlDocument(title, page, {
    nav: contents === null ? "" : `<nav><a href="${encodeURI(contents)}">all pages of this report</a></nav>`,
    body: [
      `<main${blocks.some(isToSign) ? ' class="to-sign"' : ""}><header><h1>${escapeHtml(title)}</h1>`,
      question === "" ? "" : `<p class="question">${escapeHtml(question)}</p>`,
      basis.invented ? INVENTED : "",
      `<p class="within">${escapeHtml(originOf(basis, where))}${chosenIn(blocks)}</p></header>`,
      blocks.map((each) => block(each, each.type === "prose" ? prose : glosses.begin())).join("\n"),
      bench ? benchHtml() : "",
      glossaryHtml(blocks),
      standsOnHtml(page, where),
      glosses.strips(),
      `</main>`,
    ].join("\n"),
  });
}

/** What was asked on the page and what stands there, given or taken by default. */
function chosenIn(blocks: readonly ReportBlock[]): string {
  const asks = blocks.flatMap((each) => (each.type === "answer" ? (each.presentation.asks ?? []) : []));
  const said = new Map(
    asks.map(({name, label, choices, value, unit}) => [
      name,
      `${label} ${choices?.find((choice) => choice.value === value)?.label ?? value}${unit === undefined ? "" : ` ${unit}`}`,
    ]),
  );
  return said.size === 0 ? "" : `<br>chosen: ${escapeHtml(bindUnits([...said.values()].join("; ")))}`;
}

const INVENTED = `<p class="invented"><strong>Demo fleet, invented.</strong> No real company, tool, person or well.</p>`;

export interface DocumentParts {
  /** links in the line at the top */
  readonly nav: string;
  readonly body: string;
}

export function htmlDocument(title: string, {fonts, made, version}: ReportFrame, {nav, body}: DocumentParts): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><meta name="generator" content="Wearbook ${escapeHtml(version)}">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:">
<title>${escapeHtml(title)}</title><style>${reportStyle(fonts)}</style></head><body>
<div class="top" role="banner"><span><strong>Wearbook</strong> ${escapeHtml(version)}, made on ${escapeHtml(made)}</span>${nav}</div>
${body}
<footer><p>${escapeHtml(DEFERRAL)}</p></footer>
</body></html>
`;
}

function block(given: ReportBlock, explain: Explain): string {
  if (given.type === "prose") return `<div class="prose">${proseHtml(given.markdown, explain)}</div>`;
  if (given.type === "problem") {
    return `<p class="problem"><strong>This cell was not computed.</strong> ${escapeHtml(given.message)} ${escapeHtml(given.remedy)}</p>`;
  }
  const {
    presentation: {headline, tables, cautions, signOff},
    figures,
    tableLinks,
  } = given;
  const [first = "", ...rest] = headline.split(/(?<=[.!?]) (?=[A-Z])/);
  const lead = explain(bindUnits(first));
  const more = rest.length === 0 ? "" : `<p class="more">${explain(bindUnits(rest.join(" ")))}</p>`;
  const said = `<div class="said"><p class="headline">${lead}</p>${more}</div>`;
  return [
    `<section class="answer">`,
    said,
    cautionsHtml(cautions),
    figures.length === 0
      ? ""
      : `<div class="figures">${figures.map((each, at) => figureHtml(each, at === 0 && figures.length % 2 === 1, explain)).join("\n")}</div>`,
    ...tables.map((table, at) => tableHtml(table, linksHtml(tableLinks[at] ?? []), explain)),
    signOff === undefined ? "" : signOffHtml(signOff),
    `</section>`,
  ].join("\n");
}

/** A sheet to be signed goes to the bench on paper: its answers, its cautions, its lines. */
const isToSign = (given: ReportBlock): boolean => given.type === "answer" && given.presentation.signOff !== undefined;

/** Lines to be filled in by hand: on paper only. */
function signOffHtml(lines: readonly string[]): string {
  return `<dl class="sign">${lines.map((line) => `<div><dd></dd><dt>${escapeHtml(line)}</dt></div>`).join("")}</dl>`;
}

function cautionsHtml(cautions: readonly string[]): string {
  if (cautions.length === 0) return "";
  const said = cautions.map((caution) => `<p>${escapeHtml(bindUnits(caution))}</p>`).join("");
  return `<div class="cautions" role="note"><strong>${cautions.length === 1 ? "Caution" : "Cautions"}</strong>${said}</div>`;
}

function figureHtml({figure, svg, links}: ReportFigure, lead: boolean, explain: Explain): string {
  const {title, caption} = figure;
  return `<figure${lead ? ' class="lead"' : ""}><h3>${escapeHtml(bindUnits(title))}</h3>${svg}<figcaption>${explain(bindUnits(caption))}${linksHtml(links)}${rowsHtml(figure)}</figcaption></figure>`;
}

/** The numbers of a figure with the rows of the log behind each, where there are any: what a page shows on its marks. */
function rowsHtml(figure: Figure): string {
  const numbers = figureTable(figure);
  if (numbers === null || numbers.columns.every(({leads}) => leads === undefined)) return "";
  return `<details class="rows"><summary>Numbers of this figure, and the rows of the log behind them</summary>${tableHtml(numbers, "", escapeHtml)}</details>`;
}

function linksHtml(links: readonly ReportLink[]): string {
  if (links.length === 0) return "";
  const each = links.map(({label, href, download}) => {
    const saves = download === undefined ? "" : ` download="${escapeHtml(download)}"`;
    return `<a href="${escapeHtml(href)}"${saves}>${escapeHtml(label)}</a>`;
  });
  return ` <span class="links">${each.join("")}</span>`;
}

function benchHtml(): string {
  const items = BENCH_CAUTIONS.map(
    ({hazard, caution}) => `<div><dt>${escapeHtml(hazard)}</dt><dd>${escapeHtml(caution)}</dd></div>`,
  );
  return `<section class="bench"><h2>Before a tool is opened</h2><p>${escapeHtml(DEFERRAL)}</p><dl>${items.join("\n")}</dl></section>`;
}

/** The words the page uses, with what they mean. */
function glossaryHtml(blocks: readonly ReportBlock[]): string {
  const texts = blocks.flatMap((each) =>
    each.type === "prose"
      ? [each.markdown]
      : each.type === "answer"
        ? [wordsOf({...each.presentation, figures: each.figures.map(({figure}) => figure)})]
        : [],
  );
  const items = termsIn(texts).map(({name, meaning}) => `<dt>${escapeHtml(name)}</dt><dd>${escapeHtml(meaning)}</dd>`);
  if (items.length === 0) return "";
  return `<details class="words"><summary>Words used on this page</summary><dl>${items.join("")}</dl></details>`;
}

/** Files, rows used and left out, settings, filters, the convention of the regimes. */
export function standsOnHtml({basis, version}: ReportFrame, where: Where): string {
  const {settings, counts, files} = basis;
  const digest = new Map(files.map((file) => [file.name, file.digest]));
  const named = new Set(counts.map(({file}) => file));
  const facts: [string, string][] = [
    ["Filters", filtersInWords(where)],
    [
      "Rows",
      `${formatCount(basis.runs)} runs${basis.lastDay === null ? "" : `, ended ${basis.firstDay} to ${basis.lastDay}`}; ${formatCount(basis.rebuilds)} rebuild rows; ${formatCount(basis.lives)} lives, ${formatCount(basis.failures)} of them failures`,
    ],
    ["Clock", `ages in ${settings.exposure}`],
    ["Limits", `two-sided, ${Math.round(settings.level * 100)} % confidence`],
    ["Flow regime", basis.convention],
    ["Program", `Wearbook ${version}`],
  ];
  const rows = counts.map(
    ({file, read, accepted, repaired, held, setAside}) =>
      `<tr><th scope="row">${escapeHtml(file)}</th>${[read, accepted, repaired, held, setAside].map((count) => `<td class="n">${formatCount(count)}</td>`).join("")}<td>${escapeHtml(digest.get(file) ?? "")}</td></tr>`,
  );
  const others = files
    .filter(({name}) => !named.has(name))
    .map(
      ({name, digest: sum}) =>
        `<tr><th scope="row">${escapeHtml(name)}</th><td colspan="5"></td><td>${escapeHtml(sum ?? "")}</td></tr>`,
    );
  const heads = ["rows", "used as they are", "used, repaired", "held for an answer", "set aside"];
  return `<section class="stands"><h2>What this stands on</h2>
<dl>${facts.map(([name, text]) => `<dt>${name}</dt><dd>${escapeHtml(text)}</dd>`).join("")}</dl>
<div class="scroll" role="group" tabindex="0" aria-label="rows of each file"><table><thead><tr><th scope="col">file</th>${heads.map((head) => `<th scope="col" class="n">${head}</th>`).join("")}<th scope="col">content (SHA-256)</th></tr></thead><tbody>${[...rows, ...others].join("\n")}</tbody></table></div></section>`;
}
