/** Changes of a mapping, each giving a new one; what is set to undefined is forgotten. */
import {mappingOf, type FileMapping, type Mapping} from "./mapping.ts";
import type {SynonymKind} from "./vocabulary/index.ts";

/** Answers about one file, added to those it has; undefined takes an answer back. */
export type FileEdit = {readonly [K in keyof FileMapping]?: FileMapping[K] | undefined};

/** What holds for a file, be it said of another month's export, by a pattern, or of the whole workbook. */
function answersFor({files}: Mapping, file: string): FileMapping {
  return mappingOf(files, file) ?? mappingOf(files, file.replace(/ \[.*\]$/, "")) ?? {};
}

/**
 * The mapping with other answers about a file (or the sheet of a workbook). What held for it by another name is kept
 * beside them: an entry of its own would hide it.
 */
export function withFile(mapping: Mapping, file: string, edit: FileEdit): Mapping {
  const answers = present({...answersFor(mapping, file), ...edit});
  return {...mapping, files: put(mapping.files, file, Object.keys(answers).length === 0 ? undefined : answers)};
}

/**
 * The mapping in which a header is a column, or none (null), or left to the program (undefined). A column that another
 * header was said to be is taken from it.
 */
export function withColumn(mapping: Mapping, file: string, header: string, column: string | null | undefined): Mapping {
  const before = answersFor(mapping, file).columns ?? {};
  const others = Object.fromEntries(Object.entries(before).filter(([, one]) => one === null || one !== column));
  return withFile(mapping, file, {columns: filled(put(others, header, column))});
}

/** The mapping in which a column of a file is in a unit. */
export function withUnit(mapping: Mapping, file: string, column: string, unit: string | undefined): Mapping {
  const before = answersFor(mapping, file).units ?? {};
  return withFile(mapping, file, {units: filled(put(before, column, unit))});
}

/** The mapping in which a column of a file holds running totals: of which tools. */
export function withTotals(mapping: Mapping, file: string, column: string, tools: string | undefined): Mapping {
  const before = answersFor(mapping, file).totals ?? {};
  return withFile(mapping, file, {totals: filled(put(before, column, tools))});
}

/** The mapping in which a word of the shop has a meaning. */
export function withWord(mapping: Mapping, kind: SynonymKind, word: string, meaning: string | undefined): Mapping {
  const words = filled(put(mapping.synonyms[kind] ?? {}, word, meaning));
  return {...mapping, synonyms: present({...mapping.synonyms, [kind]: words})};
}

/** The mapping in which a serial stands for another one. */
export function withSerial(mapping: Mapping, serial: string, means: string | undefined): Mapping {
  return {...mapping, serials: put(mapping.serials, serial, means)};
}

/** How many answers a mapping holds. */
export function answersIn({files, synonyms, serials}: Mapping): number {
  const inFiles = Object.values(files).map(({columns = {}, units = {}, totals = {}, ...rest}) =>
    [columns, units, totals, rest].reduce((sum, record) => sum + Object.keys(record).length, 0),
  );
  const words = Object.values(synonyms).map((record) => Object.keys(record).length);
  return [...inFiles, ...words].reduce((sum, count) => sum + count, Object.keys(serials).length);
}

/** A record with a key set, whatever it is called (`__proto__` is a name like another), or without it. */
function put<T>(record: Readonly<Record<string, T>>, key: string, value: T | undefined): Record<string, T> {
  const entries = Object.entries(record).filter(([name]) => name !== key);
  return Object.fromEntries(value === undefined ? entries : [...entries, [key, value]]);
}

function filled<T>(record: Record<string, T>): Record<string, T> | undefined {
  return Object.keys(record).length === 0 ? undefined : record;
}

/** A record without what is undefined. */
function present<T extends object>(record: T): {[K in keyof T]: Exclude<T[K], undefined>} {
  return Object.fromEntries(Object.entries(record).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>;
  };
}
