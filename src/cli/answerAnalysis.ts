/** An analysis answered: what its page shows, and the files that stand beside the page. */
import {chartTable, csvOf, PAGE_PALETTE} from "../charts/index.ts";
import type {CellEffects, Presentation, Where} from "../cells/contract.ts";
import {toCsv} from "../logs/index.ts";
import {evaluateCell, type Analysis} from "../notebook/index.ts";
import type {Picks} from "../notebook/withPicks.ts";
import {
  originOf,
  pictureOf,
  type Draw,
  type Picture,
  type ReportBasis,
  type ReportBlock,
  type ReportLink,
} from "../report/index.ts";
import {cellInputs} from "../workspace/cellInputs.ts";
import type {OpenLogs} from "../workspace/openLogs.ts";

export interface Place {
  /** begins every file name of the page */
  readonly base: string;
  readonly where: Where;
  /** choices that the page asks for */
  readonly picks: Picks;
  readonly basis: ReportBasis;
  readonly draw: Draw;
  /** makes the PNG; null for none */
  readonly png: ((picture: Picture) => Promise<Uint8Array>) | null;
}

export interface AnsweredAnalysis {
  readonly blocks: readonly ReportBlock[];
  readonly files: readonly {readonly name: string; readonly content: string | Promise<Uint8Array>}[];
  readonly problems: readonly string[];
  readonly cells: number;
  readonly figures: number;
  /** first sentence of the first answer; empty when there is none */
  readonly answer: string;
}

/** Figures in a page are drawn in the width they take there, so that their type is as large as the page's. */
const [LEAD_WIDTH, PAIR_WIDTH] = [750, 580];

export function answerAnalysis(
  analysis: Analysis,
  logs: OpenLogs,
  effects: CellEffects,
  place: Place,
): AnsweredAnalysis {
  const inputs = cellInputs(logs, place.where);
  const files: {name: string; content: string | Promise<Uint8Array>}[] = [];
  const problems: string[] = [];
  const problem = ({line, message, remedy}: {line: number; message: string; remedy: string}): ReportBlock => {
    problems.push(`line ${line}: ${message}`);
    return {type: "problem", message: `Line ${line}: ${message}.`, remedy: remedy === "" ? "" : `${remedy}.`};
  };
  const blocks: ReportBlock[] = analysis.problems.map(problem);
  let cells = 0;
  let figures = 0;
  let answer = "";
  for (const block of analysis.blocks) {
    if (block.type === "prose") {
      blocks.push({type: "prose", markdown: block.text});
      continue;
    }
    cells += 1;
    const result = evaluateCell({...block, picks: place.picks}, inputs, effects);
    if ("problem" in result) {
      blocks.push(problem(result.problem));
      continue;
    }
    const {presentation} = result;
    figures += presentation.figures.length;
    answer ||= presentation.headline.split(/(?<=[.!?]) (?=[A-Z])/)[0] ?? "";
    blocks.push(written(presentation, `${place.base}-${cells}-${block.kind.replaceAll(" ", "-")}`, place, files));
  }
  return {blocks, files, problems, cells, figures, answer};
}

function written(
  presentation: Presentation,
  stem: string,
  {where, basis, draw, png}: Place,
  files: {name: string; content: string | Promise<Uint8Array>}[],
): ReportBlock {
  const keep = (name: string, label: string, content: string | Promise<Uint8Array>): ReportLink => {
    files.push({name, content});
    return {label, href: encodeURI(name)};
  };
  const count = presentation.figures.length;
  const figures = presentation.figures.map((figure, at) => {
    const name = `${stem}-${figure.name}`;
    const picture = pictureOf(figure, {size: "page", draw, origin: originOf(basis, where), font: null});
    const links = [
      keep(`${name}.svg`, "SVG", picture.svg),
      ...(png === null ? [] : [keep(`${name}.png`, "PNG", png(picture))]),
      keep(`${name}.csv`, "CSV", csvOf(chartTable(figure.chart))),
    ];
    const width = at === 0 && count % 2 === 1 ? LEAD_WIDTH : PAIR_WIDTH;
    return {figure, svg: draw(figure.chart, {width, palette: PAGE_PALETTE}, figure.alt).svg, links};
  });
  const tableLinks = presentation.tables.map((table) => [
    keep(`${stem}-table-${table.name}.csv`, "CSV", toCsv(table.columns)),
  ]);
  return {type: "answer", presentation, figures, tableLinks};
}
