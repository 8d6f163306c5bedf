/** What the answers of a page stand on now, as a kept page remembers it. */
import {settingDifferences} from "../../../shared/settingDifferences.ts";
import type {Where} from "../../cells/contract.ts";
import type {Ground} from "../../notebook/compareStands.ts";
import type {KeptAnswer, Stands} from "../../notebook/stands.ts";
import type {Picks} from "../../notebook/withPicks.ts";
import {isFiltered} from "../state/pageAddress.ts";
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

/** @param asked units, filters and choices under which the page was answered */
export function standsOf(
  summary: LogSummary,
  {units, where, picks}: {readonly units: Stands["units"]; readonly where: Where; readonly picks: Picks},
  answers: readonly KeptAnswer[],
  day: string,
): Stands {
  const {version, files, settings} = groundOf(summary);
  const asked = {
    ...(isFiltered(where) ? {where: where as Stands["where"]} : {}),
    ...(Object.keys(picks).length > 0 ? {picks} : {}),
  };
  return {kept: day, version, units, ...asked, files, settings, answers: [...answers]};
}
