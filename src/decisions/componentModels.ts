/**
 * The life models of all components of a life table, each made when it is first asked for and kept: the interval sheet,
 * the tallies of parts in service and the service plan ask the same ones.
 */
import type {LifeTable} from "../lives/index.ts";
import {componentUses, type ComponentUse} from "./componentExposure.ts";
import {componentModel, type ComponentModel} from "./componentModel.ts";

export interface ComponentModels {
  /** exposure and failures of every component, in the order they are met */
  readonly uses: ReadonlyMap<string, ComponentUse>;
  /** null for a component that the lives do not hold */
  of(component: string): ComponentModel | null;
}

/**
 * @param level two-sided confidence level at which wear-out must be shown
 * @param also a condition that the models must answer for though the log may not have seen it
 */
export function componentModels(
  lives: LifeTable,
  level: number,
  also: {readonly mud: string; readonly regime: string} | null = null,
): ComponentModels {
  const uses = componentUses(lives);
  const made = new Map<string, ComponentModel>();
  return {
    uses,
    of: (component) => {
      const known = made.get(component);
      if (known !== undefined) return known;
      const use = uses.get(component);
      if (use === undefined) return null;
      const model = componentModel(lives, use, level, also);
      made.set(component, model);
      return model;
    },
  };
}
