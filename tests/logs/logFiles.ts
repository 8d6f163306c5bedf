/** Hand-written log files for the tests: texts in, checked logs out. */
import {importLogs, type ImportOptions, type Logs} from "../../src/logs/index.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

/** Imports texts by file name. */
export function importTexts(files: Readonly<Record<string, string>>, options: ImportOptions = {}): Promise<Logs> {
  return importLogs(
    Object.entries(files).map(([name, text]) => ({name, bytes: bytesOf(text)})),
    options,
  );
}

/** A run log of the given rows below plain headers. */
export function runs(...rows: readonly string[]): string {
  return ["run,tool,start,end,circulating_h,below_rotary_h", ...rows, ""].join("\n");
}

/** A rebuild log of the given rows below plain headers. */
export function rebuilds(...rows: readonly string[]): string {
  return ["rebuild,tool,date,component,found,mode,action,part_serial,hours_on_part", ...rows, ""].join("\n");
}

export function byRule(findings: readonly Finding[], rule: string): Finding[] {
  return findings.filter((finding) => finding.rule === rule);
}

/** True where every row read is in exactly one of the four states. */
export function addsUp({read, accepted, repaired, held, setAside}: RowCount): boolean {
  return read === accepted + repaired + held + setAside;
}
