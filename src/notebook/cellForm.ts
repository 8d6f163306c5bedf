/** A cell's parameters as a form sees them: what its body gives each field, and the body with one field changed. */
import type {ParamField} from "../cells/contract.ts";
import {listOf} from "../cells/params.ts";
import {entriesIn, setEntry} from "./yamlText.ts";

export interface FieldValue {
  readonly field: ParamField;
  /** the values as texts; null when the body leaves the field out, so that its default holds */
  readonly given: readonly string[] | null;
}

export interface CellForm {
  readonly values: readonly FieldValue[];
  /** names in the body that the kind does not know; they stay in the text */
  readonly unknown: readonly string[];
}

/** @returns null when the body is no YAML map: only its text can be mended then */
export function readForm(fields: readonly ParamField[], body: string): CellForm | null {
  const entries = entriesIn(body);
  if (entries === null) return null;
  return {
    values: fields.map((field) => {
      const value = entries[field.name];
      if (value === null || value === undefined || value === "") return {field, given: null};
      return {field, given: field.many ? listOf(value).map(said) : [said(value)]};
    }),
    unknown: Object.keys(entries).filter((name) => !fields.some((field) => field.name === name)),
  };
}

/**
 * The body with one field given other values; none takes it out, so that its default holds.
 *
 * @returns null when the body is no YAML map
 */
export function writeField(field: ParamField, body: string, values: readonly string[]): string | null {
  const given = values.map((value) => value.trim()).filter((value) => value !== "");
  if (given.length === 0) return setEntry(body, [field.name], null);
  return setEntry(body, [field.name], given.length === 1 ? plain(given[0]!) : given.map(plain));
}

const said = (value: unknown): string =>
  typeof value === "string" ? value : typeof value === "object" ? JSON.stringify(value) : String(value);

/** Numbers stand without quotes. */
const plain = (text: string): string | number =>
  /^-?(0|[1-9]\d{0,14})(\.\d{1,12})?$/.test(text) ? Number(text) : text;
