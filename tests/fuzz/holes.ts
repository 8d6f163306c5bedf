/** Numbers and words that a reader must never see. */
import type {Presentation} from "../../src/cells/index.ts";
import type {LogFile} from "../../src/logs/index.ts";

const HOLE = /\b(NaN|undefined|Infinity)\b|\[object/;

/** Whether a file itself holds such a word, which is then shown as it stands. */
export const saysSo = ({bytes}: Pick<LogFile, "bytes">): boolean =>
  bytes.length > 1_000_000 ||
  /nan|undefined|inf|object/i.test(new TextDecoder("latin1").decode(bytes).replaceAll("\0", ""));

/** @param quoted what was given holds such words: only numbers are looked at */
export function holesIn({headline, cautions, figures, tables}: Presentation, quoted: boolean): string | null {
  if (headline.trim() === "") return "it says nothing";
  for (const {name, values} of tables.flatMap(({columns}) => columns))
    for (const value of values)
      if (typeof value === "number" && !Number.isFinite(value)) return `column ${name} holds ${value}`;
  if (quoted) return null;
  const words = [
    headline,
    ...cautions,
    ...figures.flatMap(({title, caption, alt}) => [title, caption, alt]),
    ...tables.flatMap(({title, note, columns}) => [
      title,
      note ?? "",
      ...columns.flatMap(({label, values}) => [label, ...values.filter((value) => typeof value === "string")]),
    ]),
  ];
  return words.find((text) => HOLE.test(text)) ?? null;
}
