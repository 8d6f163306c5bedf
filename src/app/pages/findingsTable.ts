/** Findings as a table to read, sort, narrow and save. */
import type {Finding} from "../../../shared/findings.ts";
import type {CellTable} from "../../cells/contract.ts";

export function findingsTable(findings: readonly Finding[]): CellTable {
  const column = (name: Exclude<keyof Finding, "rows">, label: string, format: "text" | "count" = "text") => ({
    name,
    label,
    format,
    values: findings.map((finding) => finding[name]),
  });
  return {
    name: "findings",
    title: findings.length === 1 ? "What was found" : `What was found, ${findings.length} times`,
    columns: [
      column("kind", "row was"),
      column("file", "file"),
      column("line", "line", "count"),
      column("column", "column"),
      column("found", "text found"),
      column("taken", "taken for"),
      column("message", "what is wrong"),
      column("remedy", "how to mend it"),
    ],
  };
}
