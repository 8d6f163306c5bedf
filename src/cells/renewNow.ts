/** Cell kind `renew-now`: what the reviewed tool needs before its next run, as it stands when the log ends. */
import {wordAt} from "../../shared/columnar.ts";
import type {CellInputs, CellKind} from "./contract.ts";
import {BENCH_SHEET_DEFERRAL, nextRunCell} from "./nextRun.ts";
import {checkNextRun, type Check} from "./nextRunCheck.ts";
import {params} from "./params.ts";
import {dayOf} from "./review/dayOf.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {toolLog} from "./review/toolLog.ts";
import {onlySentence, sayCount} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

type Result =
  | NoSubject
  | {
      readonly found: true;
      readonly subject: Subject;
      readonly check: Check;
      readonly later: number;
      readonly last: number;
    };

/** The next run is taken as the tool's usual one; the page for the next run asks for another. */
const USUAL_RUN = {
  parts: null,
  hours: null,
  mud: null,
  flow: null,
  target: null,
  of: "each part",
  judge: "expected",
} as const;

export const renewNow: CellKind<ReviewPicks, Result> = {
  kind: "renew-now",
  summary: "What the reviewed tool needs before its next run, as it stands when the log ends.",
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const log = toolLog(inputs, subject.run);
    const {end} = inputs.runs.columns;
    return {
      found: true,
      subject,
      check:
        subject.tool === null
          ? {
              made: false,
              sentence: "The run log names no tool for this run, so nothing can be said of what to renew.",
              tools: [],
            }
          : checkNextRun(inputs, {...USUAL_RUN, tool: subject.tool}, effects),
      later: log.runs.length - 1 - log.at,
      last: end[log.runs.at(-1)!]!,
    };
  },

  present(result, _picks, inputs) {
    if (!("check" in result)) return onlySentence(result.sentence);
    const {subject, check, later, last} = result;
    const lost = lostAfter(inputs, subject);
    if (!check.made)
      return onlySentence(
        lost ? `${subject.tool ?? "The tool"} was lost in hole, so nothing of it is left to renew.` : check.sentence,
        [BENCH_SHEET_DEFERRAL],
      );
    const shown = nextRunCell.present(check, {...USUAL_RUN, tool: subject.tool}, inputs);
    const when =
      later === 0
        ? "It stands as the run reviewed left it, rebuilds since then counted."
        : `It has done ${sayCount(later, "run")} since the one reviewed, the last until ${dayOf(last)}; this is how it stands now, not how it came back from that run.`;
    return {
      headline: `${shown.headline} ${when}`,
      figures: shown.figures,
      tables: shown.tables,
      cautions: [
        ...shown.cautions,
        "The next run is taken to be the tool's usual one; the page Next run asks for another length, mud or flow.",
      ],
      onward: [
        {
          label: `${subject.tool ?? "This tool"} on the page Next run`,
          page: "next-run",
          picks: {tool: subject.tool ?? ""},
        },
      ],
    };
  },
};

/** The tool's last logged run left it in hole. */
function lostAfter({runs}: CellInputs, {tool}: Subject): boolean {
  const {columns} = runs;
  const code = tool === null ? -1 : columns.tool.words.indexOf(tool);
  let last = -1;
  for (let row = 0; row < runs.rows; row++)
    if (code >= 0 && columns.tool.codes[row] === code && (last < 0 || columns.end[row]! >= columns.end[last]!))
      last = row;
  return last >= 0 && wordAt(columns.outcome, last) === "lost in hole";
}
