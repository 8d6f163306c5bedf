/** What failures may be put together by: mode, component, mechanism, cause, or whether the shop caused them. */
import {wordAt} from "../../shared/columnar.ts";
import {MODES, modeLabel} from "../../shared/vocabulary/index.ts";
import type {CellInputs} from "./contract.ts";
import {partOf} from "./say.ts";

export const OF = {
  mode: "what was seen",
  component: "component",
  mechanism: "how it came about",
  cause: "why it came about",
  service: "whether it was caused at service",
} as const;
export type CauseOf = keyof typeof OF;

/** What a failure counts for when failures are put together; `serviceInduced` ones stand apart. */
export function causeOf(
  {failures}: Pick<CellInputs, "failures">,
  row: number,
  of: CauseOf,
  serviceInduced: boolean,
): {readonly key: string; readonly name: string} {
  const component = wordAt(failures.component, row);
  if (of === "service")
    return serviceInduced
      ? {key: "service", name: "caused at service"}
      : {key: "other", name: component === null ? "no part blamed" : "wear and chance in service"};
  if (component === null) return {key: "none", name: "no part blamed"};
  if (of === "component") {
    const shop = serviceInduced ? ", caused at service" : "";
    return {key: `${component}${shop}`, name: partOf(component) + shop};
  }
  const mode = wordAt(failures.mode, row) ?? `${component}-UNK`;
  if (of === "mechanism" || of === "cause") {
    const told = MODES[mode]?.[of];
    const name = (told ?? "not told") + (serviceInduced ? ", caused at service" : "");
    return {key: name, name};
  }
  const spoilt = serviceInduced && MODES[mode]?.serviceInduced !== true ? ", at service" : "";
  return {key: mode + spoilt, name: `${partOf(component)}: ${modeLabel(mode)}${spoilt}`};
}
