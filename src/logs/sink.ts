/** Collects findings while a log is read, and what became of each row. */
import type {Finding, RowShown} from "../../shared/findings.ts";
import {RULES, type RuleId} from "./rules/catalogue.ts";

/** Where a finding stands and what it says; the rule adds its kind and its remedy. */
export interface Found {
  readonly file: string;
  readonly line?: number | null;
  readonly column?: string | null;
  readonly found?: string | null;
  readonly taken?: string | null;
  readonly message: string;
  /** when the rule's own remedy is too general */
  readonly remedy?: string;
  /** the row and those that it speaks against */
  readonly rows?: readonly RowShown[];
}

export interface FoundWith extends Found {
  readonly rule: RuleId;
}

/** The finding of a rule at a place. */
export function findingOf({rule, file, line, column, found, taken, message, remedy, rows}: FoundWith): Finding {
  return {
    kind: RULES[rule].kind,
    rule,
    file,
    line: line ?? null,
    column: column ?? null,
    found: found ?? null,
    taken: taken ?? null,
    message,
    remedy: remedy ?? RULES[rule].remedy,
    ...(rows === undefined ? {} : {rows}),
  };
}

/** What became of a row; a later and graver state wins. */
export const ROW_STATES = ["accepted", "repaired", "held", "set aside"] as const;
export type RowState = (typeof ROW_STATES)[number];

export function rankOf(state: RowState): number {
  return ROW_STATES.indexOf(state);
}
