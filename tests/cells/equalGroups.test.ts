import {describe, expect, it} from "vitest";
import {FALSE_SHARE} from "../../src/cells/compareWords.ts";
import {equalGroups} from "../calibrate/cells/equalGroups.ts";

describe("groups that are all alike", () => {
  it("are called worse no more often than stated, and the limits at the common mix hold", () => {
    // the full figures, over 500 groups a size of set, come from npm run calibrate:alarms
    const {setsFlagged, missed, groups} = equalGroups(150, 5, 41);
    expect(groups).toBe(150);
    expect(setsFlagged).toBeLessThanOrEqual(FALSE_SHARE);
    expect(missed).toBeLessThan(0.15);
  });
});
