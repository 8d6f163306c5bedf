/** One analysis as a page that needs no script, no server and no file beside it to be read. */
import type {CellTable} from "../cells/contract.ts";
import {columnFormatter, isNumeric} from "../cells/formatValue.ts";
import {escapeHtml} from "./escapeHtml.ts";
import {proseHtml} from "./proseHtml.ts";

export interface ReportFigure {
  readonly title: string;
  readonly caption: string;
  /** the chart's own svg */
  readonly svg: string;
  readonly svgFile: string;
  readonly csvFile: string;
}

export interface ReportTable {
  readonly table: CellTable;
  readonly csvFile: string;
}

export type ReportBlock =
  | {readonly type: "prose"; readonly markdown: string}
  | {readonly type: "problem"; readonly message: string; readonly remedy: string}
  | {
      readonly type: "answer";
      readonly headline: string;
      readonly figures: readonly ReportFigure[];
      readonly tables: readonly ReportTable[];
      readonly cautions: readonly string[];
    };

export interface ReportPage {
  readonly title: string;
  readonly question: string;
  readonly origin: string;
  readonly blocks: readonly ReportBlock[];
}

/** Rows of a table that a page shows; the rest stand in its CSV. */
const MOST_ROWS = 60;

const STYLE = `
:root{color-scheme:light;--ink:#1a2123;--muted:#5f6a6f;--rule:#d5dadb;--mark:#8a4b00}
body{margin:2.5rem auto;max-width:60rem;padding:0 1.5rem;color:var(--ink);font:400 1rem/1.55 Georgia,"DejaVu Serif",serif}
h1{font-size:1.9rem;line-height:1.2;margin:0 0 .3rem}h2{font-size:1.15rem;margin:2.2rem 0 .5rem;border-top:1px solid var(--rule);padding-top:.9rem}
.question{font-size:1.2rem;color:var(--muted);margin:0 0 1rem}.origin,figcaption,.note,.cautions{font:400 .85rem/1.45 "Helvetica Neue",Arial,"DejaVu Sans",sans-serif;color:var(--muted)}
.headline{font-size:1.25rem;font-weight:600;line-height:1.35;margin:2rem 0 .8rem}figure{margin:1.2rem 0}figure h3,table caption{font:600 1rem/1.3 "Helvetica Neue",Arial,"DejaVu Sans",sans-serif;margin:0 0 .4rem;text-align:left}
svg{max-width:100%;height:auto}table{border-collapse:collapse;font:400 .85rem/1.4 "Helvetica Neue",Arial,"DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums;margin:1rem 0}
th,td{border-bottom:1px solid var(--rule);padding:.25rem .8rem .25rem 0;text-align:left;vertical-align:top}th.n,td.n{text-align:right}th small{display:block;font-weight:400;color:var(--muted)}
.scroll{overflow-x:auto}.cautions{border-left:3px solid var(--mark);padding-left:.8rem;margin:1rem 0}.cautions strong,.problem strong{color:var(--mark)}
@media print{body{margin:0;max-width:none}figure,.cautions{break-inside:avoid}}
`;

export function reportPage({title, question, origin, blocks}: ReportPage): string {
  return document(
    title,
    [
      `<header><h1>${escapeHtml(title)}</h1>`,
      question === "" ? "" : `<p class="question">${escapeHtml(question)}</p>`,
      `<p class="origin">${escapeHtml(origin)}</p></header>`,
      `<main>${blocks.map(block).join("\n")}</main>`,
    ].join("\n"),
  );
}

export function reportIndex(
  pages: readonly {readonly file: string; readonly title: string; readonly question: string}[],
  origin: string,
): string {
  const items = pages.map(
    ({file, title, question}) =>
      `<li><a href="${encodeURI(file)}">${escapeHtml(title)}</a><br><span class="note">${escapeHtml(question)}</span></li>`,
  );
  return document(
    "Wearbook report",
    `<header><h1>Wearbook report</h1><p class="origin">${escapeHtml(origin)}</p></header><main><ul>${items.join("\n")}</ul></main>`,
  );
}

function document(title: string, body: string): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${escapeHtml(title)}</title><style>${STYLE}</style></head><body>
${body}
<footer><p class="origin">This page is a reminder of what the shop's own logs say. The equipment maker's procedures, the law where you stand and people competent for the task decide, and win over any number shown here.</p></footer>
</body></html>
`;
}

function block(given: ReportBlock): string {
  if (given.type === "prose") return proseHtml(given.markdown);
  if (given.type === "problem") {
    return `<p class="cautions problem"><strong>This cell was not computed.</strong> ${escapeHtml(given.message)} ${escapeHtml(given.remedy)}</p>`;
  }
  const {headline, figures, tables, cautions} = given;
  return `<section><p class="headline">${escapeHtml(headline)}</p>
${cautions.length === 0 ? "" : `<div class="cautions"><strong>Cautions</strong>${cautions.map((caution) => `<p>${escapeHtml(caution)}</p>`).join("")}</div>`}
${figures.map(figure).join("\n")}
${tables.map(table).join("\n")}</section>`;
}

function figure({title, caption, svg, svgFile, csvFile}: ReportFigure): string {
  return `<figure><h3>${escapeHtml(title)}</h3>${svg}<figcaption>${escapeHtml(caption)} <a href="${encodeURI(svgFile)}">SVG</a> <a href="${encodeURI(csvFile)}">CSV</a></figcaption></figure>`;
}

function table({table: {title, columns, note}, csvFile}: ReportTable): string {
  const rows = Math.max(0, ...columns.map(({values}) => values.length));
  const shown = Math.min(rows, MOST_ROWS);
  const words = columns.map(columnFormatter);
  const kind = columns.map((column) => (isNumeric(column) ? ' class="n"' : ""));
  const head = columns.map(
    ({label, unit}, i) =>
      `<th scope="col"${kind[i]}>${escapeHtml(label)}${unit === undefined ? "" : `<small>${escapeHtml(unit)}</small>`}</th>`,
  );
  const body = Array.from(
    {length: shown},
    (_, row) =>
      `<tr>${columns.map(({values}, i) => `<td${kind[i]}>${escapeHtml(words[i]!(values[row]))}</td>`).join("")}</tr>`,
  );
  const rest = rows > shown ? `The first ${shown} of ${rows} rows; all are in the CSV. ` : "";
  return `<div class="scroll"><table><caption>${escapeHtml(title)}</caption><thead><tr>${head.join("")}</tr></thead><tbody>${body.join("\n")}</tbody></table></div>
<p class="note">${rest}${escapeHtml(note ?? "")} <a href="${encodeURI(csvFile)}">CSV</a></p>`;
}
