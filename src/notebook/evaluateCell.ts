/** A cell's answer under its inputs, or what is wrong with the cell, in place. */
import {LineCounter} from "yaml";
import * as v from "valibot";
import {CELL_KINDS, type CellEffects, type CellInputs, type CellKind, type Presentation} from "../cells/index.ts";
import {nearest} from "../../shared/vocabulary/index.ts";
import type {Problem} from "./analysis.ts";
import {withPicks, type Picks} from "./withPicks.ts";
import {readYaml} from "../../shared/readYaml.ts";

/** What an analysis says about a cell; `CellBlock` has all of it. */
export interface CellSource {
  readonly kind: string;
  readonly body: string;
  readonly bodyLine: number;
  readonly closed?: boolean;
  /** choices made on the page, by parameter; a kind takes those it asks for and leaves the rest */
  readonly picks?: Picks;
}

export type ReadCell = {readonly kind: CellKind; readonly params: unknown} | {readonly problem: Problem};
export type CellResult = {readonly presentation: Presentation} | {readonly problem: Problem};

/** The kind and parameters of a cell, checked. */
export function readCell({kind: name, body, bodyLine, closed = true, picks = {}}: CellSource): ReadCell {
  const fence = bodyLine - 1;
  if (!closed)
    return mistake(fence, "this cell is opened but never closed", "end it with a line of the same fence, e.g. ~~~");
  const kind = CELL_KINDS.find((known) => known.kind === name);
  if (!kind) return mistake(fence, ...unknownKind(name));
  const lines = new LineCounter();
  const document = readYaml(body, {lineCounter: lines});
  const [error] = document.errors;
  if (error) {
    return mistake(
      bodyLine + lines.linePos(error.pos[0]).line - 1,
      `this cell's body is not YAML: ${error.message}`,
      "write lines of “name: value”",
    );
  }
  const given: unknown = document.toJS();
  if (given !== null && (typeof given !== "object" || Array.isArray(given))) {
    return mistake(bodyLine, "the body of a cell is lines of “name: value”", acceptedBy(kind, undefined));
  }
  const checked = v.safeParse(kind.schema, withPicks(given, kind.fields, picks));
  if (checked.success) return {kind, params: checked.output};
  const issue = checked.issues[0];
  const key = issue.path?.[0]?.key;
  return mistake(bodyLine + lineOfKey(body, key), issue.message, acceptedBy(kind, key));
}

/** Evaluates a cell. A mistake or a computation that breaks off is told, never thrown; only a stop is. */
export function evaluateCell(cell: CellSource, inputs: CellInputs, effects: CellEffects): CellResult {
  const read = readCell(cell);
  if ("problem" in read) return read;
  try {
    const result = read.kind.compute(inputs, read.params, effects);
    return {presentation: read.kind.present(result, read.params, inputs)};
  } catch (error) {
    if (effects.signal.aborted) throw error;
    const message = error instanceof Error ? error.message : String(error);
    return mistake(
      cell.bodyLine - 1,
      `this cell could not be computed: ${message}`,
      "the rest of the page is not touched; narrow the filters or change the cell",
    );
  }
}

const mistake = (line: number, message: string, remedy: string): {readonly problem: Problem} => ({
  problem: {line, message, remedy},
});

function unknownKind(name: string): [message: string, remedy: string] {
  const kinds = CELL_KINDS.map(({kind}) => kind);
  const near = nearest(name, kinds);
  const message =
    name === ""
      ? "this cell names no kind"
      : `no cell kind is called “${name}”${near ? `; did you mean ${near}?` : ""}`;
  return [message, `accepted: ${kinds.join(", ")}`];
}

/** 0-based line of the body on which a parameter stands; the first when it stands nowhere. */
function lineOfKey(body: string, key: unknown): number {
  if (typeof key !== "string") return 0;
  const index = body.split("\n").findIndex((line) => line.replace(/^["'\s]+/, "").startsWith(key));
  return Math.max(0, index);
}

function acceptedBy({fields}: CellKind, key: unknown): string {
  const field = fields.find(({name}) => name === key);
  if (field) return `${field.name}: ${field.meaning}; accepted: ${field.accepts}`;
  return fields.length === 0
    ? "this kind takes no parameters"
    : fields.map(({name, accepts}) => `${name}: ${accepts}`).join("; ");
}
