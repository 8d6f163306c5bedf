/** What a review suggests to do, from what it found and what it lacks. Suggestions only: people take them or leave them. */
import {wordAt} from "../../../shared/columnar.ts";
import {componentSettings} from "../../../shared/settings.ts";
import {modeLabel} from "../../../shared/vocabulary/index.ts";
import type {CellInputs} from "../contract.ts";
import {clockOf, partOf, sayNumber} from "../say.ts";
import {expectedness} from "./expected.ts";
import {openQuestions} from "./openQuestions.ts";
import type {Story} from "./story.ts";
import type {Subject} from "./subject.ts";

const MOST = 5;

export function suggestionsFor(inputs: CellInputs, subject: Subject, story: Story): string[] {
  const {settings, all} = inputs;
  const {unit} = clockOf(settings);
  const found: string[] = [];
  for (const failed of story.ended) {
    const part = partOf(failed.component);
    const seen = failed.mode === null || failed.reason === "unknown" ? "" : ` (${modeLabel(failed.mode)})`;
    const shop = failed.life < 0 ? null : wordAt(all.shop, failed.life);
    if (failed.reason === "shop")
      found.push(
        `Go through how the ${part} was fitted${seen} with those who rebuilt the tool${shop === null ? "" : ` at ${shop}`}`,
      );
    else if (failed.reason === "unknown") found.push(`Name the failure mode of the ${part} in the rebuild log`);
    else if (failed.reason === "chance")
      found.push(`Look for what struck or blocked the ${part}${seen}: debris, LCM, handling`);
    else if (!("sentence" in failed.placement) && expectedness(failed.placement) === "early")
      found.push(`Keep the ${part}${seen} and have it looked at: it failed early for wear`);
    const limit = componentSettings(settings, failed.component, subject.fleet)?.current_interval_h ?? null;
    if (limit !== null && limit > 0 && failed.part !== null && failed.part.ageAfter > limit && failed.reason === "wear")
      found.push(`Find out why the ${part} was run past its renewal age of ${sayNumber(limit)} ${unit}`);
  }
  if (story.unblamed)
    found.push(
      story.log.torn === null
        ? "Tear the tool down and name the part that ended the run"
        : "Name the part that ended the run in the rebuild log",
    );
  const near = openQuestions(inputs, subject, story).filter(({tier}) => tier !== "elsewhere");
  if (near.length > 0) found.push("Answer the open data questions about this run");
  return [...new Set(found)].slice(0, MOST);
}
