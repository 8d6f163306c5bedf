/** The page that lists the others: each question with its first answer, by section. */
import {bindUnits} from "../cells/formatValue.ts";
import {originOf} from "./origin.ts";
import {escapeHtml} from "./escapeHtml.ts";
import {htmlDocument, standsOnHtml, type ReportFrame} from "./reportPage.ts";

export interface ListedPage {
  readonly file: string;
  readonly title: string;
  readonly question: string;
  readonly section: string;
  /** the first sentence of its first answer; empty when it has none */
  readonly answer: string;
  /** cells that could not be computed */
  readonly failed: number;
}

export interface ReportIndex extends ReportFrame {
  readonly pages: readonly ListedPage[];
  /** filters of the whole report */
  readonly where: Parameters<typeof originOf>[1];
}

export function reportIndex(index: ReportIndex): string {
  const {pages, basis, where} = index;
  const sections = [...new Set(pages.map(({section}) => section))];
  const invented = basis.invented
    ? `<p class="invented"><strong>Demo fleet, invented.</strong> No real company, tool, person or well.</p>`
    : "";
  const lists = sections.map((section) => {
    const items = pages.filter((page) => page.section === section).map(item);
    return `<h2>${escapeHtml(section)}</h2><ol>${items.join("\n")}</ol>`;
  });
  return htmlDocument("Wearbook report", index, {
    nav: "",
    body: `<main><header><h1>What the logs say</h1><p class="question">${escapeHtml(originOf(basis, where))}</p>${invented}</header>
<div class="index">${lists.join("\n")}</div>
${standsOnHtml(index, where)}</main>`,
  });
}

function item({file, title, question, answer, failed}: ListedPage): string {
  const told =
    failed === 0
      ? ""
      : `<p class="failed">${failed} ${failed === 1 ? "cell" : "cells"} could not be computed; the page says why.</p>`;
  return `<li><a href="${escapeHtml(encodeURI(file))}">${escapeHtml(title)}</a><p class="asked">${escapeHtml(question)}</p><p>${escapeHtml(bindUnits(answer))}</p>${told}</li>`;
}
