/** What a workbook says about its sheets: names, places, base of its day numbers, shared texts, number formats. */
import {attribute, XmlReader} from "./XmlReader.ts";
import {builtInShape, shapeOf, type NumberShape} from "./numberFormats.ts";

export interface SheetPart {
  readonly name: string;
  readonly hidden: boolean;
  /** the XML of the sheet; null where the archive has none */
  readonly xml: string | null;
}

export interface Workbook {
  readonly sheets: readonly SheetPart[];
  readonly base: 1900 | 1904;
  readonly texts: readonly string[];
  /** by style number of a cell */
  readonly shapes: readonly NumberShape[];
}

/** @returns null where the parts are no workbook */
export function workbookOf(parts: ReadonlyMap<string, string>): Workbook | null {
  const xml = parts.get("xl/workbook.xml");
  if (xml === undefined) return null;
  const places = placesOf(parts.get("xl/_rels/workbook.xml.rels") ?? "");
  const sheets: SheetPart[] = [];
  let base: 1900 | 1904 = 1900;
  const reader = new XmlReader(xml);
  for (let token = reader.next(); token !== "end"; token = reader.next()) {
    if (token !== "open") continue;
    if (reader.name === "workbookPr" && /^(1|true)$/i.test(attribute(reader.attributes, "date1904") ?? "")) base = 1904;
    if (reader.name !== "sheet") continue;
    const id = attribute(reader.attributes, "r:id") ?? /:id="([^"]*)"/.exec(reader.attributes)?.[1] ?? "";
    const place = places.get(id) ?? `xl/worksheets/sheet${sheets.length + 1}.xml`;
    const name = attribute(reader.attributes, "name") ?? `sheet ${sheets.length + 1}`;
    const state = attribute(reader.attributes, "state") ?? "visible";
    // a chart sheet has a place elsewhere, and no cells
    const isSheet = !place.includes("/") || place.includes("worksheets/");
    if (isSheet) sheets.push({name, hidden: state !== "visible", xml: parts.get(place) ?? null});
  }
  const shared = [...parts.keys()].find((name) => name.endsWith("sharedstrings.xml"));
  return {
    sheets,
    base,
    texts: textsOf(shared === undefined ? "" : (parts.get(shared) ?? "")),
    shapes: shapesOf(parts.get("xl/styles.xml") ?? ""),
  };
}

/** Relation → name of the part, in lower case. */
function placesOf(xml: string): Map<string, string> {
  const places = new Map<string, string>();
  const reader = new XmlReader(xml);
  for (let token = reader.next(); token !== "end"; token = reader.next()) {
    if (token !== "open" || reader.name !== "Relationship") continue;
    const id = attribute(reader.attributes, "Id");
    const target = (attribute(reader.attributes, "Target") ?? "").toLowerCase();
    if (id !== null) places.set(id, target.startsWith("/") ? target.slice(1) : `xl/${target.replace(/^\.\//, "")}`);
  }
  return places;
}

/** Texts that cells point to; the runs of one text are joined, what only says how it is spoken is left out. */
function textsOf(xml: string): string[] {
  const texts: string[] = [];
  const reader = new XmlReader(xml);
  let text: string | null = null;
  let inText = false;
  let spoken = false;
  for (let token = reader.next(); token !== "end"; token = reader.next()) {
    if (token === "text") {
      if (inText && !spoken && text !== null) text += reader.text;
    } else if (reader.name === "si") {
      if (token === "close") texts.push(unescaped(text ?? ""));
      else if (reader.empty) texts.push("");
      text = "";
    } else if (reader.name === "t") inText = token === "open" && !reader.empty;
    else if (reader.name === "rPh") spoken = token === "open" && !reader.empty;
  }
  return texts;
}

/** Signs that XML cannot hold stand as `_x000D_` (ECMA-376 part 1, 22.9.2.19). */
export function unescaped(text: string): string {
  if (!text.includes("_x")) return text;
  return text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)));
}

function shapesOf(xml: string): NumberShape[] {
  const shapes: NumberShape[] = [];
  const own = new Map<number, NumberShape>();
  const reader = new XmlReader(xml);
  let inCells = false;
  for (let token = reader.next(); token !== "end"; token = reader.next()) {
    if (token === "text") continue;
    if (reader.name === "cellXfs") inCells = token === "open";
    else if (token !== "open") continue;
    else if (reader.name === "numFmt") {
      const id = Number(attribute(reader.attributes, "numFmtId") ?? NaN);
      own.set(id, shapeOf(attribute(reader.attributes, "formatCode") ?? ""));
    } else if (reader.name === "xf" && inCells) {
      const id = Number(attribute(reader.attributes, "numFmtId") ?? 0);
      shapes.push(own.get(id) ?? builtInShape(id));
    }
  }
  return shapes;
}
