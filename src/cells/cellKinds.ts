/** Every cell kind, in the order in which a reader is offered them. */
import {conditions} from "./conditions.ts";
import {contour} from "./contour.ts";
import type {CellKind} from "./contract.ts";
import {early} from "./early.ts";
import {fair} from "./fair.ts";
import {dataQuestions} from "./dataQuestions.ts";
import {failedPart} from "./failedPart.ts";
import {dueListCell} from "./dueList.ts";
import {families} from "./families.ts";
import {findings} from "./findings.ts";
import {fixList} from "./fixList.ts";
import {fleets} from "./fleets.ts";
import {gap} from "./gap.ts";
import {hoursPerFailure} from "./hoursPerFailure.ts";
import {hinges} from "./hinges.ts";
import {incidence} from "./incidence.ts";
import {intervals} from "./intervals.ts";
import {jobActions} from "./jobActions.ts";
import {jobVerdict} from "./jobVerdict.ts";
import {life} from "./life.ts";
import {lives} from "./livesCell.ts";
import {nextRunCell} from "./nextRun.ts";
import {overTime} from "./overTime.ts";
import {pareto} from "./pareto.ts";
import {openActions} from "./openActions.ts";
import {rates} from "./rates.ts";
import {servicePlanCell} from "./servicePlan.ts";
import {recurrence} from "./recurrence.ts";
import {sideBySide} from "./sideBySide.ts";
import {spacing} from "./spacing.ts";
import {renewNow} from "./renewNow.ts";
import {runConditionsCell} from "./runConditionsCell.ts";
import {runHydraulics} from "./runHydraulics.ts";
import {runWear} from "./runWear.ts";
import {sisterFailures} from "./sisterFailures.ts";
import {toolHistory} from "./toolHistory.ts";
import {tally} from "./tally.ts";
import {foretoldCell} from "./foretold.ts";
import {registerCell} from "./register.ts";
import {wear} from "./wear.ts";
import {worth} from "./worth.ts";

export const CELL_KINDS: readonly CellKind[] = [
  intervals,
  hinges,
  tally,
  nextRunCell,
  servicePlanCell,
  dueListCell,
  registerCell,
  foretoldCell,
  life,
  conditions,
  incidence,
  families,
  contour,
  wear,
  pareto,
  fleets,
  fair,
  gap,
  sideBySide,
  hoursPerFailure,
  early,
  overTime,
  spacing,
  worth,
  rates,
  recurrence,
  lives,
  findings,
  fixList,
  jobVerdict,
  toolHistory,
  runConditionsCell,
  runHydraulics,
  runWear,
  failedPart,
  sisterFailures,
  renewNow,
  dataQuestions,
  jobActions,
  openActions,
];
