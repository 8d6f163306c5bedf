/**
 * Life statistics: numbers in, numbers out. Nothing here knows what lived or wore.
 */
export type {Family, FitOutcome, LifeData, LifeFit, Limits, LimitsBy, NoFit, NoFitReason, Weibull} from "./types.ts";

// one life distribution
export {
  ageOfSurvival,
  conditionalSurvival,
  cumulativeHazard,
  density,
  failureFraction,
  hazard,
  mean,
  meanResidualLife,
  quantile,
  remainingQuantile,
  restrictedMean,
  standardDeviation,
  survival,
} from "./weibull.ts";

// lives and their fit
export {
  countLives,
  isFailure,
  lifeData,
  lifeFaults,
  selectLives,
  type LifeColumns,
  type LifeFault,
} from "./lifeData.ts";
export {fitLife, type FitOptions} from "./fitLife.ts";
export {
  fittedCumulativeHazard,
  fittedDensity,
  fittedFailureFraction,
  fittedHazard,
  fittedMean,
  fittedQuantile,
  fittedSurvival,
  paperHeight,
} from "./fittedLife.ts";

// limits of what a fit says
export {
  ageLimits,
  conditionalReliabilityLimits,
  meanLimits,
  reliabilityLimits,
  scaleLimits,
  shapeLimits,
  type LimitOptions,
  type LimitsResult,
  type Replicates,
} from "./lifeLimits.ts";
export {ageBand, reliabilityBand, type BandPoint} from "./limitBand.ts";
export {likelihoodContour, type ContourOptions, type LikelihoodContour} from "./likelihoodContour.ts";

// bootstrap
export {bootstrapLife, runToEnd, type BootstrapOptions, type BootstrapReplicates} from "./bootstrapLife.ts";

// regression, threshold, known shape
export {fitRegression, regressionAge, type RegressionCovariate, type RegressionFit} from "./fitRegression.ts";
export {fitThreshold, type ThresholdFit} from "./fitThreshold.ts";
export {
  fixedShapeBound,
  meanTimeLimits,
  successRunCount,
  successRunReliability,
  type FixedShapeBound,
} from "./fixedShape.ts";

// survival without a life distribution
export {kaplanMeier, nelsonAalen, type KaplanMeier, type NelsonAalen} from "./kaplanMeier.ts";

export {turnbull, turnbullSurvival, type Turnbull} from "./turnbull.ts";
export {modeIncidence, type Incidence, type IncidenceOptions, type ModeIncidence, type ModeLives} from "./incidence.ts";

// ranks
export {
  benardRank,
  MOST_RANKED,
  rankedFailures,
  rankOf,
  rankRegression,
  type RankedFailure,
  type RankFit,
} from "./rankRegression.ts";

// does it fit, and are groups alike
export {compareFamilies, type FamilyRow} from "./compareFamilies.ts";
export {andersonDarling, checkFit, type FitCheck, type FitCheckOptions} from "./fitCheck.ts";
export {coxSnellResiduals} from "./residuals.ts";
export {compareGroups, type GroupComparison, type GroupTest} from "./compareGroups.ts";

// conditions: how fast each ages a part
export {
  conditionData,
  conditionFaults,
  selectConditionLives,
  type ConditionCovariate,
  type ConditionData,
  type ConditionFactor,
} from "./conditionData.ts";
export {
  fitConditions,
  type CellLife,
  type ConditionEffect,
  type ConditionFit,
  type ConditionOptions,
  type PriorWidth,
} from "./fitConditions.ts";
export {cellChecks, type CellCheck} from "./cellChecks.ts";
export {cellAge, cellReliability, type CellFigure} from "./cellLimits.ts";
export {conditionDraws, effectDraws, type ConditionDraws, type EffectDraws} from "./conditionDraws.ts";
export {seededRandom, type Random} from "./random.ts";

// counts and rates
export {poissonLimits, rateLimits} from "./poissonLimits.ts";
export {compareRates, type Count, type RateComparison} from "./comparePoisson.ts";
export {countAgainst, countAgainstMeans, falseDiscovery, funnelLimits} from "./funnel.ts";
export {compareStrata, type RateStratum, type StratifiedRatio} from "./compareStrata.ts";
export {
  standardisedRate,
  weightedCountLimits,
  type StandardisedRate,
  type Stratum,
  type WeightedCount,
} from "./weightedCounts.ts";
export {rateDifference, type KindOfEvent, type RateDifference} from "./rateDifference.ts";
export {spacingLimits, type SpacingLimits} from "./spacing.ts";

// failures that recur on repaired systems
export {repairHistory, type RepairHistory} from "./repairHistory.ts";
export {
  meanCumulative,
  meanCumulativeDifference,
  type MeanCumulative,
  type MeanCumulativeDifference,
} from "./meanCumulative.ts";
export {fitPowerLaw, powerLawIntensity, type NoPowerLaw, type PowerLaw} from "./powerLaw.ts";
export {handbookTest, laplaceTest, reverseArrangements, type TrendTest} from "./trendTests.ts";

// measured wear
export {
  fitWear,
  wornFraction,
  type NoWearFit,
  type WearFit,
  type WearMeasures,
  type WearOptions,
  type WearPart,
} from "./wearPaths.ts";

// special functions, for whoever needs a probability behind a limit
export {
  betaQuantile,
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareSurvival,
  gamma,
  gammaQuantile,
  logGamma,
} from "./gammaFunctions.ts";
export {normalCdf, normalQuantile, normalSurvival} from "./normal.ts";
