/** `report FOLDER --out DIR`: every analysis as a page that opens from disk, its figures as SVG and PNG, its tables as CSV. */
import {mkdir, writeFile} from "node:fs/promises";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import {VERSION} from "../../shared/version.ts";
import {nearest} from "../../shared/vocabulary/index.ts";
import {CELL_KINDS} from "../cells/index.ts";
import type {CellEffects, Where} from "../cells/contract.ts";
import type {Analysis} from "../notebook/index.ts";
import type {Picks} from "../notebook/withPicks.ts";
import {pagesOver, type PageFile} from "../notebook/contents.ts";
import {createMemo, leadsToBench, mergeWhere, readAnalysis, sectionOf} from "../notebook/index.ts";
import {basisOf, reportIndex, reportPage, type ListedPage, type ReportFrame} from "../report/index.ts";
import type {OpenLogs} from "../workspace/openLogs.ts";
import {answerAnalysis} from "./answerAnalysis.ts";
import {plotInNode} from "./drawChart.ts";
import {CommandError, type Effects} from "./effects.ts";
import {markdownIn, type Folder} from "./folder.ts";
import {loadFolder} from "./loadFolder.ts";
import {PngThread} from "./PngThread.ts";
import {reportFonts} from "./reportFonts.ts";

/** The pages that come with Wearbook. */
const SHIPPED = fileURLToPath(new URL("../../analyses", import.meta.url));

/** Pages whose pictures may wait to be drawn: pages with many are made up for by pages with few. */
const MOST_PAGES_WAITING = 6;

export interface ReportOptions {
  readonly out: string;
  /** words of file names or titles; only the pages that have one of them are written */
  readonly only?: readonly string[];
  /** leaves out the pages that come with Wearbook */
  readonly own?: true;
  /** filters laid over those of every page */
  readonly fleet?: readonly string[];
  readonly from?: string;
  readonly to?: string;
  /** choices that pages ask for, by the name of the parameter */
  readonly pick?: Picks;
  readonly units?: "metric" | "oilfield";
  /** false leaves the PNG out */
  readonly png?: boolean;
}

/**
 * Exit 0 when every cell was answered. A cell that could not be computed is told on its page, counted in the summary and
 * named on stderr, everything else is written, and the exit is 1: a nightly job should not take it for a good night.
 *
 * @throws CommandError (bad input) when nothing could be read, or when a cell could not be computed
 */
export async function report(path: string, options: ReportOptions, effects: Effects): Promise<void> {
  const {out, png = true} = options;
  const tell = effects.progress ?? effects.say;
  tell(`reading ${path} …`);
  const {folder, logs: asRead} = await loadFolder(path, effects);
  const logs = options.units === undefined ? asRead : {...asRead, settings: {...asRead.settings, units: options.units}};
  const strip = filtersOf(options, logs);
  const texts = await pagesOf(folder, options.own === true);
  const analyses = chosen(
    texts.map(({name, text}) => readAnalysis(text, name)),
    options.only,
  );
  const picks = checkedPicks(options.pick);
  await makeFolder(out);
  const frame: ReportFrame = {
    basis: basisOf(logs),
    fonts: await reportFonts(),
    made: new Date().toISOString().slice(0, 10),
    version: VERSION,
  };
  const draw = await plotInNode();
  // one memory for all pages: they share the tables, and its keys name the filters
  const cellEffects: CellEffects = {
    progress: () => undefined,
    signal: new AbortController().signal,
    memo: createMemo(),
  };
  const pages: ListedPage[] = [];
  const failures: string[] = [];
  const done = {cells: 0, figures: 0};
  // pictures of a page are drawn and written while the next pages are computed
  const drawings: Promise<unknown>[] = [];
  const painter = png ? new PngThread() : null;
  try {
    for (const [at, analysis] of analyses.entries()) {
      tell(`page ${at + 1} of ${analyses.length}: ${analysis.title}`);
      const base = baseOf(analysis);
      const where = mergeWhere(analysis.where, strip);
      const {blocks, files, problems, cells, figures, answer} = answerAnalysis(analysis, logs, cellEffects, {
        base,
        where,
        picks,
        basis: frame.basis,
        draw,
        png: painter?.draw ?? null,
      });
      done.cells += cells;
      done.figures += figures;
      failures.push(...problems.map((problem) => `${analysis.name}: ${problem}`));
      await drawings[at - MOST_PAGES_WAITING];
      const drawing = Promise.all(files.map(async ({name, content}) => writeFile(join(out, name), await content)));
      drawings.push(drawing);
      drawing.catch(() => undefined); // what went wrong is told where it is waited for
      const {title, question} = analysis;
      const page = {...frame, title, question, where, blocks, bench: leadsToBench(analysis), contents: "index.html"};
      await writeFile(join(out, `${base}.html`), reportPage(page));
      pages.push({
        file: `${base}.html`,
        title,
        question,
        section: sectionOf(analysis),
        answer,
        failed: problems.length,
      });
    }
    await Promise.all(drawings);
  } finally {
    await painter?.close();
  }
  await writeFile(join(out, "index.html"), reportIndex({...frame, pages, where: strip}));
  effects.progress?.("");
  for (const failure of failures) effects.say(failure);
  const failed = failures.length === 0 ? "all answered" : `${failures.length} not computed`;
  effects.print(
    `${pages.length} ${pages.length === 1 ? "page" : "pages"}, ${done.cells} cells (${failed}), ${done.figures} figures: ${join(out, "index.html")}`,
  );
  if (failures.length > 0)
    throw new CommandError(`${failures.length} of ${done.cells} cells could not be computed; each is named above`, 1);
}

/** As the page lists them: the folder's own over those that come with Wearbook; or only its own. */
async function pagesOf({analyses, contents}: Folder, onlyOwn: boolean): Promise<readonly PageFile[]> {
  if (!onlyOwn) return pagesOver(await markdownIn(SHIPPED), analyses, contents);
  if (analyses.length === 0)
    throw new CommandError("--own: the folder has no page of its own; those stand in its analyses/ as NAME.md", 1);
  return pagesOver([], analyses, contents);
}

/** @throws CommandError for a choice that no page asks for */
function checkedPicks(picks: Picks = {}): Picks {
  const asked = [
    ...new Set(CELL_KINDS.flatMap(({fields}) => fields.filter((field) => field.asked).map(({name}) => name))),
  ];
  const strange = Object.keys(picks).find((name) => !asked.includes(name));
  if (strange === undefined) return picks;
  const near = nearest(strange, asked);
  throw new CommandError(
    `no page asks for “${strange}”${near === null ? "" : `; did you mean ${near}?`} Pages ask for ${asked.join(", ")}`,
    2,
  );
}

const baseOf = ({name}: Analysis): string => name.replace(/\.md$/i, "");

function filtersOf({fleet, from, to}: ReportOptions, logs: OpenLogs): Where {
  const known = logs.runs.columns.fleet.words;
  const strange = fleet?.find((name) => !known.includes(name));
  if (strange !== undefined)
    throw new CommandError(
      `no fleet is called “${strange}”; the logs know ${known.length === 0 ? "no fleet" : known.join(", ")}`,
      1,
    );
  return {
    ...(fleet === undefined ? {} : {fleet}),
    ...(from === undefined ? {} : {from}),
    ...(to === undefined ? {} : {to}),
  };
}

function chosen(analyses: readonly Analysis[], only: readonly string[] | undefined): readonly Analysis[] {
  if (only === undefined) return analyses;
  const words = only.map((word) => word.toLowerCase());
  const kept = analyses.filter((analysis) =>
    words.some((word) => `${baseOf(analysis)} ${analysis.title}`.toLowerCase().includes(word)),
  );
  if (kept.length > 0) return kept;
  throw new CommandError(`--only ${only.join(",")} names no page; there are ${analyses.map(baseOf).join(", ")}`, 1);
}

async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, {recursive: true});
  } catch (error) {
    throw new CommandError(`cannot make folder ${path}: ${error instanceof Error ? error.message : String(error)}`, 1);
  }
}
