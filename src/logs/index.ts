export {importLogs, type Logs} from "./importLogs.ts";
export type {FileAnswers, ImportOptions} from "./options.ts";
export type {LogFile, RawSheet} from "./rawSheet.ts";
export type {RebuildColumns, RebuildTable, RowOrigin, RunColumns, RunTable} from "./logTable.ts";
export {RULES, type Rule, type RuleId} from "./rules/catalogue.ts";
export {csvCell, findingsCsv, toCsv, type CsvColumn, type CsvOptions} from "./csv.ts";
export {questionsOf, withAnswer, type Choice, type Question, type SheetAsked, type Subject} from "./questions.ts";
export type {Progress} from "./Watch.ts";
export {readLifeTable, type ReadyLives} from "./readLifeTable.ts";
