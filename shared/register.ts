/**
 * The register of interval decisions: which recommended intervals a shop accepted, amended or declined, when, by whom and
 * why. `register.yaml` stands beside the logs; entries are only ever added, so that every revision stays.
 *
 *     version: 1
 *     decisions:
 *       - component: SEAL
 *         mud: OBM
 *         regime: high
 *         fleet: Basalt            # left out: every fleet
 *         decision: accepted       # | amended | declined
 *         interval_h: 150          # what is done from the date on; null: run to failure; left out when declined
 *         recommended_h: 150       # null: run to failure
 *         before_h: 400            # what was done before; null: run to failure
 *         date: 2025-12-28
 *         initials: KV
 *         reason: seals in hot oil-base mud
 *         data_to: 2025-12-26      # last day of the logs behind the recommendation
 *         filters: fleet Basalt
 *         failures_per_1000h: {before: 1.9, foretold: 0.6}
 *
 * A file that is no YAML, an entry that cannot be used and a version of a later program each become a finding; the file is
 * then never written over.
 */
import {isMap, isScalar, isSeq, LineCounter, type Document, type Node, type YAMLMap} from "yaml";
import {isDay} from "./calendarDay.ts";
import type {Finding} from "./findings.ts";
import {componentMeaning, mudMeaning, REGIME_CODES} from "./vocabulary/index.ts";
import {readYaml} from "./readYaml.ts";

export const REGISTER_VERSION = 1;
export const DECISIONS = ["accepted", "amended", "declined"] as const;
export type DecisionWord = (typeof DECISIONS)[number];

/** What a decision is about: a component in one mud and flow, of one fleet or of all. */
export interface DecisionScope {
  /** vocabulary codes */
  readonly component: string;
  readonly mud: string;
  readonly regime: string;
  /** null: every fleet */
  readonly fleet: string | null;
}

export interface IntervalDecision extends DecisionScope {
  readonly decision: DecisionWord;
  /** renewal age from `date` on, in the exposure clock; null: run to failure. Not read where declined. */
  readonly interval_h: number | null;
  readonly recommended_h: number | null;
  readonly before_h: number | null;
  /** ISO day */
  readonly date: string;
  readonly initials: string;
  readonly reason: string;
  /** last day of the logs that the recommendation rests on; null where not written down */
  readonly data_to: string | null;
  /** the filters under which it was made, in words; empty for none */
  readonly filters: string;
  /** failures per 1,000 of exposure that were foretold; null where not written down */
  readonly failures_per_1000h: {readonly before: number; readonly foretold: number} | null;
}

export interface Register {
  /** in the order of the file */
  readonly decisions: readonly IntervalDecision[];
  /** false when the file holds what this program cannot read: it must not be written over */
  readonly writable: boolean;
  /** why it is not; null when it is */
  readonly trouble: string | null;
  /** entries that could not be used */
  readonly leftOut: number;
  /** ISO day up to which decisions are in force; later ones wait */
  readonly today: string;
}

export const NO_DECISIONS: Register = {decisions: [], writable: true, trouble: null, leftOut: 0, today: "9999-12-31"};

/**
 * @param text empty for no file
 * @param today decisions dated later are kept, are not yet in force, and are doubted
 */
export function parseRegister(
  text: string,
  file: string,
  today: string,
): {readonly register: Register; readonly findings: readonly Finding[]} {
  const lines = new LineCounter();
  const document = readYaml(text, {lineCounter: lines});
  const reader: Reader = {document, lines, file, today, findings: []};
  const unreadable = (line: number | null, trouble: string, remedy: string) => {
    tell(reader, line, null, null, trouble, remedy);
    return {register: {...NO_DECISIONS, writable: false, trouble, today}, findings: reader.findings};
  };
  const [error] = document.errors;
  if (error !== undefined)
    return unreadable(
      lines.linePos(error.pos[0]).line,
      `the register is not YAML: ${error.message.split("\n")[0]}`,
      "mend the file, or move it away to begin a new register; until then no decision in it counts and none is written",
    );
  const root = document.contents;
  if (root === null || (isScalar(root) && root.value === null))
    return {register: {...NO_DECISIONS, today}, findings: []};
  if (!isMap(root))
    return unreadable(1, "the register must be a list of keys", "write version: 1 and decisions: below it");
  const version = root.get("version") ?? REGISTER_VERSION;
  if (typeof version !== "number" || version > REGISTER_VERSION)
    return unreadable(
      1,
      `the register says version ${String(version)}, and this program reads up to version ${REGISTER_VERSION}`,
      "use the program that wrote it; until then no decision in it counts and none is written",
    );
  const list = root.get("decisions", true) as Node | undefined;
  if (list === undefined || (isScalar(list) && list.value === null))
    return {register: {...NO_DECISIONS, today}, findings: reader.findings};
  if (!isSeq(list))
    return unreadable(lineOf(reader, list), "decisions must be a list", "write each decision after a dash");
  const decisions: IntervalDecision[] = [];
  let leftOut = 0;
  for (const item of list.items) {
    const decision = isMap(item) ? readDecision(item, reader) : null;
    if (decision !== null) decisions.push(decision);
    else {
      leftOut += 1;
      if (!isMap(item))
        tell(
          reader,
          lineOf(reader, item as Node),
          "decisions",
          null,
          "a decision must be keys",
          "write component, mud, regime, decision, date and initials",
        );
    }
  }
  return {register: {decisions, writable: true, trouble: null, leftOut, today}, findings: reader.findings};
}

/**
 * The text of the register with one decision more; comments and all that stands there already are kept as they are.
 *
 * @param text of a register that `parseRegister` calls writable; empty for none
 * @throws Error for a register that cannot be read, so that nothing is lost
 */
export function withDecision(text: string, decision: IntervalDecision): string {
  const {register} = parseRegister(text, "register.yaml", decision.date);
  if (!register.writable) throw new Error(register.trouble ?? "the register cannot be read");
  const document = readYaml(
    text.trim() === ""
      ? "# Interval decisions of this shop. Entries are only ever added, so that every revision stays.\nversion: 1\ndecisions: []\n"
      : text,
  );
  if (!isSeq(document.get("decisions", true))) document.set("decisions", document.createNode([]));
  const node = document.createNode(plain(decision)) as YAMLMap;
  node.flow = false;
  document.addIn(["decisions"], node);
  const list = document.get("decisions", true);
  if (isSeq(list)) list.flow = false;
  return document.toString({lineWidth: 0});
}

/** As it is written: keys with nothing to say are left out. */
function plain(decision: IntervalDecision): Record<string, unknown> {
  const {fleet, interval_h, data_to, filters, failures_per_1000h, ...rest} = decision;
  return {
    component: rest.component,
    mud: rest.mud,
    regime: rest.regime,
    ...(fleet === null ? {} : {fleet}),
    decision: rest.decision,
    ...(rest.decision === "declined" ? {} : {interval_h}),
    recommended_h: rest.recommended_h,
    before_h: rest.before_h,
    date: rest.date,
    initials: rest.initials,
    reason: rest.reason,
    ...(data_to === null ? {} : {data_to}),
    ...(filters === "" ? {} : {filters}),
    ...(failures_per_1000h === null ? {} : {failures_per_1000h}),
  };
}

interface Reader {
  readonly document: Document;
  readonly lines: LineCounter;
  readonly file: string;
  readonly today: string;
  readonly findings: Finding[];
}

/** Null, and a finding, where an entry cannot be used. */
function readDecision(map: YAMLMap, reader: Reader): IntervalDecision | null {
  const line = lineOf(reader, map);
  const text = (key: string): string | null => {
    const value = map.get(key);
    return typeof value === "string" || typeof value === "number" ? String(value).trim() : null;
  };
  let usable = true;
  const refuse = (key: string, message: string, remedy: string): null => {
    tell(reader, line, key, text(key), message, `${remedy}; until then this decision does not count`);
    usable = false;
    return null;
  };
  const component =
    codeOf(text("component"), componentMeaning) ??
    refuse("component", "a decision must name a component of the vocabulary", "give a component such as SEAL");
  const mud =
    codeOf(text("mud"), mudMeaning) ??
    refuse("mud", "a decision must name a mud of the vocabulary", "give a mud such as OBM");
  const regime =
    text("regime") ??
    refuse("regime", "a decision must name a flow regime", `give one of ${REGIME_CODES.slice(0, 3).join(", ")}`);
  const word = text("decision");
  const decision =
    DECISIONS.find((known) => known === word?.toLowerCase()) ??
    refuse("decision", "a decision is accepted, amended or declined", `give one of ${DECISIONS.join(", ")}`);
  const date = text("date");
  if (date === null || !isDay(date))
    refuse("date", "a decision must have the day it was taken", "give a day such as 2025-12-28");
  const initials = text("initials");
  if (initials === null || initials === "") refuse("initials", "a decision must say who took it", "give initials");
  const interval = ageOf(map, "interval_h");
  if (decision !== "declined" && decision !== null && interval === undefined)
    refuse(
      "interval_h",
      "an accepted or amended decision must say the interval",
      "give an age of 0 or more, or null for run to failure",
    );
  if (!usable) return null;
  const dataTo = text("data_to");
  if (date! > reader.today)
    tell(
      reader,
      line,
      "date",
      date,
      `the decision is dated ${date}, which has not come yet`,
      "it counts from that day; mend the date if it is a slip",
      "doubted",
    );
  const foretold = map.get("failures_per_1000h");
  return {
    component: component!,
    mud: mud!,
    regime: regime!,
    fleet: text("fleet"),
    decision: decision!,
    interval_h: interval ?? null,
    recommended_h: ageOf(map, "recommended_h") ?? null,
    before_h: ageOf(map, "before_h") ?? null,
    date: date!,
    initials: initials!,
    reason: text("reason") ?? "",
    data_to: dataTo !== null && isDay(dataTo) ? dataTo : null,
    filters: text("filters") ?? "",
    failures_per_1000h: isMap(foretold) ? ratesOf(foretold) : null,
  };
}

function ratesOf(map: YAMLMap): IntervalDecision["failures_per_1000h"] {
  const before = map.get("before");
  const foretold = map.get("foretold");
  const good = (value: unknown): value is number => typeof value === "number" && value >= 0 && value < Infinity;
  return good(before) && good(foretold) ? {before, foretold} : null;
}

/** A sound age, null as it is written, undefined for anything else. */
function ageOf(map: YAMLMap, key: string): number | null | undefined {
  // asked for its value, a map takes null for nothing
  const node = map.get(key, true);
  if (!isScalar(node)) return undefined;
  const {value} = node;
  if (value === null) return null;
  return typeof value === "number" && value >= 0 && value < Infinity ? value : undefined;
}

function codeOf(
  text: string | null,
  meaning: (word: string) => {readonly kind: string; readonly code: string | null},
): string | null {
  if (text === null || text === "") return null;
  const {kind, code} = meaning(text);
  return kind === "code" || kind === "synonym" ? code : null;
}

function lineOf({lines}: Reader, node: Node | null | undefined): number | null {
  const offset = node?.range?.[0];
  return offset === undefined ? null : lines.linePos(offset).line;
}

function tell(
  {findings, file}: Reader,
  line: number | null,
  column: string | null,
  found: string | null,
  message: string,
  remedy: string,
  kind: Finding["kind"] = "set aside",
): void {
  findings.push({kind, rule: "register", file, line, column, found, taken: null, message, remedy});
}
