/** What one rebuild row says against itself. */
import {MODES} from "../../../shared/vocabulary/index.ts";
import type {Draft} from "../draft.ts";

/** Hours by which two counts may disagree: shops round to the half hour. */
const TOLERANCE_H = 0.5;

/** A part of a component usually has a serial when so many of its renewals name one. */
const USUALLY = 0.8;

export function checkRebuilds(draft: Draft): void {
  inferFound(draft);
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    checkHoursInAndOut(draft, row);
    const mode = draft.text("mode", row);
    const found = draft.text("found", row);
    if (found === "good" && mode !== null && !mode.endsWith("-NFF")) {
      draft.tell("found-contradicts-mode", row, {
        column: "mode",
        message: `the part was found good, and yet shows ${mode}`,
      });
    }
  }
  noteSerialless(draft);
}

/** Of a part that went out of the tool the two are of two parts; of one that was kept they are of the same. */
function checkHoursInAndOut(draft: Draft, row: number): void {
  if (draft.text("action", row) !== "kept") return;
  const [before, now] = [draft.number("installed_with_h", row), draft.number("hours_on_part", row)];
  if (!(before > now + TOLERANCE_H)) return;
  const message = `the part was kept with ${now} h on it, and yet went in with ${before} h`;
  draft.tell("hours-in-above-out", row, {column: "installed_with_h", message});
}

/** A row with a mode but without a finding: the mode and the action say it. */
function inferFound(draft: Draft): void {
  let texts = draft.texts.get("found");
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row) || (texts?.codes[row] ?? -1) >= 0) continue;
    const mode = draft.text("mode", row);
    if (mode === null) continue;
    const taken = foundOf(mode, draft.text("action", row));
    if (texts === undefined) {
      texts = {codes: new Int32Array(draft.rows).fill(-1), words: []};
      draft.texts.set("found", texts);
    }
    const code = texts.words.indexOf(taken);
    texts.codes[row] = code >= 0 ? code : texts.words.push(taken) - 1;
    draft.tell("found-inferred", row, {
      column: "found",
      taken,
      message: `${mode} is given, but not what the part was found to be`,
    });
  }
}

function foundOf(mode: string, action: string | null): string {
  if (mode.endsWith("-NFF")) return "good";
  if (MODES[mode]?.serviceInduced === true) return "damaged at service";
  return action === "kept" ? "worn" : "failed";
}

/** Renewals without the serial of the new part, where that component usually has one. */
function noteSerialless(draft: Draft): void {
  if (!draft.texts.has("part_serial")) return;
  const renewals = new Map<string, {rows: number; without: number[]}>();
  for (let row = 0; row < draft.rows; ++row) {
    const action = draft.text("action", row);
    if (!draft.used(row) || (action !== "renewed" && action !== "swapped for a used part")) continue;
    const component = draft.text("component", row) ?? "";
    const entry = renewals.get(component) ?? {rows: 0, without: []};
    ++entry.rows;
    // a serial that was refused above has been told already
    if (draft.raw("part_serial", row) === null) entry.without.push(row);
    renewals.set(component, entry);
  }
  for (const [component, {rows, without}] of renewals) {
    if (without.length > rows * (1 - USUALLY)) continue;
    for (const row of without) {
      const message = `a ${component} was renewed and the serial of the new one is not given`;
      draft.tell("renewal-without-serials", row, {column: "part_serial", taken: "a renewal of the position", message});
    }
  }
}
