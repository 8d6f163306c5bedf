/** The chart as Plot options: pure, and drawn by whoever has a document. */
import type {PlotOptions} from "@observablehq/plot";
import {barsOptions} from "./bars.ts";
import type {Chart} from "./chart.ts";
import {contourOptions} from "./contour.ts";
import {costOptions} from "./cost.ts";
import {dotsOptions} from "./dots.ts";
import {blank, sheetOf, type Drawing} from "./drawing.ts";
import {foretoldOptions} from "./foretold.ts";
import {funnelOptions} from "./funnel.ts";
import {hazardOptions} from "./hazard.ts";
import {historyOptions} from "./history.ts";
import {incidenceOptions} from "./incidence.ts";
import {intervalsOptions} from "./intervals.ts";
import {pairsOptions} from "./pairs.ts";
import {placementOptions} from "./placement.ts";
import {probabilityOptions} from "./probability.ts";
import {recurrenceOptions} from "./recurrence.ts";
import {reliabilityOptions} from "./reliability.ts";
import {residualsOptions} from "./residuals.ts";
import {gapOptions} from "./gap.ts";
import {panelsOptions} from "./panels.ts";
import {spacingOptions} from "./spacing.ts";
import {versusOptions} from "./versus.ts";
import {standingOptions} from "./standing.ts";
import {timelineOptions} from "./timeline.ts";
import {wearOptions} from "./wear.ts";

/**
 * Plot options of a chart at a size, in a palette.
 *
 * @example plot(chartOptions(chart, {width: 640, palette: LIGHT_PALETTE}))
 */
export function chartOptions(chart: Chart, drawing: Drawing): PlotOptions {
  const sheet = sheetOf(drawing, chart);
  switch (chart.kind) {
    case "probability":
      return probabilityOptions(chart, sheet);
    case "reliability":
      return reliabilityOptions(chart, sheet);
    case "hazard":
      return hazardOptions(chart, sheet);
    case "bars":
      return barsOptions(chart, sheet);
    case "intervals":
      return intervalsOptions(chart, sheet);
    case "dots":
      return dotsOptions(chart, sheet);
    case "pairs":
      return pairsOptions(chart, sheet);
    case "foretold":
      return foretoldOptions(chart, sheet);
    case "cost":
      return costOptions(chart, sheet);
    case "incidence":
      return incidenceOptions(chart, sheet);
    case "contour":
      return contourOptions(chart, sheet);
    case "wear":
      return wearOptions(chart, sheet);
    case "recurrence":
      return recurrenceOptions(chart, sheet);
    case "residuals":
      return residualsOptions(chart, sheet);
    case "funnel":
      return funnelOptions(chart, sheet);
    case "gap":
      return gapOptions(chart, sheet);
    case "panels":
      return panelsOptions(chart, sheet);
    case "spacing":
      return spacingOptions(chart, sheet);
    case "versus":
      return versusOptions(chart, sheet);
    case "timeline":
      return timelineOptions(chart, sheet);
    case "history":
      return historyOptions(chart, sheet);
    case "standing":
      return standingOptions(chart, sheet);
    case "placement":
      return placementOptions(chart, sheet);
    case "none":
      return blank(sheet, chart.sentence ?? "nothing to draw");
  }
}
