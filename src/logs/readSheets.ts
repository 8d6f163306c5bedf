/** The seam of file formats: which reader a file gets. */
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {readCsv} from "./readCsv.ts";
import {sniff} from "./sniff.ts";
import {Watch} from "./Watch.ts";

/** @throws the signal's reason, when whoever waits has stopped it */
export async function readSheets(
  file: LogFile,
  indexes: readonly HeaderIndex[],
  watch: Watch = new Watch(undefined, undefined),
): Promise<SheetsRead> {
  try {
    watch.file(file.name);
    return await readKind(file, indexes, watch);
  } catch (error) {
    watch.rethrowStop();
    // a text beyond what the machine can hold, or bytes that are gone
    const why = error instanceof Error ? error.message : String(error);
    return {
      sheets: [],
      notes: [{rule: "file-unread", file: file.name, message: `${file.name} cannot be read: ${why}`}],
    };
  }
}

async function readKind(file: LogFile, indexes: readonly HeaderIndex[], watch: Watch): Promise<SheetsRead> {
  const kind = sniff(file.bytes);
  // readers that few files need are fetched when one comes, so that the page's first load is without them
  if (kind === "Parquet") return (await import("./readParquet.ts")).readParquet(file, watch);
  if (kind === "xlsx or zip") return (await import("./readXlsx.ts")).readXlsx(file, indexes, watch);
  if (kind === "text") return readCsv(file, indexes, watch);
  if (kind === "empty")
    return {sheets: [], notes: [{rule: "file-empty", file: file.name, message: `${file.name} is empty`}]};
  if (kind === "old Excel") {
    const message = `${file.name} is an old workbook (.xls), or one behind a password`;
    const remedy = "open it, save it as a workbook (.xlsx) without password, and load that";
    return {sheets: [], notes: [{rule: "file-kind", file: file.name, message, remedy}]};
  }
  const message = `${file.name} is not a table of text but ${kind === "binary" ? "a binary file" : `a file of another kind (${kind})`}`;
  return {sheets: [], notes: [{rule: "file-kind", file: file.name, message}]};
}
