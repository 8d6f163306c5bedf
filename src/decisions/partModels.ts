/** The life of every component, with what can be said of chance where nothing has failed. */
import type {ComponentUse} from "./componentExposure.ts";
import {DRAWS, type ComponentModel} from "./componentModel.ts";
import type {ComponentModels} from "./componentModels.ts";
import {rateDraws} from "./gammaDraws.ts";

export interface PartModel {
  readonly use: ComponentUse;
  readonly model: ComponentModel;
  /** chance failures per unit of exposure; where nothing at all has failed, what so much exposure without failure allows */
  readonly chance: Float64Array;
}

/** Keyed by component; those with exposure only. */
export function partModels(
  models: ComponentModels,
  progress: (done: number, of: number) => void = () => undefined,
): Map<string, PartModel> {
  const uses = [...models.uses.values()].filter(({exposure}) => exposure > 0);
  return new Map(
    uses.map((use, done): [string, PartModel] => {
      progress(done, uses.length);
      const model = models.of(use.component)!;
      const nothing = model.posterior === null && use.failures.chance === 0;
      const chance = nothing ? rateDraws(0, use.exposure, DRAWS, use.component.length) : model.chanceDraws;
      return [use.component, {use, model, chance}];
    }),
  );
}
