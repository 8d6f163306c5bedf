/** The seam of file formats: which reader a file gets. */
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {readCsv} from "./readCsv.ts";
import {sniff} from "./sniff.ts";

export async function readSheets(file: LogFile, indexes: readonly HeaderIndex[]): Promise<SheetsRead> {
  try {
    return readKind(file, indexes);
  } catch (error) {
    // a text beyond what the machine can hold, or bytes that are gone
    const why = error instanceof Error ? error.message : String(error);
    return {
      sheets: [],
      notes: [{rule: "file-unread", file: file.name, message: `${file.name} cannot be read: ${why}`}],
    };
  }
}

function readKind(file: LogFile, indexes: readonly HeaderIndex[]): SheetsRead {
  const kind = sniff(file.bytes);
  if (kind === "text") return readCsv(file, indexes);
  if (kind === "empty")
    return {sheets: [], notes: [{rule: "file-empty", file: file.name, message: `${file.name} is empty`}]};
  const message = `${file.name} is not a table of text but ${kind === "binary" ? "a binary file" : `a file of another kind (${kind})`}`;
  return {sheets: [], notes: [{rule: "file-kind", file: file.name, message}]};
}
