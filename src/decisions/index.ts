/** Decisions: when to renew a part, what that costs, and how sure it is. */
export {bestAge, costRate, optimalityAt, type AgeCosts, type BestAge, type NoBestAge} from "./ageReplacement.ts";
export {componentModels, type ComponentModels} from "./componentModels.ts";
export {meanFailureCost, type RenewalCosts} from "./costs.ts";
export {failuresNeeded} from "./failuresNeeded.ts";
export {
  ADVICE,
  POOLED,
  type Advice,
  type ByPolicy,
  type CostCurve,
  type FleetShare,
  type IntervalRow,
} from "./intervalRow.ts";
export {intervalsJson, type IntervalJson} from "./intervalsJson.ts";
export {rowHinges, type Hinge, type HingeEnd, type HingeName, type RowHinges} from "./hinges.ts";
export {competingLife, type Life} from "./life.ts";
export {modeGroup, type ModeGroup} from "./modeGroups.ts";
export {partsInService, type Condition, type InServiceOptions, type PartsInService} from "./partsInService.ts";
export {costOf, cycleAt, failuresOf, gridLife, runToFailureCycle, type Cycle, type GridLife} from "./policyPrice.ts";
export {rebuildWalk, type RebuildWalk} from "./rebuildWalk.ts";
export {renewalIntervals, sheetRows, type IntervalEffects, type IntervalInputs} from "./renewalIntervals.ts";
export {hazardOfRun, longestSafeAge} from "./riskRule.ts";
export {type ComponentModel} from "./componentModel.ts";
export {drawLimits, drawMean} from "./spread.ts";
export {runQuantiles, typicalRun} from "./typicalRun.ts";
export {zeroFailureScale} from "./zeroFailureScale.ts";
export {fittedTools, type FittedPart, type FittedTool} from "./fittedParts.ts";
export {type RunAhead} from "./hazardAhead.ts";
export {nextRun, type Chance, type NextRun, type PartAhead} from "./nextRun.ts";
export {partModels, type PartModel} from "./partModels.ts";
export {plannedRun, type PlannedRun} from "./plannedRun.ts";
export {rebuildRisk, type RebuildRisk} from "./rebuildRisk.ts";
export {fleetPlan, type FleetPlan, type FleetPlanInputs, type FleetPlanMade} from "./service/fleetPlan.ts";
export {type Difference} from "./service/pairedDifference.ts";
export {type Level, type Move, type PlanCost, type ServicePlan} from "./service/servicePlan.ts";
export {dueList, type DueList, type DuePart, type IntervalSource} from "./dueList.ts";
export {decidedScopes, inForce, revisions, scopeKey, type Revision} from "./policyInForce.ts";
export {decisionEffect, rateOf, type DecisionEffect} from "./decisionEffect.ts";
export {foretold, type Followed, type Foretold} from "./foretold.ts";
export {foretoldBands, foretoldInAll, type ForetoldBand} from "./foretoldBands.ts";
