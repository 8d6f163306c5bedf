/** Columns of a ready-made life table, for those who already have one. Ages are in whatever clock the table is in. */
import type {ColumnSpec} from "./columns.ts";

export const LIFE_STATUSES = ["failed", "suspended", "interval"] as const;
export type LifeStatus = (typeof LIFE_STATUSES)[number];

export const LIFE_COLUMNS = {
  time: {
    type: "number",
    aliases: [
      "age",
      "hours",
      "life",
      "t",
      "time to failure",
      "ttf",
      "age at end",
      "lifetime",
      "time h",
      "exposure",
      "cycles",
      "run hours",
    ],
    meaning: "age at the failure or the suspension; not needed where lower and upper are given",
  },
  lower: {
    type: "number",
    aliases: ["left", "lower age", "lower bound", "age lower", "from", "l"],
    meaning: "age up to which the part is known to have been good; empty: left-censored",
  },
  upper: {
    type: "number",
    aliases: ["right", "upper age", "upper bound", "age upper", "to", "u"],
    meaning: "age by which the part is known to have failed; empty: right-censored",
  },
  entry: {
    type: "number",
    aliases: ["entry age", "age at entry", "truncation", "left truncation", "entered at", "delayed entry"],
    meaning: "age at which the part came under observation; empty: new",
  },
  status: {
    type: "text",
    oneOf: LIFE_STATUSES,
    aliases: ["event", "state", "failed", "outcome", "result"],
    meaning: "failed, suspended or interval; 1 and 0 are taken as failed and suspended",
  },
  count: {
    type: "number",
    aliases: ["n", "freq", "frequency", "quantity", "weight", "weights", "number", "number of parts"],
    meaning: "how many parts the row stands for; empty: one",
  },
  mode: {type: "text", aliases: ["failure mode", "cause", "failure cause"], meaning: "failure mode, any words"},
} as const satisfies Readonly<Record<string, ColumnSpec>>;
