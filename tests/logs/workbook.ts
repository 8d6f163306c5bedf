/** Small workbooks written by hand, cell by cell, so that a test can say exactly what stands in them. */
import {strToU8, zipSync} from "fflate";

/** `raw` is the XML of a cell without its address: `{raw: 't="e"><v>#REF!</v>'}`. */
export type TestCell =
  string | number | boolean | null | {readonly raw: string} | {readonly day: number; readonly style?: number};

export interface TestSheet {
  readonly name: string;
  readonly rows: readonly (readonly TestCell[])[];
  readonly merges?: readonly string[];
  /** 1-based rows */
  readonly hidden?: readonly number[];
  readonly hiddenColumns?: string;
  readonly state?: "hidden";
  /** texts stand in the cells in place of the shared table */
  readonly inline?: boolean;
}

/** Style numbers of the cells: plain, date, date and time, elapsed hours, percent, a date by a format of its own. */
export const STYLES = {plain: 0, date: 1, dateTime: 2, elapsed: 3, percent: 4, ownDate: 5} as const;

const HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
const RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE = "http://schemas.openxmlformats.org/package/2006";

export function workbook(
  sheets: readonly TestSheet[],
  {base = 1900}: {base?: 1900 | 1904} = {},
): Uint8Array<ArrayBuffer> {
  const parts = partsOf(sheets, base);
  const zipped = zipSync(Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])));
  return Uint8Array.from(zipped);
}

export function partsOf(sheets: readonly TestSheet[], base: 1900 | 1904 = 1900): Record<string, string> {
  const texts: string[] = [];
  const parts: Record<string, string> = {};
  sheets.forEach((sheet, i) => (parts[`xl/worksheets/sheet${i + 1}.xml`] = sheetXml(sheet, texts)));
  const list = sheets
    .map(({name, state}, i) => {
      const visible = state === undefined ? "" : ` state="${state}"`;
      return `<sheet name="${escaped(name)}" sheetId="${i + 1}"${visible} r:id="rId${i + 1}"/>`;
    })
    .join("");
  const flag = base === 1904 ? '<workbookPr date1904="1"/>' : "<workbookPr/>";
  const relation = (id: string, type: string, target: string): string =>
    `<Relationship Id="${id}" Type="${RELATIONS}/${type}" Target="${target}"/>`;
  const own = sheets.map((_, i) => relation(`rId${i + 1}`, "worksheet", `worksheets/sheet${i + 1}.xml`)).join("");
  const xf = [0, 14, 22, 46, 10, 164].map((id) => `<xf numFmtId="${id}"/>`).join("");
  return {
    "[Content_Types].xml": `${HEAD}<Types xmlns="${PACKAGE}/content-types"/>`,
    "xl/workbook.xml": `${HEAD}<workbook ${MAIN} xmlns:r="${RELATIONS}">${flag}<sheets>${list}</sheets></workbook>`,
    "xl/_rels/workbook.xml.rels": `${HEAD}<Relationships xmlns="${PACKAGE}/relationships">${own}${relation("rId90", "sharedStrings", "sharedStrings.xml")}${relation("rId91", "styles", "styles.xml")}</Relationships>`,
    "xl/styles.xml": `${HEAD}<styleSheet ${MAIN}><numFmts count="1"><numFmt numFmtId="164" formatCode="dd\\-mmm\\-yyyy;@"/></numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs>${xf}</cellXfs></styleSheet>`,
    "xl/sharedStrings.xml": `${HEAD}<sst ${MAIN}>${texts.map((text) => `<si><t xml:space="preserve">${escaped(text)}</t></si>`).join("")}</sst>`,
    ...parts,
  };
}

function sheetXml({rows, merges = [], hidden = [], hiddenColumns, inline = false}: TestSheet, texts: string[]): string {
  const columns = hiddenColumns === undefined ? "" : `<cols>${hiddenColumns}</cols>`;
  const body = rows
    .map((cells, i) => {
      const inner = cells.map((cell, k) => cellXml(cell, `${letters(k)}${i + 1}`, texts, inline)).join("");
      return `<row r="${i + 1}"${hidden.includes(i + 1) ? ' hidden="1"' : ""}>${inner}</row>`;
    })
    .join("");
  const merged =
    merges.length === 0 ? "" : `<mergeCells>${merges.map((ref) => `<mergeCell ref="${ref}"/>`).join("")}</mergeCells>`;
  return `${HEAD}<worksheet ${MAIN}>${columns}<sheetData>${body}</sheetData>${merged}</worksheet>`;
}

function cellXml(cell: TestCell, at: string, texts: string[], inline: boolean): string {
  if (cell === null) return "";
  if (typeof cell === "number") return `<c r="${at}"><v>${cell}</v></c>`;
  if (typeof cell === "boolean") return `<c r="${at}" t="b"><v>${cell ? 1 : 0}</v></c>`;
  if (typeof cell === "object") {
    return "raw" in cell
      ? `<c r="${at}" ${cell.raw}</c>`
      : `<c r="${at}" s="${cell.style ?? STYLES.date}"><v>${cell.day}</v></c>`;
  }
  if (inline) return `<c r="${at}" t="inlineStr"><is><t>${escaped(cell)}</t></is></c>`;
  return `<c r="${at}" t="s"><v>${texts.push(cell) - 1}</v></c>`;
}

export function letters(column: number): string {
  return column < 26 ? String.fromCharCode(65 + column) : letters(Math.floor(column / 26) - 1) + letters(column % 26);
}

function escaped(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");
}

/** The day number of a date in the count from 1900. */
export function dayOf(iso: string): number {
  return Date.parse(`${iso}${iso.length > 10 ? ":00Z" : "T00:00:00Z"}`) / 86_400_000 + 25_569;
}
