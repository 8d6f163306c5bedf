/**
 * The few things about a file that only its people know: each is asked once for the file, in plain words, with a
 * proposal and examples from it. An answer goes into the mapping, and the next import no longer asks.
 */
import {withColumn, withFile, withSerial, withTotals, withUnit, withWord} from "../../shared/editMapping.ts";
import {NO_MAPPING, type Mapping} from "../../shared/mapping.ts";
import type {Finding} from "../../shared/findings.ts";
import {unitOf, UNITS} from "../../shared/units.ts";
import {
  componentMeaning,
  COMPONENTS,
  listMeaning,
  modeMeaning,
  MODES,
  mudMeaning,
  MUDS,
  nearest,
  plainWord,
  SYNONYMS,
  type SynonymKind,
  type Synonyms,
} from "../../shared/vocabulary/index.ts";
import type {Draft} from "./draft.ts";
import {likelyLog, SPECS, type LogName} from "./mapHeaders.ts";
import type {RawSheet} from "./rawSheet.ts";
import {isMissing} from "./values/missing.ts";
import {orderEvidence, readDate} from "./values/readDate.ts";

export interface Choice {
  readonly value: string;
  readonly label: string;
}

/** What an answer is about; plain data, so that a page can keep it. */
export type Subject =
  | {readonly kind: "log" | "date order" | "decimal mark" | "day numbers" | "meter start"}
  | {readonly kind: "totals"; readonly column: string}
  | {
      readonly kind: "exchanged";
      readonly columns: readonly [string, string];
      readonly headers: readonly [string, string];
    }
  /** `header`: the one header it is about, where it is about one */
  | {readonly kind: "column"; readonly column: string; readonly header?: string}
  | {readonly kind: "serial"; readonly serial: string}
  | {readonly kind: "unit"; readonly column: string}
  | {readonly kind: "word"; readonly of: SynonymKind; readonly word: string; readonly component: string | null};

export interface Question {
  /** the same for the same question about the same file */
  readonly id: string;
  /** the file, or the sheet of a workbook */
  readonly file: string;
  readonly subject: Subject;
  /** one plain sentence that ends in a question mark */
  readonly text: string;
  /** value of one of the choices; null where nothing speaks for any */
  readonly proposal: string | null;
  readonly choices: readonly Choice[];
  /** up to three texts of the file */
  readonly examples: readonly string[];
  /** how many rows wait for the answer or are read by a guess */
  readonly rows: number;
}

/** A sheet as it was read: with its draft where it is a log. */
export interface SheetAsked {
  readonly sheet: RawSheet;
  readonly draft: Draft | null;
}

const EXAMPLES = 3;

/** The answer that a header is none of our columns. */
const NO_COLUMN = "";

/** Serials that look alike are asked about one by one up to so many for a file; beyond, the list to mend is the better place. */
const MOST_SERIALS = 12;

export function questionsOf(
  sheets: readonly SheetAsked[],
  findings: readonly Finding[],
  synonyms: Synonyms = SYNONYMS,
): Question[] {
  const byFile = new Map<string, Finding[]>();
  for (const finding of findings) {
    if (!ASKING.has(finding.rule)) continue;
    const of = byFile.get(finding.file);
    if (of === undefined) byFile.set(finding.file, [finding]);
    else of.push(finding);
  }
  const questions = new Map<string, Question>();
  for (const {sheet, draft} of sheets) {
    const asked = byFile.get(sheet.file) ?? [];
    const list = draft === null ? aboutLog(sheet, asked) : aboutDraft(draft, asked, synonyms);
    for (const {subject, ...rest} of list) {
      const id = [sheet.file, ...Object.values(subject)].join(" | ");
      const before = questions.get(id);
      questions.set(id, {id, file: sheet.file, subject, ...rest, rows: rest.rows + (before?.rows ?? 0)});
    }
  }
  return [...questions.values()];
}

type Asked = Omit<Question, "id" | "file">;

const UNIT_RULES = [
  "header-unit",
  "header-unit-assumed",
  "header-unit-taken",
  "header-unit-contradicts",
  "number-fraction",
];
const SERIAL_RULES = ["serial-alike", "serial-zeros", "serial-two-fleets"];
const WORD_RULES = ["mud-ambiguous", "mud-unknown", "component-unknown", "mode-unknown", "word-unknown"];
const ASKING: ReadonlySet<string> = new Set([
  ...UNIT_RULES,
  ...WORD_RULES,
  ...SERIAL_RULES,
  ...[
    "file-log-unknown",
    "header-missing",
    "header-unknown",
    "date-ambiguous",
    "date-order-sequence",
    "date-serial",
    "number-ambiguous",
  ],
]);

function aboutLog(sheet: RawSheet, asked: readonly Finding[]): Asked[] {
  const {file, header, rows} = sheet;
  if (!asked.some(({rule}) => rule === "file-log-unknown")) return [];
  const choices = [
    {value: "runs", label: "a run log"},
    {value: "rebuilds", label: "a rebuild log"},
    {value: "none", label: "neither: leave it aside"},
  ];
  const examples = header.filter((text) => text !== "").slice(0, EXAMPLES);
  const text = `${file} fits neither log: what does it hold?`;
  // a sheet of a workbook may be a list or a sum: nothing is proposed for it
  const proposal = sheet.sheet === null ? likelyLog(sheet) : null;
  return [{subject: {kind: "log"}, text, proposal, choices, examples, rows}];
}

function aboutDraft(draft: Draft, asked: readonly Finding[], synonyms: Synonyms): Asked[] {
  const has = (...rules: readonly string[]): boolean => asked.some(({rule}) => rules.includes(rule));
  const log: LogName = draft.log === "rebuilds" ? "rebuilds" : "runs";
  const list: Asked[] = [];
  if (has("header-missing", "header-unknown")) list.push(...aboutColumns(draft, log, has("header-missing")));
  if (has("date-ambiguous", "date-order-sequence")) list.push(...aboutDates(draft, asked));
  if (has("date-serial")) list.push(aboutDayNumbers(draft, asked));
  if (has("number-ambiguous")) list.push(aboutDecimals(asked));
  for (const finding of asked) if (UNIT_RULES.includes(finding.rule)) list.push(...aboutUnit(draft, finding));
  list.push(...aboutSerials(draft, asked));
  list.push(
    ...aboutWords(
      draft,
      asked.filter(({rule}) => WORD_RULES.includes(rule)),
      synonyms,
    ),
  );
  return list;
}

/** Headers that nobody knows, where a column is missing that the log needs or where they are nearly its name. */
function aboutColumns(draft: Draft, log: LogName, missing: boolean): Asked[] {
  const {sheet} = draft;
  const used = new Set(draft.cellOf.values());
  const free = sheet.header.flatMap((header, cell) => (header !== "" && !used.has(cell) ? [{header, cell}] : []));
  const keyOf = new Map(free.map(({header}) => [plainWord(header), header] as const));
  const list: Asked[] = [];
  for (const [column, spec] of Object.entries(SPECS[log])) {
    if (draft.cellOf.has(column) || free.length === 0) continue;
    const names = [column.replaceAll("_", " "), ...spec.aliases.map(plainWord)];
    const near = [...keyOf].find(([key]) => key.length > 3 && nearest(key, names) !== null)?.[1] ?? null;
    // a rebuild row needs what the part was found to be, or its mode
    const result = column === "found" && log === "rebuilds" && !draft.cellOf.has("mode");
    const needed = missing && (spec.required === true || result);
    if (!needed && near === null) continue;
    const at = free.find(({header}) => header === near) ?? (free.length === 1 ? free[0] : undefined);
    const proposal = at?.header ?? null;
    const text = needed
      ? `Which column of ${sheet.file} holds “${plainName(column)}” (${spec.meaning})?`
      : `Does the column "${near ?? ""}" of ${sheet.file} hold “${plainName(column)}” (${spec.meaning})?`;
    const examples = at === undefined ? [] : examplesOf(sheet, at.cell);
    if (needed) {
      const choices = free.map(({header}) => ({value: header, label: header}));
      list.push({subject: {kind: "column", column}, text, proposal, choices, examples, rows: sheet.rows});
    } else if (at !== undefined) {
      const choices = [
        {value: at.header, label: "yes"},
        {value: NO_COLUMN, label: "no: leave it out"},
      ];
      list.push({subject: {kind: "column", column, header: at.header}, text, proposal, choices, examples, rows: 0});
    }
  }
  return list;
}

/** A column as a person says it: its unit is no part of its name. */
const plainName = (column: string): string =>
  column
    .replace(/_h$/, "_hours")
    .replace(/_(mm|m|C|pct|lpm|kgm3|mPas|Pa)$/, "")
    .replaceAll("_", " ");

function examplesOf({cells}: RawSheet, cell: number, like = /./): string[] {
  const words = cells[cell]?.words ?? [];
  return words.filter((word) => !isMissing(word.trim(), "word") && like.test(word.trim())).slice(0, EXAMPLES);
}

function aboutDates(draft: Draft, asked: readonly Finding[]): Asked[] {
  const dates = [...draft.cellOf].filter(([name]) => draft.specs[name]?.type === "date");
  const either = dates.flatMap(([, cell]) =>
    (draft.sheet.cells[cell]?.words ?? []).filter((word) => orderEvidence(word.trim()) === "either"),
  );
  if (either.length === 0) return [];
  const sequence = asked.find(({rule}) => rule === "date-order-sequence")?.taken ?? null;
  const choices = [
    {value: "day first", label: "the day: 03/04 is the third of April"},
    {value: "month first", label: "the month: 03/04 is the fourth of March"},
  ];
  const text = `In the dates of ${draft.sheet.file}, which comes first?`;
  const rows = asked.filter(({rule, line}) => rule === "date-ambiguous" && line !== null).length;
  const examples = either.slice(0, EXAMPLES);
  return [{subject: {kind: "date order"}, text, proposal: sequence ?? "day first", choices, examples, rows}];
}

/** Day numbers of a file that does not say from which year it counts. */
function aboutDayNumbers(draft: Draft, asked: readonly Finding[]): Asked {
  const told = asked.filter(({rule}) => rule === "date-serial");
  const numbers = [...draft.cellOf].flatMap(([name, cell]) =>
    draft.specs[name]?.type === "date" ? examplesOf(draft.sheet, cell, /^\d{5}([.,]\d+)?$/) : [],
  );
  const example = numbers[0] ?? told[0]?.found ?? "";
  const dated = (base: 1900 | 1904): string => {
    const read = readDate(example.trim(), null, base);
    return read.kind === "date" ? new Date(read.ms).toISOString().slice(0, 10) : "another date";
  };
  const choices = [
    {value: "1900", label: `1900, as most spreadsheets do: ${example} is ${dated(1900)}`},
    {value: "1904", label: `1904, as old ones for the Mac did: ${example} is ${dated(1904)}`},
  ];
  const text = `The dates of ${draft.sheet.file} are day numbers: from which year are they counted?`;
  const rows = told.some(({line}) => line === null) ? draft.rows : told.length;
  return {subject: {kind: "day numbers"}, text, proposal: "1900", choices, examples: numbers.slice(0, EXAMPLES), rows};
}

/** Serials of tools that may be one tool written in two ways, or two tools that share a serial. */
function aboutSerials(draft: Draft, asked: readonly Finding[]): Asked[] {
  const toolHeader = draft.headerOf("tool");
  const alike = asked.filter(({rule, column}) => SERIAL_RULES.includes(rule) && column === toolHeader);
  return alike.slice(0, MOST_SERIALS).flatMap(({rule, line, message, rows = []}): Asked[] => {
    const at = line === null ? -1 : draft.sheet.line.indexOf(line);
    const serial = draft.text("tool", at);
    const other = rows[1]?.cells.find(([column]) => column === "tool")?.[1];
    if (serial === null || other === undefined) return [];
    const two = {value: serial, label: `two different tools: ${serial} is right as it stands`};
    const choices =
      rule === "serial-two-fleets"
        ? [
            {value: serial, label: "one tool that went from one fleet to the other"},
            {value: `*-${serial}`, label: `two tools: write the fleet before ${serial}`},
          ]
        : [{value: other, label: `one tool: ${serial} is ${other}`}, two];
    const text =
      rule === "serial-two-fleets"
        ? `Is ${serial}, which runs in two fleets, one tool?`
        : `Are the tools ${serial} and ${other} one and the same?`;
    const examples = [message];
    return [{subject: {kind: "serial", serial}, text, proposal: null, choices, examples, rows: 1}];
  });
}

function aboutDecimals(asked: readonly Finding[]): Asked {
  const doubtful = asked.filter(({rule}) => rule === "number-ambiguous");
  const examples = distinct(doubtful.map(({found}) => found)).slice(0, EXAMPLES);
  const choices = [
    {value: ",", label: "decimals: 1,250 is one and a quarter"},
    {value: ".", label: "thousands: 1,250 is twelve hundred and fifty"},
  ];
  const text = `In the numbers of ${doubtful[0]?.file ?? ""}, what does the comma set apart?`;
  return {subject: {kind: "decimal mark"}, text, proposal: null, choices, examples, rows: doubtful.length};
}

function aboutUnit(draft: Draft, {column: header, taken, rule}: Finding): Asked[] {
  const found = [...draft.cellOf].find(([, cell]) => draft.sheet.header[cell] === header);
  const quantity = found === undefined ? undefined : draft.specs[found[0]]?.quantity;
  if (found === undefined || quantity === undefined) return [];
  const [column, cell] = found;
  const units = UNITS[quantity];
  const choices = units.map(({symbol, aliases}) => ({
    value: symbol === "" ? (aliases[0] ?? "") : symbol,
    label: symbol,
  }));
  const read = taken === null ? null : unitOf(quantity, taken);
  const asRead = read?.symbol ?? units[0]?.symbol ?? null;
  const proposal = rule === "header-unit" ? null : rule === "number-fraction" ? "fraction" : asRead;
  const text = `In what unit is "${header ?? column}" of ${draft.sheet.file} written?`;
  return [
    {
      subject: {kind: "unit", column},
      text,
      proposal,
      choices,
      examples: examplesOf(draft.sheet, cell),
      rows: draft.rows,
    },
  ];
}

/** One question for each word that nobody knows, the commonest first. */
function aboutWords(draft: Draft, asked: readonly Finding[], synonyms: Synonyms): Asked[] {
  const columnOf = new Map([...draft.cellOf].map(([name, cell]) => [draft.sheet.header[cell] ?? name, name]));
  const rowOf = new Map<number, number>();
  if (asked.some(({rule}) => rule === "mode-unknown")) draft.sheet.line.forEach((line, row) => rowOf.set(line, row));
  const words = new Map<
    string,
    {of: SynonymKind; word: string; component: string | null; rows: number; lines: number[]}
  >();
  for (const {column, found, line} of asked) {
    const of =
      KIND_OF[columnOf.get(column ?? "") ?? ""] ??
      (draft.specs[columnOf.get(column ?? "") ?? ""]?.type === "flag" ? "flag" : undefined);
    const word = plainWord(found ?? "");
    if (of === undefined || word === "" || found === null) continue;
    const component = of === "mode" && line !== null ? draft.text("component", rowOf.get(line) ?? -1) : null;
    const key = `${of} ${component ?? ""} ${word}`;
    const before = words.get(key);
    if (before === undefined)
      words.set(key, {of, word: found.trim(), component, rows: 1, lines: line === null ? [] : [line]});
    else {
      ++before.rows;
      if (before.lines.length < EXAMPLES && line !== null) before.lines.push(line);
    }
  }
  return [...words.values()]
    .sort((a, b) => b.rows - a.rows)
    .map(({of, word, component, rows, lines}) => {
      const part = component === null ? "" : ` on the ${COMPONENTS[component]?.label ?? component}`;
      return {
        subject: {kind: "word", of, word, component},
        text: `What does the ${NAME_OF[of]} "${word}"${part} mean in ${draft.sheet.file}?`,
        proposal: proposalFor(of, word, component, synonyms),
        choices: choicesFor(of, component),
        examples: lines.map((line) => `line ${line}: ${word}`),
        rows,
      };
    });
}

const KIND_OF: Readonly<Record<string, SynonymKind>> = {
  mud: "mud",
  component: "component",
  mode: "mode",
  outcome: "outcome",
  found: "found",
  action: "action",
};
const NAME_OF: Readonly<Record<SynonymKind, string>> = {
  mud: "mud",
  component: "part",
  mode: "defect",
  outcome: "outcome",
  found: "finding",
  action: "action",
  flag: "answer",
};

function proposalFor(of: SynonymKind, word: string, component: string | null, synonyms: Synonyms): string | null {
  if (of === "mud") return mudMeaning(word, synonyms).code;
  if (of === "component") return componentMeaning(word, synonyms).code;
  if (of === "mode") return component === null ? null : modeMeaning(word, component, synonyms).code;
  return listMeaning(word, of, listOf(of), synonyms).code;
}

function listOf(of: "outcome" | "found" | "action" | "flag"): readonly string[] {
  return of === "flag" ? ["yes", "no"] : ((SPECS.runs[of] ?? SPECS.rebuilds[of])?.oneOf ?? []);
}

function choicesFor(of: SynonymKind, component: string | null): Choice[] {
  const coded = (codes: Readonly<Record<string, {readonly label: string}>>): Choice[] =>
    Object.entries(codes).map(([value, {label}]) => ({value, label}));
  if (of === "mud") return coded(MUDS);
  if (of === "component") return coded(COMPONENTS);
  if (of === "mode")
    return coded(Object.fromEntries(Object.entries(MODES).filter(([, mode]) => mode.component === component)));
  return listOf(of).map((value) => ({value, label: value}));
}

function distinct(texts: readonly (string | null)[]): string[] {
  return [...new Set(texts.filter((text) => text !== null))];
}

/**
 * The mapping with one answer more.
 *
 * @param value of one of the question's choices
 */
export function withAnswer(question: Question, value: string, mapping: Mapping = NO_MAPPING): Mapping {
  const {subject, file} = question;
  switch (subject.kind) {
    case "log":
      return value === "runs" || value === "rebuilds" || value === "none"
        ? withFile(mapping, file, {log: value})
        : mapping;
    case "date order":
      return value === "day first" || value === "month first" ? withFile(mapping, file, {dateOrder: value}) : mapping;
    case "decimal mark":
      return value === "." || value === "," ? withFile(mapping, file, {decimalMark: value}) : mapping;
    case "day numbers":
      return value === "1900" || value === "1904"
        ? withFile(mapping, file, {dayNumbers: value === "1900" ? 1900 : 1904})
        : mapping;
    case "meter start":
      return value === "from 0" || value === "not known" ? withFile(mapping, file, {meterStart: value}) : mapping;
    case "exchanged": {
      const [first, second] = subject.headers;
      const [a, b] = value === "yes" ? [...subject.columns].reverse() : subject.columns;
      return withColumn(withColumn(mapping, file, first, a), file, second, b);
    }
    case "totals":
      return withTotals(mapping, file, subject.column, value);
    case "column":
      return value === NO_COLUMN
        ? withColumn(mapping, file, subject.header ?? "", null)
        : withColumn(mapping, file, value, subject.column);
    case "unit":
      return withUnit(mapping, file, subject.column, value);
    case "serial":
      return withSerial(mapping, subject.serial, value);
    case "word": {
      const word = plainWord(subject.word);
      const modes = mapping.synonyms.mode ?? {};
      const known = subject.of === "mode" && Object.hasOwn(modes, word) ? modes[word] : undefined;
      // one word may mean another mode on each part
      const meaning =
        known === undefined ? value : [value, ...known.split(" ").filter((one) => one !== value)].join(" ");
      return withWord(mapping, subject.of, word, meaning);
    }
  }
}
