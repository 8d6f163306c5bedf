import {expect, it} from "vitest";
import {typedDay} from "../../src/app/state/typedDay.ts";

it.each([
  ["2024-03-01", "from", "2024-03-01"],
  [" 2024.3.1 ", "from", "2024-03-01"],
  ["2024-02", "from", "2024-02-01"],
  ["2024-02", "to", "2024-02-29"],
  ["2025-02", "to", "2025-02-28"],
  ["2024", "from", "2024-01-01"],
  ["2024", "to", "2024-12-31"],
] as const)("typedDay(%j, %j) means %s", (text, end, day) => expect(typedDay(text, end)).toBe(day));

it("typedDay('') empties the field", () => expect(typedDay("  ", "to")).toBeNull());

it.each(["yesterday", "2024-13", "2024-02-30", "03/04/24", "24-03-01", "2024-03-01T00:00"])(
  "typedDay(%j) is no day",
  (text) => expect(typedDay(text, "from")).toBeUndefined(),
);
