/**
 * Log files to checked tables. Nothing is dropped silently: every row read is accepted, repaired, held or set aside,
 * and the counts of each file add up.
 */
import type {Finding, RowCount} from "../../shared/findings.ts";
import {mappingOf} from "../../shared/mapping.ts";
import {SYNONYMS} from "../../shared/vocabulary/index.ts";
import {convertDates} from "./convertDates.ts";
import {convertNumbers, type ColumnAt} from "./convertNumbers.ts";
import {convertWords} from "./convertWords.ts";
import {Draft} from "./draft.ts";
import {questionsOnExchanges} from "./exchangeQuestions.ts";
import {leftOutRows, type LeftOutRows} from "./leftOut.ts";
import type {RebuildTable, RunTable} from "./logTable.ts";
import {INDEXES, logOfSheet, mapHeaders, resemblesLog, SPECS} from "./mapHeaders.ts";
import {rebuildTable, runTable, sorted} from "./mergeDrafts.ts";
import {RowRefs} from "./RowRefs.ts";
import type {FileAnswers, ImportOptions} from "./options.ts";
import type {LogFile, RawSheet} from "./rawSheet.ts";
import {previewsOf, type SheetPreview} from "./preview.ts";
import {questionsOf, type Question, type SheetAsked} from "./questions.ts";
import {questionsBehind, type Rehearsal} from "./questionsBehind.ts";
import {readSheets} from "./readSheets.ts";
import {checkDuplicates} from "./rules/duplicates.ts";
import {checkExchanged, checkWordsExchanged, type Exchanged} from "./rules/exchanged.ts";
import {fillFleet, tellFleetsApart} from "./rules/fleets.ts";
import {checkHours, differs, windowsOf} from "./rules/hours.ts";
import {checkParts} from "./rules/parts.ts";
import {checkRebuilds} from "./rules/rebuilds.ts";
import {checkRuns} from "./rules/runs.ts";
import {checkOrderOfDates, checkOverlaps} from "./rules/sequence.ts";
import {checkSerials} from "./rules/serials.ts";
import {fillDown, setAsideIncomplete, setAsideNonRows} from "./rules/rows.ts";
import {findingOf} from "./sink.ts";
import {checkTotals, type TotalsChecked} from "./totals/checkTotals.ts";
import {questionsOnTotals} from "./totals/totalsQuestions.ts";
import {Watch} from "./Watch.ts";

export interface Logs {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  /** rows of either log that are in no table */
  readonly leftOut: LeftOutRows;
  readonly findings: Finding[];
  readonly counts: RowCount[];
  /** what only the people of the files can answer; by an answer in the mapping each goes away */
  readonly questions: Question[];
  /** every sheet as it was read */
  readonly previews: SheetPreview[];
}

export async function importLogs(files: readonly LogFile[], options: ImportOptions = {}): Promise<Logs> {
  const findings: Finding[] = [];
  const drafts: Draft[] = [];
  const sheets: SheetAsked[] = [];
  const counts: RowCount[] = [];
  const watch = new Watch(options.progress, options.signal);
  for (const file of files) {
    const before = {drafts: drafts.length, counts: counts.length};
    for (const read of await draftsOf(file, options, watch, findings, counts)) {
      sheets.push(read);
      if (read.draft !== null) drafts.push(read.draft);
    }
    if (drafts.length === before.drafts && counts.length === before.counts) counts.push(countNothing(file.name));
  }
  const runs = drafts.filter(({log}) => log === "runs");
  const rebuilds = drafts.filter(({log}) => log === "rebuilds");
  const {runRows, rebuildRows, ...columns} = await checkLogs(runs, rebuilds, options, watch);
  const questions = questionsIn(sheets, findings, columns, options);
  const behind = await questionsBehind(questions, options, (rehearsal) => rehearse(sheets, rehearsal, watch));
  for (const draft of drafts) addCount(counts, countOf(draft));
  return {
    runs: runTable(runRows),
    rebuilds: rebuildTable(rebuildRows),
    leftOut: leftOutRows(drafts),
    findings: inFileOrder(findings, files),
    counts,
    questions: [...questions, ...behind],
    previews: previewsOf(sheets),
  };
}

/** What was found of whole columns when all logs were looked at. */
interface ColumnsChecked {
  readonly totals: TotalsChecked;
  readonly exchanged: readonly Exchanged[];
}

function questionsIn(
  sheets: readonly SheetAsked[],
  findings: readonly Finding[],
  {totals, exchanged}: ColumnsChecked,
  options: ImportOptions,
): Question[] {
  return [
    ...questionsOf(sheets, findings, options.synonyms),
    ...questionsOnExchanges(exchanged),
    ...questionsOnTotals(totals, ({sheet}) => answersOf(sheet, options)),
  ];
}

/** For the sake of a word, a log of more rows is not gone through twice. */
const MOST_REHEARSED = 200_000;

/** The questions of another go at the logs, of which nothing else is kept. */
async function rehearse(
  sheets: readonly SheetAsked[],
  {options, files, isWhole}: Rehearsal,
  watch: Watch,
): Promise<Question[]> {
  const findings: Finding[] = [];
  const rehearsed = sheets.flatMap(({sheet, draft}): SheetAsked[] => {
    if (files.has(sheet.file) ? !isWhole && sheet.rows > MOST_REHEARSED : draft === null || !isWhole) return [];
    return [{sheet, draft: draftOf(sheet, options, false, findings, true)}];
  });
  if (!isWhole) return questionsOf(rehearsed, findings, options.synonyms);
  const ofLog = (log: string): Draft[] => rehearsed.flatMap(({draft}) => (draft?.log === log ? [draft] : []));
  const columns = await checkLogs(ofLog("runs"), ofLog("rebuilds"), options, watch);
  return questionsIn(rehearsed, findings, columns, options);
}

async function draftsOf(
  file: LogFile,
  options: ImportOptions,
  watch: Watch,
  findings: Finding[],
  counts: RowCount[],
): Promise<SheetAsked[]> {
  const {sheets, notes} = await readSheets(file, Object.values(INDEXES), watch);
  for (const note of notes) findings.push(findingOf(note));
  const read: SheetAsked[] = [];
  // a workbook with a log in it may hold lists and sums besides
  const holdsLog = sheets.some((sheet) => logOfSheet(sheet, answersOf(sheet, options)).log !== null);
  for (const sheet of sheets) {
    const aside = answersOf(sheet, options).log === "none" || (holdsLog && !resemblesLog(sheet));
    const draft = draftOf(sheet, options, aside, findings);
    read.push({sheet, draft});
    if (draft === null) {
      const [held, setAside] = aside ? [0, sheet.rows] : [sheet.rows, 0];
      addCount(counts, {...countNothing(sheet.file), read: sheet.rows, held, setAside});
    } else {
      const broken = new Set(notes.flatMap(({rule, line}) => (rule === "broken-quote" ? [line] : [])));
      if (broken.size > 0) sheet.line.forEach((line, row) => broken.has(line) && draft.mark(row, "repaired"));
    }
  }
  return read;
}

/** What is answered about a sheet, or about the whole of its workbook. */
function answersOf({file, book}: RawSheet, {answers}: ImportOptions): FileAnswers {
  if (answers === undefined) return {};
  return mappingOf(answers, file) ?? (book === undefined ? undefined : mappingOf(answers, book)) ?? {};
}

/**
 * A sheet converted and checked by itself; null where it is neither log.
 *
 * @param rehearsal columns that are missing hold nothing up: what the others say is asked about all the same
 */
function draftOf(
  sheet: RawSheet,
  options: ImportOptions,
  aside: boolean,
  findings: Finding[],
  rehearsal = false,
): Draft | null {
  const answers = answersOf(sheet, options);
  const {log, contradicts} = logOfSheet(sheet, answers);
  const headers = sheet.header.filter((header) => header !== "").join(", ");
  if (log === null) {
    const message = `${sheet.file} fits neither the run log nor the rebuild log; its headers are: ${headers || "none"}`;
    findings.push(
      findingOf({
        rule: aside ? "sheet-other" : "file-log-unknown",
        file: sheet.file,
        line: sheet.headerLine,
        message,
      }),
    );
    return null;
  }
  if (contradicts) {
    const message = `${sheet.file} holds the headers of the ${log === "runs" ? "run" : "rebuild"} log`;
    findings.push(findingOf({rule: "file-name-contradicts", file: sheet.file, taken: log, message}));
  }
  const draft = new Draft(log, SPECS[log], sheet, findings);
  const {columns, complete} = mapHeaders(sheet, log, answers, findings);
  if (sheet.rows === 0) draft.note("file-headers-only", {message: `${sheet.file} has headers but no rows`});
  for (const {name, cell} of columns) draft.cellOf.set(name, cell);
  if (!complete && !rehearsal) {
    for (let row = 0; row < draft.rows; ++row) draft.mark(row, "set aside");
    return draft;
  }
  setAsideNonRows(draft);
  const ofType = (type: string): ColumnAt[] => columns.filter(({spec}) => spec.type === type);
  convertNumbers(draft, ofType("number"), answers);
  convertDates(draft, ofType("date"), answers, options.today ?? null);
  const synonyms = options.synonyms ?? SYNONYMS;
  const apart = checkWordsExchanged(draft, synonyms, answers) ? ["found", "action"] : [];
  const worded = [...ofType("text"), ...ofType("flag")].filter(({name}) => !apart.includes(name));
  convertWords(draft, worded, synonyms, options.serials);
  fillFleet(draft, answers);
  tellFleetsApart(draft, options.serials ?? {}, answers);
  fillDown(draft);
  setAsideIncomplete(draft, complete);
  return draft;
}

/**
 * What rows say against each other; gives the rows in use, sorted. Only the checks of single rows and of duplicates
 * take rows out of use, so they come first.
 */
async function checkLogs(
  runs: readonly Draft[],
  rebuilds: readonly Draft[],
  options: ImportOptions,
  watch: Watch,
): Promise<{runRows: RowRefs; rebuildRows: RowRefs} & ColumnsChecked> {
  let runRows = new RowRefs([], new Uint32Array(0), new Int32Array(0));
  let rebuildRows = runRows;
  let totals: TotalsChecked = {seen: [], starts: new Map()};
  let exchanged: readonly Exchanged[] = [];
  const answers = ({sheet}: Draft): FileAnswers => answersOf(sheet, options);
  const shopCount = () => ({windows: windowsOf(sorted(rebuilds, "date"), -Infinity), differs});
  const checks: readonly (() => void)[] = [
    () => checkDuplicates(runs),
    () => checkDuplicates(rebuilds),
    () => (exchanged = checkExchanged(runs, rebuilds, answers)),
    () => (totals = checkTotals(runs, rebuilds, answers, shopCount)),
    () => runs.forEach(checkRuns),
    () => rebuilds.forEach(checkRebuilds),
    () => (runRows = sorted(runs, "end")),
    () => (rebuildRows = sorted(rebuilds, "date")),
    () => [...runs, ...rebuilds].forEach(checkOrderOfDates),
    () => checkOverlaps(runRows),
    () => checkSerials(runs, rebuilds, options.serials ?? {}),
    () => checkParts(rebuildRows),
    () => checkHours(runRows, rebuildRows, runs),
  ];
  for (const check of checks) {
    check();
    const pause = watch.checking();
    if (pause !== null) await pause;
  }
  return {runRows, rebuildRows, totals, exchanged};
}

function countOf(draft: Draft): RowCount {
  const {accepted, repaired, held, "set aside": setAside} = draft.counts();
  return {file: draft.sheet.file, log: draft.log, read: draft.rows, accepted, repaired, held, setAside};
}

/** Sheets of one file and log are counted together. */
function addCount(counts: RowCount[], count: RowCount): void {
  const at = counts.findIndex(({file, log}) => file === count.file && log === count.log);
  const before = counts[at];
  if (before === undefined) {
    counts.push(count);
    return;
  }
  counts[at] = {
    ...before,
    read: before.read + count.read,
    accepted: before.accepted + count.accepted,
    repaired: before.repaired + count.repaired,
    held: before.held + count.held,
    setAside: before.setAside + count.setAside,
  };
}

function countNothing(file: string): RowCount {
  return {file, log: "unknown", read: 0, accepted: 0, repaired: 0, held: 0, setAside: 0};
}

/** By file, then what concerns the whole file, then by line; stable otherwise. */
function inFileOrder(findings: readonly Finding[], files: readonly LogFile[]): Finding[] {
  const rank = new Map(files.map(({name}, i) => [name, i]));
  // sheets of a workbook stand where it does, in their own order
  for (const {file} of findings) {
    const book = rank.has(file) ? undefined : files.findIndex(({name}) => file.startsWith(`${name} [`));
    if (book !== undefined && book >= 0) rank.set(file, book + rank.size / 1e6);
  }
  return [...findings].sort(
    (a, b) => (rank.get(a.file) ?? 0) - (rank.get(b.file) ?? 0) || (a.line ?? 0) - (b.line ?? 0),
  );
}
