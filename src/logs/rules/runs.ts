/** What one run says against itself. */
import type {Draft} from "../draft.ts";
import {DAY_MS} from "../values/readDate.ts";

const HOUR_MS = 3_600_000;

/** Hours by which sums may disagree: shops round to the half hour. */
const TOLERANCE_H = 0.5;

/** What shows a clear fluid where a log says KCl only: plastic viscosity (mPa·s) and yield point (Pa) at most these. */
const CLEAR_FLUID = {pv_mPas: 5, yp_Pa: 1.5} as const;

export function checkRuns(draft: Draft): void {
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    checkElapsed(draft, row);
    checkClocks(draft, row);
    checkFailureHour(draft, row);
    checkMud(draft, row);
  }
}

/** Hours between start and end at the most; a date without a time may be any time of its day. NaN where not known. */
function elapsedHours(draft: Draft, row: number): number {
  const start = draft.number("start", row);
  const end = draft.number("end", row);
  const openEnd = draft.timed.get("end")?.[row] === 1 ? 0 : DAY_MS;
  return (end + openEnd - start) / HOUR_MS;
}

function checkElapsed(draft: Draft, row: number): void {
  const elapsed = elapsedHours(draft, row);
  const hours = draft.number("circulating_h", row);
  if (elapsed < 0) {
    const message = `the run ends (${draft.raw("end", row) ?? ""}) before it starts (${draft.raw("start", row) ?? ""})`;
    draft.tell("run-end-before-start", row, {column: "end", message});
  } else if (hours > elapsed + TOLERANCE_H) {
    const message = `${shown(hours)} circulating hours do not fit into the ${shown(elapsed)} h between start and end`;
    draft.tell("run-longer-than-elapsed", row, {column: "circulating_h", message});
  } else if (draft.number("below_rotary_h", row) > elapsed + TOLERANCE_H) {
    const message = `${shown(draft.number("below_rotary_h", row))} hours below rotary do not fit into the ${shown(elapsed)} h between start and end`;
    draft.tell("run-hours-order", row, {column: "below_rotary_h", message});
  }
}

/** drilling ≤ circulating ≤ below rotary */
function checkClocks(draft: Draft, row: number): void {
  const drilling = draft.number("drilling_h", row);
  const circulating = draft.number("circulating_h", row);
  const belowRotary = draft.number("below_rotary_h", row);
  if (circulating > belowRotary + TOLERANCE_H && !draft.exchanged.has("circulating_h")) {
    const message = `${shown(circulating)} circulating hours are more than ${shown(belowRotary)} below rotary; the two may be exchanged`;
    draft.tell("run-hours-order", row, {column: "circulating_h", message});
  }
  if (drilling > circulating + TOLERANCE_H && !draft.exchanged.has("drilling_h")) {
    const message = `${shown(drilling)} drilling hours are more than ${shown(circulating)} circulating`;
    draft.tell("run-hours-order", row, {column: "drilling_h", message});
  }
  if (circulating === 0) {
    const failed = draft.text("outcome", row) === "failed downhole";
    const message = failed ? "the run failed downhole with 0 circulating hours" : "the run has 0 circulating hours";
    draft.tell(failed ? "failure-at-zero" : "hours-zero", row, {column: "circulating_h", message});
  }
}

function checkFailureHour(draft: Draft, row: number): void {
  const failedAt = draft.number("failed_at_h", row);
  const outcome = draft.text("outcome", row);
  if (failedAt > draft.number("circulating_h", row) + TOLERANCE_H) {
    const message = `a failure at ${shown(failedAt)} h is later than the ${shown(draft.number("circulating_h", row))} h of the run`;
    draft.tell("run-failure-after-end", row, {column: "failed_at_h", taken: "missing", message});
    const column = draft.numbers.get("failed_at_h");
    if (column !== undefined) column[row] = NaN;
  } else if (failedAt > 0 && outcome === "completed") {
    const message = `the run is ${outcome}, and yet failed at ${shown(failedAt)} h`;
    draft.tell("run-failure-unlike-outcome", row, {column: "failed_at_h", message});
  }
}

function checkMud(draft: Draft, row: number): void {
  const mud = draft.text("mud", row);
  if (mud === "AIR")
    draft.tell("mud-no-pulse", row, {column: "mud", message: "the run was drilled with air, mist or foam"});
  if (mud !== "KCL" || !/^\s*(kcl|potassium|potassium chloride)\s*$/i.test(draft.raw("mud", row) ?? "")) return;
  const clear = draft.number("pv_mPas", row) <= CLEAR_FLUID.pv_mPas && draft.number("yp_Pa", row) <= CLEAR_FLUID.yp_Pa;
  if (!clear) return;
  const texts = draft.texts.get("mud");
  if (texts === undefined) return;
  const code = texts.words.indexOf("BRN");
  texts.codes[row] = code >= 0 ? code : texts.words.push("BRN") - 1;
  const message = `${draft.raw("mud", row) ?? ""} with a plastic viscosity of ${shown(draft.number("pv_mPas", row))} mPa·s and hardly any yield point is a clear fluid`;
  draft.tell("mud-by-properties", row, {column: "mud", taken: "BRN", message});
}

function shown(hours: number): string {
  return String(Number(hours.toFixed(1)));
}
