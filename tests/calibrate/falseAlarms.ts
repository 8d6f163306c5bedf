/**
 * How often groups that are all alike are called worse, and how often limits at the common mix miss the truth.
 *
 *   npm run calibrate:alarms                  500 groups for each size of set
 *   npm run calibrate:alarms -- --groups 5000 smoother
 *
 * Not part of npm test. Same seeds, same figures.
 */
import {FALSE_SHARE} from "../../src/cells/compareWords.ts";
import {equalGroups} from "./cells/equalGroups.ts";

const flag = process.argv.indexOf("--groups");
const groups = flag < 0 ? 500 : Number(process.argv[flag + 1]);
if (!(Number.isInteger(groups) && groups > 0)) {
  process.stderr.write(`calibrate:alarms --groups requires a whole number above 0, got ${process.argv[flag + 1]}\n`);
  process.exit(2);
}
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
process.stdout.write(`Equal groups called worse; stated: at most ${percent(FALSE_SHARE)} of calls false\n\n`);
process.stdout.write(
  "groups a set | sets | groups called worse | sets with any called worse | limits at the mix miss (10 % stated)\n",
);
for (const perSet of [2, 3, 5, 10, 25]) {
  const {sets, flagged, setsFlagged, missed} = equalGroups(groups, perSet, 500 + perSet);
  process.stdout.write(
    `${String(perSet).padStart(12)} | ${String(sets).padStart(4)} | ${percent(flagged).padStart(19)} | ${percent(setsFlagged).padStart(26)} | ${percent(missed).padStart(24)}\n`,
  );
}
