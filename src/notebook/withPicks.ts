/** Choices made on a page, laid over the parameters of its cells. */
import type {ParamField} from "../cells/contract.ts";

/** What was chosen, by parameter. An empty choice is none. */
export type Picks = Readonly<Record<string, string>>;

/** A cell's parameters with the choices over those fields that ask for one; every other choice is left alone. */
export function withPicks(given: object | null, fields: readonly ParamField[], picks: Picks): object | null {
  const taken = fields.filter(({name, asked}) => asked === true && (picks[name] ?? "") !== "");
  return taken.length === 0 ? given : {...given, ...Object.fromEntries(taken.map(({name}) => [name, picks[name]]))};
}
