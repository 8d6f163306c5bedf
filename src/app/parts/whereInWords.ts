/** The filters as a sentence, for paper, for saved pictures and for people who cannot see the strip. */
import type {Where} from "../../cells/contract.ts";
import {LIST_FILTERS, type ListFilter} from "../state/pageAddress.ts";
import type {LogSummary} from "../worker/protocol.ts";

const NAMES: Readonly<Record<ListFilter, string>> = {
  fleet: "fleet",
  component: "component",
  mud: "mud",
  regime: "flow regime",
};

/** @example whereInWords({fleet: ["Alder"], from: "2024-01-01"}, choices) // "fleet Alder; from 2024-01-01" */
export function whereInWords(where: Where, choices: LogSummary["choices"]): string {
  const parts: string[] = [];
  for (const filter of LIST_FILTERS) {
    const codes = (where[filter] ?? []).filter((code) => code !== "");
    if (codes.length === 0) continue;
    const labels = codes.map((code) => choices[filter].find((choice) => choice.code === code)?.label ?? code);
    parts.push(`${NAMES[filter]} ${labels.join(" or ")}`);
  }
  if (where.from !== undefined) parts.push(`from ${where.from}`);
  if (where.to !== undefined) parts.push(`to ${where.to}`);
  return parts.length === 0 ? "everything in the logs" : parts.join("; ");
}

/** What stands under every saved picture and at the head of every printed page. */
export function originOf(summary: LogSummary, where: Where): string {
  return [
    summary.invented
      ? "invented demo fleet"
      : `${summary.files.length} log ${summary.files.length === 1 ? "file" : "files"}`,
    summary.lastDay === null ? "no run" : `runs ${summary.firstDay} to ${summary.lastDay}`,
    `filters: ${whereInWords(where, summary.choices)}`,
  ].join(" · ");
}
