/** The residuals of a fit as a figure: what they show in its title, how to read it in its caption. */
import type {Figure} from "./contract.ts";
import {FEWEST, type ResidualSteps} from "./residualSteps.ts";
import {capital, sayNumber} from "./say.ts";

/** How the figure speaks of what it shows. */
export interface ResidualWords {
  /** the family fitted */
  readonly name: string;
  readonly unit: string;
  /** `90 % limits` */
  readonly level: string;
  /** `10 failures by wear among 20 lives` */
  readonly counts: string;
  readonly failures: number;
  /** whether the fit was checked by simulation */
  readonly checked: boolean;
}

export function residualFigure(residuals: ResidualSteps, words: ResidualWords): Figure {
  const {name, unit, counts} = words;
  const {steps, until} = residuals;
  return {
    name: "residuals",
    title: titleOf(residuals, words),
    caption:
      `Cox-Snell residuals. Across: the cumulative hazard that ${name} gives the age of each failure. Up: the cumulative hazard the lives themselves show by then. ` +
      `Where the fit is right the curve follows the dashed diagonal, but for chance; a bend away from it over many failures speaks against ${name}, while the right end rests on few lives. ` +
      `${captionOf(residuals, words)} ${capital(counts)}.`,
    alt: altOf(residuals, words),
    chart: {kind: "residuals", unit, name, steps, until: until?.residual ?? null, fewest: FEWEST},
  };
}

function titleOf({between, departure, outside}: ResidualSteps, {name, unit, level}: ResidualWords): string {
  if (departure === null) return `Too few lives are at risk at once to read a departure from ${name}`;
  const differ = `${sayPoints(departure.fraction)} at most, at ${sayNumber(departure.age)} ${unit}`;
  if (between > 0) return `Fractions failed by ${name} and by the lives differ by ${differ}`;
  if (outside === null) return `No departure from ${name} shows: the diagonal stays within the ${level}`;
  const [from, to] = outside.map(sayNumber);
  const where = from === to ? `at ${from} ${unit}` : `at ages between ${from} and ${to} ${unit}`;
  return `The residuals leave ${name} ${where}: the diagonal lies outside the ${level} there`;
}

function captionOf(
  {between, departure, until, endless}: ResidualSteps,
  {unit, level, failures, checked}: ResidualWords,
): string {
  const sentences =
    between > 0
      ? [
          `${sayNumber(between)} of the ${sayNumber(failures)} failures ${between === 1 ? "is" : "are"} known only to lie between two ages, so the curve is Turnbull's, which shares them out over the ages in their ranges and has no limits; where it leaves the age open it rises somewhere inside a box, and a diagonal through the box agrees. ${checked ? "The simulated check in the headline says" : "The parameter “check: simulated” tells"} whether a departure is more than chance.`,
        ]
      : [
          `Curve: Nelson-Aalen. Its ${level} hold at one age at a time, so along the whole curve chance may leave them somewhere.`,
        ];
  if (departure !== null && until !== null)
    sentences.push(
      `Fractions failed are compared while at least ${FEWEST} lives are at risk, to ${sayNumber(until.age)} ${unit}${between > 0 ? "" : `; they differ by ${sayPoints(departure.fraction)} at most`}.`,
    );
  if (endless) sentences.push("The last step leaves no life at risk; its hazard has no end and is not drawn.");
  return sentences.join(" ");
}

function altOf({steps, departure}: ResidualSteps, {name, unit}: ResidualWords): string {
  const last = steps.at(-1);
  const end = last
    ? `; by ${sayNumber(last.ageTo)} ${unit} the fit gives a cumulative hazard of ${sayNumber(last.to)}, the lives show ${sayNumber(last.after)}`
    : "";
  const far = departure
    ? `; largest difference of the fractions failed ${sayPoints(departure.fraction)} at ${sayNumber(departure.age)} ${unit}`
    : "";
  return `Cumulative hazard by ${name} against the one the lives show, ${sayNumber(steps.length)} steps${end}${far}`;
}

/** A difference of two percentages. */
const sayPoints = (fraction: number): string =>
  `${sayNumber(Number((fraction * 100).toPrecision(2)))} percentage points`;
