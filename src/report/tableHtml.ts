/** A table of a cell as HTML: arranged as the page arranges it, as much of it as one reads on paper. */
import {breadth, lettersOf, remarksOf, repeated, rowCount, standsOnSide} from "../cells/arrange.ts";
import type {CellTable} from "../cells/contract.ts";
import {bindUnits, formatCount} from "../cells/formatValue.ts";
import {shownColumns, type ShownColumn} from "../cells/shownColumns.ts";
import {escapeHtml} from "./escapeHtml.ts";

/** Rows that a page shows; the rest stand in the CSV. */
const MOST_ROWS = 60;

/**
 * @param links HTML of the ways to the whole table
 * @param head makes HTML of the words of a head
 */
export function tableHtml(table: CellTable, links: string, head: (label: string) => string): string {
  const rows = rowCount(table);
  const shown = Math.min(rows, MOST_ROWS);
  const side = standsOnSide(table);
  const body = side ? onSide(table) : grid(table, shown, head);
  const rest = rows > shown ? `The first ${shown} of ${formatCount(rows)} rows; all of them are in the CSV. ` : "";
  return `<div class="table ${side ? "side" : breadth(table)}"${side ? "" : paperSize(table)}>
<h3>${escapeHtml(table.title)}</h3><div class="scroll" role="group" tabindex="0" aria-label="${escapeHtml(table.title)}">${body}</div>
<p class="note">${rest}${escapeHtml(bindUnits(table.note ?? ""))}${links}</p>${side ? "" : remarks(table, shown)}</div>`;
}

function grid(table: CellTable, shown: number, word: (label: string) => string): string {
  const columns = shownColumns(table);
  const leading = Math.min(
    2,
    Math.max(
      0,
      columns.findIndex(({numeric}) => numeric),
    ),
  );
  const repeats = Array.from({length: shown}, (_, row) =>
    repeated(table, row, row === 0 ? undefined : row - 1, leading),
  );
  const grouped = repeats.some((count) => count > 0);
  const head = columns.map(
    (column) =>
      `<th scope="col"${classOf(column)}>${word(column.label)}${column.unit === undefined ? "" : `<small>${escapeHtml(column.unit)}</small>`}</th>`,
  );
  const body = repeats.map((same, row) => {
    const cells = columns.map((column) => {
      const text = escapeHtml(column.text(row));
      return `<td${classOf(column)}>${column.at < same ? `<span class="unseen">${text}</span>` : text}</td>`;
    });
    return `<tr${grouped && same === 0 ? ' class="begins"' : ""}>${cells.join("")}</tr>`;
  });
  const nothing = `<tr><td colspan="${columns.length}">no row</td></tr>`;
  return `<table><thead><tr>${head.join("")}</tr></thead><tbody>${shown === 0 ? nothing : body.join("\n")}</tbody></table>`;
}

/** A record or two of many columns, a line a column, each value with the limits that follow it. */
function onSide(table: CellTable): string {
  const columns = shownColumns(table);
  const lines = columns.flatMap((value, at) => {
    if (value.limits) return [];
    const next = columns[at + 1];
    const cells = Array.from({length: rowCount(table)}, (_, row) => {
      const limits = next?.limits ? `(${escapeHtml(next.text(row))})` : "";
      return `<td class="n">${escapeHtml(value.text(row))}</td><td class="limits">${limits}</td>`;
    });
    return [
      `<tr><th scope="row">${escapeHtml(value.label)}</th>${cells.join("")}<td>${escapeHtml(value.unit ?? "")}</td></tr>`,
    ];
  });
  return `<table><tbody>${lines.join("\n")}</tbody></table>`;
}

/** The long texts behind the numbers of each row, folded away. */
function remarks(table: CellTable, shown: number): string {
  const columns = remarksOf(table);
  const names = shownColumns(table).filter(({numeric}) => !numeric);
  const items = Array.from({length: shown}, (_, row) => {
    const remark = columns.flatMap((at) => table.columns[at]?.values[row] ?? []).join(" ");
    const name = names.map(({text}) => text(row)).join(", ");
    return remark === "" ? "" : `<dt>${escapeHtml(name)}</dt><dd>${escapeHtml(bindUnits(remark))}</dd>`;
  }).filter((item) => item !== "");
  return items.length === 0
    ? ""
    : `<details><summary>remarks on each row</summary><dl>${items.join("")}</dl></details>`;
}

/** Type small enough for the widest line of the table on upright paper: a table that is cut off is worth nothing. */
function paperSize(table: CellTable): string {
  const letters = shownColumns(table).reduce(
    (sum, {at, limits}) => sum + Math.min(26, lettersOf(table.columns[at]!) * (limits ? 2 : 1)) + 2.5,
    0,
  );
  // points between the margins of A4; a letter takes about half its size
  const size = Math.min(8, 510 / (letters * 0.5));
  return ` style="--paper-size:${Math.max(4, size).toFixed(1)}pt"`;
}

function classOf({numeric, limits, room}: ShownColumn): string {
  return ` class="${[room, numeric ? "n" : "", limits ? "limits" : ""].filter((name) => name !== "").join(" ")}"`;
}
