/** Findings about rows, in the order they are made; a rule that fires without end is summed up, never cut off in silence. */
import {wordAt} from "../../shared/columnar.ts";
import type {Finding, FindingKind} from "../../shared/findings.ts";
import type {RowOrigin} from "../logs/logTable.ts";

/** What a rule says whenever it fires. */
export interface Rule {
  readonly rule: string;
  readonly kind: FindingKind;
  readonly message: string;
  readonly remedy: string;
}

export interface RowDetails {
  readonly column?: string;
  readonly found?: string | null;
  readonly taken?: string;
}

/** Findings of one rule that are kept one by one; beyond it they are counted. */
const MOST_OF_A_RULE = 5000;

export class FindingList {
  readonly #findings: Finding[] = [];
  readonly #counts = new Map<string, number>();
  readonly #rules = new Map<string, {rule: Rule; file: string}>();

  add(rule: Rule, origin: RowOrigin, row: number, details: RowDetails = {}): void {
    const count = (this.#counts.get(rule.rule) ?? 0) + 1;
    this.#counts.set(rule.rule, count);
    if (count > MOST_OF_A_RULE) return;
    const file = wordAt(origin.file, row) ?? "log";
    if (count === MOST_OF_A_RULE) this.#rules.set(rule.rule, {rule, file});
    this.#findings.push(finding(rule, file, origin.line[row] ?? null, details));
  }

  /** A finding about a whole file. */
  addFile(rule: Rule, file: string, details: RowDetails = {}): void {
    this.#findings.push(finding(rule, file, null, details));
  }

  /** All findings; where a rule fired more often than is listed, one more that says how often. */
  all(): Finding[] {
    const more = [...this.#rules.values()].flatMap(({rule, file}) => {
      const unlisted = this.#counts.get(rule.rule)! - MOST_OF_A_RULE;
      return unlisted > 0 ? [finding(rule, file, null, {found: `${unlisted} more rows`})] : [];
    });
    return [...this.#findings, ...more];
  }
}

function finding(rule: Rule, file: string, line: number | null, details: RowDetails): Finding {
  return {
    kind: rule.kind,
    rule: rule.rule,
    file,
    line,
    column: details.column ?? null,
    found: details.found ?? null,
    taken: details.taken ?? null,
    message: rule.message,
    remedy: rule.remedy,
  };
}
