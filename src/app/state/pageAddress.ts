/**
 * Which page is shown, under which filters, as it stands in the address after `#`:
 *
 *     #/seals?fleet=Alder,Cobalt&mud=OBM&from=2024-03-01&units=oilfield
 *     #/next-run?pick.tool=K1-0007&pick.hours=120
 *     #/seals?rows=0:probability:seal of tool K1-0007, SEAL-ABR, failed in run
 *
 * An address that someone typed or an old one is read for what it says plainly; the rest is left out.
 */
import type {Settings} from "../../../shared/settings.ts";
import type {Where} from "../../cells/contract.ts";
import {isDay} from "../../notebook/days.ts";
import type {Picks} from "../../notebook/withPicks.ts";

export interface PageAddress {
  /** name of the analysis, or of one of the app's own pages; empty: the first page */
  readonly page: string;
  readonly where: Where;
  /** what was chosen on the page itself, by parameter */
  readonly picks: Picks;
  /** null: as the settings say */
  readonly units: Settings["units"] | null;
  /** the mark of a figure whose rows of the log are looked at; null: none */
  readonly rows: MarkAddress | null;
}

/** A mark on a page: the place of its cell among the cells, the figure, and the key of the mark in it. */
export interface MarkAddress {
  readonly cell: number;
  readonly figure: string;
  readonly mark: string;
}

const PICK = /^pick\.(?=[a-z])/;

export const LIST_FILTERS = ["fleet", "component", "mud", "regime"] as const;
export type ListFilter = (typeof LIST_FILTERS)[number];

export function readAddress(hash: string): PageAddress {
  const [path = "", query = ""] = hash.replace(/^#?\/?/, "").split("?", 2);
  const given = new URLSearchParams(query);
  const where: {-readonly [K in keyof Where]: Where[K]} = {};
  for (const filter of LIST_FILTERS) {
    const codes = (given.get(filter) ?? "")
      .split(",")
      .map(unescapeComma)
      .filter((code) => code !== "");
    if (codes.length > 0) where[filter] = [...new Set(codes)];
  }
  const from = given.get("from");
  const to = given.get("to");
  if (from !== null && isDay(from)) where.from = from;
  if (to !== null && isDay(to)) where.to = to;
  const units = given.get("units");
  const picks = Object.fromEntries(
    [...given].flatMap(([key, value]) => (PICK.test(key) && value !== "" ? [[key.replace(PICK, ""), value]] : [])),
  );
  return {
    page: decode(path),
    where,
    picks,
    units: units === "metric" || units === "oilfield" ? units : null,
    rows: readMark(given.get("rows") ?? ""),
  };
}

function readMark(text: string): MarkAddress | null {
  const [, cell, figure, mark] = /^(\d{1,3}):([^:]+):(.+)$/s.exec(text) ?? [];
  // the name of a figure may hold a colon of its own; the key of a mark may hold anything
  return cell === undefined ? null : {cell: Number(cell), figure: decode(figure!), mark: mark!};
}

export function writeAddress({page, where, picks, units, rows}: PageAddress): string {
  const given: string[] = [];
  for (const filter of LIST_FILTERS) {
    const codes = where[filter] ?? [];
    if (codes.length > 0) given.push(`${filter}=${codes.map(escapeComma).map(encodeURIComponent).join(",")}`);
  }
  if (where.from !== undefined) given.push(`from=${where.from}`);
  if (where.to !== undefined) given.push(`to=${where.to}`);
  for (const [name, value] of Object.entries(picks)) given.push(`pick.${name}=${encodeURIComponent(value)}`);
  if (units !== null) given.push(`units=${units}`);
  if (rows !== null)
    given.push(`rows=${encodeURIComponent(`${rows.cell}:${encodeURIComponent(rows.figure)}:${rows.mark}`)}`);
  return `#/${encodeURIComponent(page)}${given.length > 0 ? `?${given.join("&")}` : ""}`;
}

/** The same filter with one list replaced; an empty list means all and is left out. */
export function withList(where: Where, filter: ListFilter, codes: readonly string[]): Where {
  const {[filter]: _, ...rest} = where;
  return codes.length > 0 ? {...rest, [filter]: codes} : rest;
}

/** The same filter with one end of the dates replaced; null means open. */
export function withDay(where: Where, end: "from" | "to", day: string | null): Where {
  const {[end]: _, ...rest} = where;
  return day === null ? rest : {...rest, [end]: day};
}

export function isFiltered(where: Where): boolean {
  return LIST_FILTERS.some((filter) => (where[filter] ?? []).length > 0) || hasDay(where);
}

function hasDay({from, to}: Where): boolean {
  return from !== undefined || to !== undefined;
}

// a comma parts the codes of a list; one inside a code travels as %2C within the code
const escapeComma = (code: string): string => code.replaceAll("%", "%25").replaceAll(",", "%2C");
const unescapeComma = (code: string): string => code.replaceAll("%2C", ",").replaceAll("%25", "%");

function decode(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}
