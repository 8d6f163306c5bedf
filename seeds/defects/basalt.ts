/** Basalt: many hands. Two serials swapped, muds without a base, misspelt modes, units of another office. */
import type {GrownInspection} from "../grown.ts";
import type {Planter} from "../Planter.ts";
import {swapSerials} from "../stories.ts";
import {kept, totalHours, uneventful, type Desk} from "./desk.ts";

export function plantBasalt(desk: Desk): void {
  swapSerials(desk.runs, desk.records.runs, "Serial");
  plantRuns(desk);
  plantRebuilds(desk);
}

function plantRuns(desk: Desk): void {
  const {runs} = desk;
  runs.edit(
    {id: "mud-without-base", defect: "story", what: "NADF: oil or synthetic?"},
    "Fluid",
    6,
    () => "NADF",
    (run) => uneventful(run) && run.mud === "OBM",
  );
  runs.edit(
    {id: "two-digit-year", defect: 6, what: "year in two digits"},
    "Date In Hole",
    5,
    (text) => text.replace("/20", "/"),
    uneventful,
  );
  runs.edit(
    {id: "broken-formula", defect: 38, what: "a broken formula"},
    "Mud Weight (ppg)",
    2,
    () => "#REF!",
    uneventful,
  );
  runs.edit(
    {id: "broken-formula", defect: 38, what: "a broken formula"},
    "Pump Rate (gpm)",
    1,
    () => "#DIV/0!",
    uneventful,
  );
  runs.edit(
    {id: "unit-mixed", defect: 1, what: "SG in a ppg column"},
    "Mud Weight (ppg)",
    3,
    (_, {density}) => (density / 1000).toFixed(2),
    uneventful,
  );
  runs.edit(
    {id: "unit-mixed", defect: 1, what: "L/min in a gpm column"},
    "Pump Rate (gpm)",
    2,
    (_, {flow}) => String(flow),
    uneventful,
  );
  runs.edit(
    {id: "no-break-space", defect: 39, what: "a no-break space after the word"},
    "Fluid",
    3,
    (text) => `${text}\u00a0`,
    uneventful,
  );
  runs.edit(
    {id: "hours-with-text", defect: 14, what: "the unit stands in the cell"},
    "Circulating Hours",
    2,
    (text) => `${text} hrs`,
    uneventful,
  );
  runs.edit(
    {id: "negative-hours", defect: 22, what: "negative hours"},
    "Circulating Hours",
    1,
    (text) => `-${text}`,
    uneventful,
  );
  runs.edit(
    {id: "zero-hours", defect: 15, what: "nought for missing hours"},
    "Circulating Hours",
    1,
    () => "0",
    uneventful,
  );
  runs.edit(
    {id: "letter-for-digit", defect: 9, what: "letter O in place of nought"},
    "Serial",
    1,
    (text) => text.replace("0", "O"),
    (run) => uneventful(run) && run.tool.includes("0"),
  );
  const fine = runs.pick((run) => uneventful(run) && run.circulating > 60);
  runs.write(fine.row, "Failure Hour", (fine.truth.circulating / 2).toFixed(1), {
    id: "ok-with-failure",
    defect: 34,
    what: "OK beside an hour of failure",
  });
  const formula = runs.pick(uneventful);
  runs.write(formula.row, "Notes", "=see job file", {
    id: "formula-text",
    defect: 42,
    what: "a comment that starts like a formula",
  });
  runs.repeatRow({id: "duplicate", defect: 19, what: "a row above it, entered twice"}, uneventful);
  runs.addRow(
    {id: "totals", defect: 17, what: "a totals line"},
    {
      "Run Number": "Total",
      "Circulating Hours": totalHours(desk).toFixed(1),
    },
  );
}

function plantRebuilds({rebuilds, records}: Desk): void {
  const eroded = (row: GrownInspection): boolean => row.mode === "TIPP-ERO" || row.mode === "ORIF-ERO";
  const washed = (row: GrownInspection): boolean => row.mode === "HLXS-ERO" || row.mode === "LINR-ERO";
  rebuilds.edit({id: "erotion", defect: "story", what: "erosion misspelt"}, "Defect", 3, () => "erotion", eroded);
  rebuilds.edit({id: "washd", defect: 32, what: "washed misspelt"}, "Defect", 2, () => "washd", washed);
  rebuilds.edit(
    {id: "two-modes", defect: 33, what: "two modes in one cell"},
    "Defect",
    2,
    () => "erosion / edge chipped",
    eroded,
  );
  rebuilds.edit(
    {id: "unknown-mode", defect: 32, what: "a word that names no mode"},
    "Defect",
    2,
    () => "gunked",
    (row) => row.found === "worn" && !eroded(row) && !washed(row),
  );
  const sound = rebuilds.pick((row) => kept(row) && row.component === "TIPP");
  rebuilds.write(sound.row, "Defect", "erosion", {id: "ok-with-mode", defect: 34, what: "OK beside a defect"});
  rebuilds.edit(
    {id: "no-serial", defect: 31, what: "replaced, and no serial of the new part"},
    "Part Serial No",
    12,
    () => "",
    (row) => row.action === "renewed" && row.partBefore >= 0,
  );
  rebuilds.edit(
    {id: "scientific-serial", defect: 11, what: "a serial turned into a number"},
    "Part Serial No",
    1,
    () => "1.2E+05",
    kept,
  );
  rebuilds.edit({id: "missing-word", defect: 15, what: "a word for nothing"}, "Reading (in)", 8, () => "N/A", kept);
  dateTooEarly(rebuilds, records.inspections);
  rebuilds.repeatRow({id: "duplicate", defect: 19, what: "a row above it, entered twice"}, kept);
  rebuilds.repeatHeader([0.3, 0.65]);
}

/** One whole rebuild of Basalt dated a month before the run it followed. */
function dateTooEarly(rebuilds: Planter<GrownInspection>, inspections: readonly GrownInspection[]): void {
  const quiet = (row: GrownInspection): boolean => {
    const date = new Date(row.date);
    return (
      date.getUTCMonth() > 0 &&
      date.getUTCDate() < 28 &&
      inspections.every((one) => one.rebuild !== row.rebuild || !one.endedRun) &&
      inspections.every((one) => one.rebuild !== row.rebuild || one.partBefore >= 0)
    );
  };
  const {truth} = rebuilds.pick((row) => row.component === "SEAL" && quiet(row));
  for (const row of inspections.filter(({rebuild}) => rebuild === truth.rebuild)) {
    const sheetRow = rebuilds.rowOf(row);
    rebuilds.reserve(sheetRow);
    const date = new Date(row.date);
    const early = `${date.getUTCMonth()}/${date.getUTCDate()}/${date.getUTCFullYear()}`;
    rebuilds.write(sheetRow, "Service Date", early, {
      id: "rebuild-too-early",
      defect: 26,
      what: "the rebuild is dated a month early, before the runs it followed",
    });
  }
}
