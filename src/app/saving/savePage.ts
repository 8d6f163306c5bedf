/** The page that is read as one HTML file: the batch runner's page, made here from the answers that are shown. */
import {chartTable, csvOf, PAGE_PALETTE} from "../../charts/index.ts";
import type {Presentation, Where} from "../../cells/contract.ts";
import {reportPage, type ReportBasis, type ReportBlock, type ReportLink} from "../../report/index.ts";
import {VERSION} from "../../../shared/version.ts";
import {drawSvg} from "./drawSvg.ts";
import {EMBEDDED_FONTS} from "./embeddedFonts.ts";
import {fileNameOf, saveBlob} from "./save.ts";

/** What stands on the page, in its order. */
export type ShownPart =
  | {readonly type: "prose"; readonly markdown: string}
  | {readonly type: "cell"; readonly presentation: Presentation}
  | {readonly type: "unanswered"; readonly message: string; readonly remedy: string};

export interface ShownPage {
  readonly title: string;
  readonly question: string;
  readonly where: Where;
  readonly bench: boolean;
  readonly parts: readonly ShownPart[];
  readonly basis: ReportBasis;
}

/** Figures are drawn in the width they take in the saved page, so that their type is as large as the page's. */
const [LEAD_WIDTH, PAIR_WIDTH] = [750, 580];

export function savePage(shown: ShownPage): void {
  const html = pageHtml(shown, new Date().toISOString().slice(0, 10));
  saveBlob(new Blob([html], {type: "text/html;charset=utf-8"}), fileNameOf([shown.title], "html"));
}

/** @param made ISO day */
export function pageHtml({parts, ...page}: ShownPage, made: string): string {
  const blocks = parts.map((part): ReportBlock => {
    if (part.type === "prose") return part;
    if (part.type === "unanswered") return {type: "problem", message: part.message, remedy: part.remedy};
    return answer(part.presentation, page.title);
  });
  return reportPage({...page, blocks, fonts: EMBEDDED_FONTS, made, version: VERSION, contents: null});
}

function answer(presentation: Presentation, page: string): ReportBlock {
  const count = presentation.figures.length;
  const figures = presentation.figures.map((figure, at) => {
    const width = at === 0 && count % 2 === 1 ? LEAD_WIDTH : PAIR_WIDTH;
    const {svg} = drawSvg(figure.chart, {width, palette: PAGE_PALETTE}, figure.alt);
    return {figure, svg, links: [csvLink(csvOf(chartTable(figure.chart)), page, figure.name)]};
  });
  const tableLinks = presentation.tables.map(({name, columns}) => [
    csvLink(csvOf(columns.map(({name: key, unit = null, values}) => ({name: key, unit, values}))), page, name),
  ]);
  return {type: "answer", presentation, figures, tableLinks};
}

/** The numbers ride along inside the page: no file beside it to be lost. */
function csvLink(csv: string, page: string, name: string): ReportLink {
  const href = `data:text/csv;charset=utf-8,${encodeURIComponent(`\uFEFF${csv}`)}`;
  return {label: "CSV", href, download: fileNameOf([page, name], "csv")};
}
