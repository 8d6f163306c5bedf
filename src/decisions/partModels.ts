/** The life of every component, as the next run, the due list and the interval sheet share it. */
import type {LifeTable} from "../lives/lifeTable.ts";
import {componentUses, type ComponentUse} from "./componentExposure.ts";
import {componentModel, DRAWS, type ComponentModel} from "./componentModel.ts";
import {rateDraws} from "./gammaDraws.ts";

export interface PartModel {
  readonly use: ComponentUse;
  readonly model: ComponentModel;
  /** chance failures per unit of exposure; where nothing at all has failed, what so much exposure without failure allows */
  readonly chance: Float64Array;
}

/**
 * Keyed by component; those with exposure only.
 *
 * @param also a condition to answer for though the log may not have seen it
 */
export function partModels(
  lives: LifeTable,
  level: number,
  also: {readonly mud: string; readonly regime: string} | null = null,
  progress: (done: number, of: number) => void = () => undefined,
): Map<string, PartModel> {
  const uses = [...componentUses(lives).values()].filter(({exposure}) => exposure > 0);
  const models = new Map<string, PartModel>();
  uses.forEach((use, done) => {
    progress(done, uses.length);
    const model = componentModel(lives, use, level, also);
    const nothing = model.posterior === null && use.failures.chance === 0;
    models.set(use.component, {
      use,
      model,
      chance: nothing ? rateDraws(0, use.exposure, DRAWS, use.component.length) : model.chanceDraws,
    });
  });
  return models;
}
