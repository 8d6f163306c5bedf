/** What the answers of a page stand on now, as a kept page remembers it. */
import {settingDifferences} from "../../../shared/settingDifferences.ts";
import type {Ground} from "../../notebook/compareStands.ts";
import type {KeptAnswer, Stands} from "../../notebook/stands.ts";
import {VERSION} from "../version.ts";
import type {LogSummary} from "../worker/protocol.ts";

export function groundOf({files, counts, settings}: LogSummary): Ground {
  const rows = new Map(counts.map(({file, read}) => [file, read]));
  return {
    version: VERSION,
    files: files
      .filter(({name}) => rows.has(name))
      .map(({name, digest}) => ({name, digest, rows: rows.get(name) ?? null})),
    settings: settingDifferences(settings)
      // what the page shows, not what it finds
      .filter(({name}) => name !== "units")
      .map(({name, value}) => ({name, value})),
  };
}

export function standsOf(
  summary: LogSummary,
  units: Stands["units"],
  answers: readonly KeptAnswer[],
  day: string,
): Stands {
  const {version, files, settings} = groundOf(summary);
  return {kept: day, version, units, files, settings, answers: [...answers]};
}
