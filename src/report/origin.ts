/** Where an answer comes from, in one line and in one wording: on the page, on paper and under every saved figure. */
import type {Where} from "../cells/contract.ts";
import {sayNumber, sayWhere} from "../cells/say.ts";
import type {ReportBasis} from "./basis.ts";

/** One line: whose logs, which dates, which filters; under every figure that leaves the page. */
export function originOf(
  basis: Pick<ReportBasis, "invented" | "files" | "firstDay" | "lastDay">,
  where: Where,
): string {
  const {invented, files, firstDay, lastDay} = basis;
  const logs = files.filter(({name}) => !/\.ya?ml$/i.test(name)).length;
  return [
    invented ? "invented demo fleet" : `${sayNumber(logs)} log ${logs === 1 ? "file" : "files"}`,
    lastDay === null ? "no run" : `runs ${firstDay} to ${lastDay}`,
    `filters: ${filtersInWords(where)}`,
  ].join(" · ");
}

/** @example filtersInWords({fleet: ["Alder"], from: "2024-01-01"}) // "fleet Alder; from 2024-01-01" */
export const filtersInWords = (where: Where): string => {
  const words = sayWhere(where);
  return words === "" ? "everything in the logs" : words;
};
