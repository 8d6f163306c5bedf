/** Cell kind `data-questions`: what the logs ask or doubt about a job's run, the rebuilds around it, and its tool. */
import type {CellKind, CellTable} from "./contract.ts";
import {choiceParam, params} from "./params.ts";
import {openQuestions, type OpenQuestion, type Tier} from "./review/openQuestions.ts";
import {partsInRun} from "./review/partsInRun.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {toolLog} from "./review/toolLog.ts";
import {capital, onlySentence, sayCount, sayList} from "./say.ts";

const SHOWN = {near: "the run and the rebuilds around it", all: "the tool at any time too"} as const;

const {schema, fields} = params({
  ...REVIEW_PARAMS,
  show: choiceParam("which questions are listed", SHOWN, "all"),
});

interface Params extends ReviewPicks {
  readonly show: keyof typeof SHOWN;
}

type Result =
  NoSubject | {readonly found: true; readonly subject: Subject; readonly questions: readonly OpenQuestion[]};

export const dataQuestions: CellKind<Params, Result> = {
  kind: "data-questions",
  summary: "What the logs ask or doubt about a job's run, the rebuilds around it, and its tool.",
  schema,
  fields,
  example: "show: all\n",

  compute(inputs, picks) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const log = toolLog(inputs, subject.run);
    const parts = partsInRun(inputs.all, subject.tool, subject.run);
    return {found: true, subject, questions: openQuestions(inputs, subject, {log, parts})};
  },

  present(result, {show}) {
    if (!("questions" in result)) return onlySentence(result.sentence);
    const {subject, questions} = result;
    const tool = subject.tool ?? "the tool";
    if (questions.length === 0)
      return onlySentence(
        `Nothing is open in the logs about run ${subject.runName}, the rebuilds around it or ${tool} at any time.`,
      );
    const count = (tier: Tier) => questions.filter((one) => one.tier === tier).length;
    const told = [
      ...(count("run") > 0 ? [`${sayCount(count("run"), "is", "are")} about run ${subject.runName} itself`] : []),
      ...(count("around") > 0
        ? [`${sayCount(count("around"), "is", "are")} about the rebuilds and parts around it`]
        : []),
      ...(count("elsewhere") > 0 ? [`${sayCount(count("elsewhere"), "is", "are")} about ${tool} at other times`] : []),
    ];
    const near = count("run") + count("around");
    const listed = questions.filter(({tier}) => show === "all" || tier !== "elsewhere");
    return {
      headline: `${capital(sayCount(questions.length, "open data question"))} ${questions.length === 1 ? "touches" : "touch"} this review: ${sayList(told)}. ${near > 0 ? "What the page says of this run may change with their answers." : "None of them concerns this run directly."}`,
      figures: [],
      tables: listed.length > 0 ? [table(listed)] : [],
      cautions: questions.some(({finding}) => finding.kind === "asked" || finding.kind === "set aside")
        ? [
            "Rows that are held or set aside count nowhere: a run among them is missing from the hours of every part above.",
          ]
        : [],
    };
  },
};

const TIERS: Readonly<Record<Tier, string>> = {
  run: "this run",
  around: "around it",
  elsewhere: "the tool at another time",
};

function table(questions: readonly OpenQuestion[]): CellTable {
  const of = (read: (question: OpenQuestion) => string | null) => questions.map(read);
  return {
    name: "questions",
    title: "Open data questions",
    columns: [
      {name: "touches", label: "touches", values: of(({tier}) => TIERS[tier])},
      {name: "kind", label: "what became of it", values: of(({finding}) => finding.kind)},
      {name: "file", label: "file", values: of(({finding}) => finding.file)},
      {name: "line", label: "line", format: "count", values: questions.map(({finding}) => finding.line)},
      {name: "found", label: "text found", values: of(({finding}) => finding.found)},
      {name: "message", label: "what is wrong", values: of(({finding}) => finding.message)},
      {name: "remedy", label: "how to mend it", values: of(({finding}) => finding.remedy)},
    ],
  };
}
