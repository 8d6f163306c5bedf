/** Cell kind `contour`: which pairs of shape and scale the lives still allow. */
import {fitLife, likelihoodContour, type FitOutcome, type LikelihoodContour} from "../statistics/index.ts";
import type {CellKind} from "./contract.ts";
import {failuresIn, GROUPINGS, lifeGroups, sayModes, type Grouping} from "./lifeGroups.ts";
import {choiceParam, componentParam, conditionParam, modesParam, params, type Condition, type Modes} from "./params.ts";
import {
  clockOf,
  onlySentence,
  partsOf,
  sayCondition,
  sayCount,
  sayLimits,
  sayNothing,
  sayPercent,
  sayMoreFailures,
  uncapital,
} from "./say.ts";

const {schema, fields} = params({
  component: componentParam(),
  modes: modesParam(),
  by: choiceParam("one region for each", GROUPINGS, "none"),
  condition: conditionParam(),
});

interface Params {
  readonly component: string;
  readonly modes: Modes;
  readonly by: Grouping;
  readonly condition: Condition | null;
}

interface Region {
  readonly name: string;
  readonly lives: number;
  readonly failures: number;
  readonly fit: FitOutcome;
  /** joint regions at 50 % and at the level of the settings */
  readonly rings: readonly LikelihoodContour[];
}

const MOST_DRAWN = 4;

export const contour: CellKind<Params, readonly Region[]> = {
  kind: "contour",
  summary: "Which pairs of shape and scale the lives still allow, and whether groups could share one.",
  schema,
  fields,
  example: "component: seals\nby: mud\n",

  compute(inputs, params, effects) {
    const {groups} = lifeGroups(inputs.lives, params);
    return groups.map(({name, data}) => {
      effects.signal.throwIfAborted();
      const fit = fitLife(data);
      const levels = [...new Set([0.5, inputs.settings.level])];
      const rings = fit.fitted
        ? levels.map((level) => likelihoodContour(data, fit, {level})).filter((ring) => ring !== null)
        : [];
      return {name, lives: data.lower.length, failures: failuresIn(data), fit, rings};
    });
  },

  present(regions, params, inputs) {
    const parts =
      partsOf(params.component) +
      (params.condition ? ` in ${sayCondition(params.condition.mud, params.condition.regime)}` : "");
    if (regions.every(({lives}) => lives === 0)) return onlySentence(sayNothing(`lives of ${parts}`, inputs));
    const fitted = regions.filter((region) => region.rings.length > 0);
    if (fitted.length === 0)
      return onlySentence(
        `No region can be drawn for ${parts}: ${regions[0]!.fit.fitted ? "the fit has no free shape." : uncapital(regions[0]!.fit.sentence)} ${sayMoreFailures(inputs)}`,
      );
    const {unit} = clockOf(inputs.settings);
    const {level} = inputs.settings;
    const drawn = fitted.slice(0, MOST_DRAWN);
    const label = ({name}: Region) => (name === "" ? parts : name);
    const open = drawn.filter(({rings}) => rings.some((ring) => ring.open));
    const rows = fitted.map((region) => ({region, outer: region.rings.at(-1)!}));
    return {
      headline:
        `Shape and scale together, ${sayPercent(level)} region: ` +
        rows
          .slice(0, MOST_DRAWN)
          .map(
            ({region, outer}) =>
              `${label(region)} shape ${sayLimits(range(outer.shape))}, scale ${sayLimits(range(outer.scale), unit)} (${sayModes(params.modes, region.failures)} among ${sayCount(region.lives, "life", "lives")})`,
          )
          .join("; ") +
        `${apart(drawn, label)}.`,
      figures: [
        {
          name: "contour",
          title: drawn.every(({rings}) => rings.at(-1)!.shape.every((shape) => shape > 1))
            ? "Every pair the lives allow wears out"
            : "The lives still allow a shape of 1",
          caption: `${drawn.map((region) => `${drawn.length > 1 ? `${label(region)}: ` : ""}${sayModes(params.modes, region.failures)} among ${sayCount(region.lives, "life", "lives")}`).join("; ")}. Rings of equal likelihood: inside are the pairs of shape and scale that 50 % and ${sayPercent(level)} joint regions hold (chi-square with two degrees of freedom). Dashed line: shape 1, no wear-out.`,
          alt: drawn
            .map(
              (region) =>
                `${label(region)}: shape ${sayLimits(range(region.rings.at(-1)!.shape))}, scale ${sayLimits(range(region.rings.at(-1)!.scale), unit)}`,
            )
            .join("; "),
          chart: {
            kind: "contour",
            unit,
            series: drawn.map((region) => ({
              name: label(region),
              best: bestOf(region.fit),
              rings: region.rings.map((ring) => ({
                level: ring.level,
                points: Array.from(ring.scale, (scale, i) => ({scale, shape: ring.shape[i]!})),
              })),
            })),
          },
        },
      ],
      tables: [
        {
          name: "regions",
          title: "Best pair and joint region",
          columns: [
            {
              name: "group",
              label: params.by === "none" ? "component" : params.by,
              values: rows.map(({region}) => label(region)),
            },
            {name: "lives", label: "lives", format: "count", values: rows.map(({region}) => region.lives)},
            {name: "failures", label: "failures", format: "count", values: rows.map(({region}) => region.failures)},
            {name: "shape", label: "shape", format: "number", values: rows.map(({region}) => bestOf(region.fit).shape)},
            {
              name: "shape_lower",
              label: "lowest in the region",
              format: "number",
              values: rows.map(({outer}) => range(outer.shape)[0]),
            },
            {
              name: "shape_upper",
              label: "highest in the region",
              format: "number",
              values: rows.map(({outer}) => range(outer.shape)[1]),
            },
            {
              name: "scale",
              label: "scale",
              unit,
              format: "hours",
              values: rows.map(({region}) => bestOf(region.fit).scale),
            },
            {
              name: "scale_lower",
              label: "lowest in the region",
              unit,
              format: "hours",
              values: rows.map(({outer}) => range(outer.scale)[0]),
            },
            {
              name: "scale_upper",
              label: "highest in the region",
              unit,
              format: "hours",
              values: rows.map(({outer}) => range(outer.scale)[1]),
            },
          ],
          note: `A joint region is wider than the limits of one figure at the same level, because it must hold both at once.`,
        },
      ],
      cautions: [
        ...open.map(
          (region) =>
            `${label(region)}: in some direction the likelihood never falls far enough; the ring ends there at the edge of the drawing, not of the region.`,
        ),
        ...(fitted.length < regions.length
          ? [
              `${sayCount(regions.length - fitted.length, "group")} could not be fitted and ${regions.length - fitted.length === 1 ? "has" : "have"} no region.`,
            ]
          : []),
        ...(fitted.length > MOST_DRAWN
          ? [
              `${sayCount(fitted.length - MOST_DRAWN, "group")} with fewest failures ${fitted.length - MOST_DRAWN === 1 ? "is" : "are"} in the table only.`,
            ]
          : []),
      ],
    };
  },
};

function bestOf(fit: FitOutcome): {readonly shape: number; readonly scale: number} {
  return fit.fitted && fit.shape !== null && fit.scale !== null
    ? {shape: fit.shape, scale: fit.scale}
    : {shape: NaN, scale: NaN};
}

function range(values: Float64Array): readonly [number, number] {
  return [values.reduce((a, b) => Math.min(a, b), Infinity), values.reduce((a, b) => Math.max(a, b), -Infinity)];
}

/** Pairs of groups whose regions do not share a box: they cannot share one shape and scale at that level. */
function apart(regions: readonly Region[], label: (region: Region) => string): string {
  const pairs: string[] = [];
  regions.forEach((a, i) => {
    for (const b of regions.slice(i + 1)) {
      const [ringA, ringB] = [a.rings.at(-1)!, b.rings.at(-1)!];
      const disjoint = (of: (ring: LikelihoodContour) => Float64Array) =>
        range(of(ringA))[0] > range(of(ringB))[1] || range(of(ringB))[0] > range(of(ringA))[1];
      if (disjoint((ring) => ring.shape) || disjoint((ring) => ring.scale)) pairs.push(`${label(a)} and ${label(b)}`);
    }
  });
  return pairs.length > 0 ? `; the regions of ${pairs.join(", of ")} do not meet` : "";
}
