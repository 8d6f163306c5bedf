/** Whether two headers are exchanged: asked once for the two. */
import type {Question} from "./questions.ts";
import type {Exchanged} from "./rules/exchanged.ts";

const EXAMPLES = 3;

export function questionsOnExchanges(exchanged: readonly Exchanged[]): Question[] {
  return exchanged.map(({draft, columns, rows}): Question => {
    const {file, line} = draft.sheet;
    const [first, second] = columns.map((column) => draft.headerOf(column)) as [string, string];
    const shown = new Set<string>();
    for (let row = 0; row < line.length && shown.size < EXAMPLES; ++row)
      if (columns.every((column) => draft.raw(column, row) !== null))
        shown.add(columns.map((column) => `${draft.headerOf(column)} ${draft.raw(column, row) ?? ""}`).join(", "));
    return {
      id: [file, "exchanged", ...columns].join(" | "),
      file,
      subject: {kind: "exchanged", columns, headers: [first, second]},
      text: `Are the headers "${first}" and "${second}" of ${file} exchanged?`,
      proposal: "yes",
      choices: [
        {value: "yes", label: `yes: read "${first}" as "${second}" and the other way round`},
        {value: "no", label: "no: both are right as they stand"},
      ],
      examples: [...shown],
      rows,
    };
  });
}
