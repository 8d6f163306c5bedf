/** Everything a presentation says in words, for whoever explains them. */
import type {Presentation} from "./contract.ts";

export function wordsOf({
  headline,
  figures,
  tables,
  cautions,
}: Pick<Presentation, "headline" | "figures" | "tables" | "cautions">): string {
  return [
    headline,
    ...figures.flatMap(({title, caption}) => [title, caption]),
    ...tables.flatMap(({title, note = "", columns}) => [title, note, ...columns.map(({label}) => label)]),
    ...cautions,
  ].join("\n");
}
