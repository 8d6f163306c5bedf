/** The data a chart draws, as named columns with units, for saving as CSV. */
import {barsColumns} from "./bars.ts";
import type {Chart} from "./chart.ts";
import {contourColumns} from "./contour.ts";
import {costColumns} from "./cost.ts";
import {dotsColumns} from "./dots.ts";
import type {ChartColumn} from "./drawing.ts";
import {foretoldColumns} from "./foretold.ts";
import {funnelColumns} from "./funnel.ts";
import {hazardColumns} from "./hazard.ts";
import {historyColumns} from "./history.ts";
import {incidenceColumns} from "./incidence.ts";
import {intervalsColumns} from "./intervals.ts";
import {pairsColumns} from "./pairs.ts";
import {placementColumns} from "./placement.ts";
import {probabilityColumns} from "./probability.ts";
import {recurrenceColumns} from "./recurrence.ts";
import {reliabilityColumns} from "./reliability.ts";
import {residualsColumns} from "./residuals.ts";
import {gapColumns} from "./gap.ts";
import {panelsColumns} from "./panels.ts";
import {spacingColumns} from "./spacing.ts";
import {versusColumns} from "./versus.ts";
import {standingColumns} from "./standing.ts";
import {timelineColumns} from "./timeline.ts";
import {wearColumns} from "./wear.ts";

/** Columns of equal length; empty for a chart that draws nothing. */
export function chartTable(chart: Chart): readonly ChartColumn[] {
  switch (chart.kind) {
    case "probability":
      return probabilityColumns(chart);
    case "reliability":
      return reliabilityColumns(chart);
    case "hazard":
      return hazardColumns(chart);
    case "bars":
      return barsColumns(chart);
    case "intervals":
      return intervalsColumns(chart);
    case "dots":
      return dotsColumns(chart);
    case "pairs":
      return pairsColumns(chart);
    case "foretold":
      return foretoldColumns(chart);
    case "cost":
      return costColumns(chart);
    case "incidence":
      return incidenceColumns(chart);
    case "contour":
      return contourColumns(chart);
    case "wear":
      return wearColumns(chart);
    case "recurrence":
      return recurrenceColumns(chart);
    case "residuals":
      return residualsColumns(chart);
    case "funnel":
      return funnelColumns(chart);
    case "gap":
      return gapColumns(chart);
    case "panels":
      return panelsColumns(chart);
    case "spacing":
      return spacingColumns(chart);
    case "versus":
      return versusColumns(chart);
    case "timeline":
      return timelineColumns(chart);
    case "history":
      return historyColumns(chart);
    case "standing":
      return standingColumns(chart);
    case "placement":
      return placementColumns(chart);
    case "none":
      return [];
  }
}
