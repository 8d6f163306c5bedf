/**
 * Text to records, kept to the line: every physical line belongs to exactly one record.
 *
 * RFC 4180 with what spreadsheets add: any delimiter, CR, LF or CRLF, quotes inside unquoted cells taken as they are,
 * a lone quote inside a quoted cell taken as it is. A quote that would swallow other records (it is never closed, or
 * closing it lines later gives a record of another width) is taken as a plain character instead and reported: the
 * alternative loses rows in silence.
 */

export interface ScanTarget {
  /** one record; `cells` is reused between calls */
  record(cells: readonly string[], line: number): void;
  /** a quote in this line was taken as a plain character */
  brokenQuote(line: number): void;
}

/** A quoted cell longer than this is a quote that was never closed. */
export const LONGEST_CELL = 32768;

const QUOTE = 34;
const LF = 10;
const CR = 13;

/** Where a scan stands: the next character and its line. */
export interface ScanPlace {
  readonly at: number;
  readonly line: number;
}

/**
 * Scans a text and calls `target` for each record, blank lines included (as one empty cell).
 *
 * @param width number of cells a record should have; settles whether a quote may span lines. 0: any
 * @param from where an earlier scan of the same text stopped
 * @param most records to scan before stopping
 * @param whole false: more text follows this one, and a record that may reach into it is left for later
 * @returns where it stands; the end of the text when all is scanned
 */
export function scanCsv(
  text: string,
  delimiter: string,
  target: ScanTarget,
  width: () => number,
  from: ScanPlace = {at: 0, line: 1},
  most = Infinity,
  whole = true,
): ScanPlace {
  const delimiterCode = delimiter.charCodeAt(0);
  const cells: string[] = [];
  const bare: boolean[] = [];
  // what follows could still close a quote that far back
  const settled = whole ? text.length : text.length - LONGEST_CELL - 2;
  let {at, line} = from;
  for (let records = 0; at < settled && records < most; ++records) {
    const scanned = record(text, at, delimiterCode, cells, bare, true);
    const expected = width();
    const swallowed = scanned.lines > 1 && expected > 0 && cells.length !== expected;
    const plain = scanned.broken || swallowed;
    const {next, lines} = plain ? record(text, at, delimiterCode, cells, bare, false) : scanned;
    if (Math.max(next, scanned.next) > settled) break;
    if (scanned.broken || swallowed) target.brokenQuote(line);
    target.record(cells, line);
    at = next;
    line += lines;
  }
  return {at, line};
}

/**
 * Reads one record from `at` into `cells`, which hold the record above it; without `quotes` a quote is a character like
 * any other. `bare` marks cells that stood in the text as they are, and so may be compared with it.
 */
function record(text: string, at: number, delimiter: number, cells: string[], bare: boolean[], quotes: boolean) {
  let lines = 1;
  for (let count = 0; ; ++count) {
    // rows of a log repeat the cells above them: what is the same text again need not be made again
    const above = cells[count];
    if (above !== undefined && bare[count] === true && repeats(text, at, above, delimiter)) {
      at += above.length;
    } else if (quotes && text.charCodeAt(at) === QUOTE) {
      const close = closingQuote(text, at + 1, delimiter);
      if (close < 0) return {next: at, lines, broken: true}; // cells are read anew, without quotes
      const inside = text.slice(at + 1, close);
      const breaks = lineBreaks(inside);
      // a cell over several lines with a lone quote in it is a stray quote that found the next row's
      if (breaks > 0 && /(^|[^"])"("")*([^"]|$)/.test(inside)) return {next: at, lines, broken: true};
      cells[count] = inside.includes('""') ? inside.replaceAll('""', '"') : inside;
      bare[count] = false;
      lines += breaks;
      at = close + 1;
      while (at < text.length && text.charCodeAt(at) === 32) ++at;
    } else {
      let end = at;
      let code = text.charCodeAt(end);
      while (end < text.length && code !== delimiter && code !== LF && code !== CR) code = text.charCodeAt(++end);
      const cell = text.slice(at, end);
      cells[count] = quotes ? cell : unquoted(cell);
      bare[count] = quotes && cell !== "";
      at = end;
    }
    const code = text.charCodeAt(at);
    if (code === delimiter) {
      ++at;
      continue;
    }
    cells.length = count + 1;
    if (at >= text.length) return {next: at, lines, broken: false};
    ++at;
    if (code === CR && text.charCodeAt(at) === LF) ++at;
    return {next: at, lines, broken: false};
  }
}

/** True where the text of a whole cell stands at `at`. */
function repeats(text: string, at: number, cell: string, delimiter: number): boolean {
  if (!text.startsWith(cell, at)) return false;
  const code = text.charCodeAt(at + cell.length);
  return code === delimiter || code === LF || code === CR;
}

/** Index of the quote that ends a cell: one before a delimiter, a line end or the end of the text; -1 if none does. */
function closingQuote(text: string, from: number, delimiter: number): number {
  for (let at = text.indexOf('"', from); at >= 0 && at - from <= LONGEST_CELL; at = text.indexOf('"', at + 1)) {
    let after = at + 1;
    if (text.charCodeAt(after) === QUOTE) {
      at = after;
      continue;
    }
    while (text.charCodeAt(after) === 32 && delimiter !== 32) ++after;
    const code = text.charCodeAt(after);
    if (after >= text.length || code === delimiter || code === LF || code === CR) return at;
  }
  return -1;
}

function lineBreaks(text: string): number {
  let count = 0;
  for (let i = 0; i < text.length; ++i) {
    const code = text.charCodeAt(i);
    if (code === LF || (code === CR && text.charCodeAt(i + 1) !== LF)) ++count;
  }
  return count;
}

/** A cell of a line whose quotes are broken: the quotes around a whole cell still go. */
function unquoted(cell: string): string {
  return cell.length > 1 && cell.startsWith('"') && cell.endsWith('"') ? cell.slice(1, -1).replaceAll('""', '"') : cell;
}
