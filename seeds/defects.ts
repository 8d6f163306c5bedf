/**
 * What is wrong in the demo files, on purpose: the scenario's stories and a believable sprinkle of what real
 * spreadsheets hold. The numbers are those of the trade notes' list of spreadsheet defects.
 */
import type {Grown, GrownInspection, GrownRun} from "./grow.ts";
import {Planter} from "./Planter.ts";
import {Random} from "./Random.ts";
import type {FleetName} from "./scenario.ts";
import type {Sheet} from "./Sheet.ts";
import {claimSerialTwice, loseRun, swapSerials} from "./stories.ts";

export interface FleetLogs {
  readonly fleet: FleetName;
  readonly runs: Sheet;
  readonly rebuilds: Sheet;
}

interface Desk {
  readonly runs: Planter<GrownRun>;
  readonly rebuilds: Planter<GrownInspection>;
  readonly records: {readonly runs: readonly GrownRun[]; readonly inspections: readonly GrownInspection[]};
  readonly grown: Grown;
}

const DAY = 86_400_000;
/** Day 0 of a spreadsheet's calendar (1900 system). */
const SHEET_EPOCH = Date.UTC(1899, 11, 30);

const uneventful = (run: GrownRun): boolean => run.outcome === "completed";
const kept = (row: GrownInspection): boolean => row.action === "kept" && row.found === "good";

/** Changes the sheets in place. */
export function plantDefects(grown: Grown, logs: readonly FleetLogs[]): void {
  const plant: Record<FleetName, (desk: Desk) => void> = {Alder: plantAlder, Basalt: plantBasalt, Cobalt: plantCobalt};
  for (const {fleet, runs, rebuilds} of logs) {
    const dice = new Random(`${grown.seed}/${fleet}/defects`);
    const records = {
      runs: grown.runs.filter((run) => run.fleet === fleet),
      inspections: grown.inspections.filter((row) => row.fleet === fleet),
    };
    plant[fleet]({
      grown,
      records,
      runs: new Planter(runs, records.runs, dice.stream("runs")),
      rebuilds: new Planter(rebuilds, records.inspections, dice.stream("rebuilds")),
    });
  }
}

function plantAlder({runs, rebuilds, records}: Desk): void {
  const hours = "Circ Hrs";
  loseRun(runs, rebuilds, records, "Part Hours");
  runs.edit(
    {id: "hours-with-text", defect: 14, what: "the unit stands in the cell"},
    hours,
    3,
    (text) => `${text} hrs`,
    uneventful,
  );
  runs.edit(
    {id: "about", defect: 14, what: "a guess with a tilde"},
    hours,
    1,
    (text) => `~${Math.round(Number(text))}`,
    uneventful,
  );
  runs.edit(
    {id: "serial-case", defect: 9, what: "serial in lower case"},
    "Tool SN",
    3,
    (text) => text.toLowerCase(),
    uneventful,
  );
  runs.edit(
    {id: "serial-spaces", defect: 9, what: "spaces around the serial"},
    "Tool SN",
    3,
    (text) => ` ${text} `,
    uneventful,
  );
  runs.edit({id: "missing-word", defect: 15, what: "a word for nothing"}, "Sand [%]", 6, () => "N/A", uneventful);
  runs.edit({id: "missing-dash", defect: 15, what: "a dash for nothing"}, "LCM [kg/m3]", 5, () => "-", uneventful);
  runs.edit({id: "missing-mark", defect: 15, what: "a question mark for nothing"}, "PV [cP]", 2, () => "?", uneventful);
  runs.edit(
    {id: "sand-slip", defect: 36, what: "decimal point lost: sand in hundredths"},
    "Sand [%]",
    2,
    sandSlip,
    sandy,
  );
  runs.edit(
    {id: "fahrenheit", defect: 3, what: "degF under a degC header"},
    "Max Temp [degC]",
    1,
    (_, {temperature}) => String(Math.round(temperature * 1.8 + 32)),
    ({temperature, outcome}) => temperature > 95 && outcome === "completed",
  );
  runs.edit(
    {id: "sheet-date", defect: 4, what: "the spreadsheet's day number in place of a date"},
    "Run Start",
    2,
    (_, {start}) => ((start - SHEET_EPOCH) / DAY).toFixed(5),
    uneventful,
  );
  runs.edit(
    {id: "end-before-start", defect: 8, what: "the end is typed a year early"},
    "Run End",
    1,
    (text) => text.replace("2025", "2024"),
    (run) =>
      uneventful(run) &&
      new Date(run.start).getUTCMonth() > 2 &&
      new Date(run.end).getUTCFullYear() === 2025 &&
      new Date(run.start).getUTCFullYear() === 2025,
  );
  runs.edit(
    {id: "more-than-elapsed", defect: 25, what: "decimal point lost: more hours than the run lasted"},
    hours,
    1,
    (_, {circulating}) => String(Math.round(circulating * 10)),
    (run) => uneventful(run) && run.circulating > 30 && run.circulating < 60 && run.circulating % 1 !== 0,
  );
  runs.repeatRow({id: "duplicate", defect: 19, what: "the row before it, entered twice"}, uneventful);
  runs.repeatRow({id: "near-duplicate", defect: 20, what: "the same run with another comment"}, uneventful, {
    column: "Remarks",
    text: () => "see run sheet",
  });
  runs.repeatHeader([0.35, 0.7]);
  runs.addRow(
    {id: "totals", defect: 17, what: "a totals line"},
    {"Run No": "TOTAL", [hours]: String(Math.round(records.runs.reduce((sum, run) => sum + run.circulating, 0)))},
  );
  runs.addRow({id: "signature", defect: 17, what: "a signature line"}, {"Run No": "checked: KV"});

  rebuilds.edit({id: "missing-word", defect: 15, what: "a word for nothing"}, "Measured [mm]", 8, () => "n/a", kept);
  rebuilds.edit(
    {id: "unit-in-cell", defect: 14, what: "the unit stands in the cell"},
    "Measured [mm]",
    4,
    (text) => `${text} mm`,
    kept,
  );
  rebuilds.edit(
    {id: "serial-spaces", defect: 9, what: "spaces around the serial"},
    "Tool SN",
    2,
    (text) => `${text}  `,
    kept,
  );
  rebuilds.repeatRow({id: "duplicate", defect: 19, what: "a row above it, entered twice"}, kept);
  rebuilds.repeatHeader([0.5]);
}

function plantBasalt({runs, rebuilds, records}: Desk): void {
  swapSerials(runs, records.runs, "Serial");
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
      "Circulating Hours": records.runs.reduce((sum, run) => sum + run.circulating, 0).toFixed(1),
    },
  );

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

function plantCobalt({runs, rebuilds, records, grown}: Desk): void {
  claimSerialTwice(rebuilds, records.inspections, grown.parts.Cobalt, "Part S/N");
  const hours = "Circ h";
  runs.edit(
    {id: "decimal-point", defect: 12, what: "a point in a column of commas"},
    hours,
    2,
    (text) => text.replace(",", "."),
    uneventful,
  );
  runs.edit(
    {id: "hours-with-text", defect: 14, what: "the unit stands in the cell"},
    hours,
    2,
    (text) => `${text} h`,
    uneventful,
  );
  runs.edit(
    {id: "month-word", defect: 6, what: "the month as a German word"},
    "Below Rotary",
    2,
    monthWord,
    ({start, outcome}) => outcome === "completed" && new Date(start).getUTCMonth() === 2,
  );
  runs.edit(
    {id: "mud-ambiguous", defect: 35, what: "a word that names no mud"},
    "Mud system",
    2,
    () => "mud",
    uneventful,
  );
  runs.edit({id: "mud-ambiguous", defect: 35, what: "water: ask"}, "Mud system", 1, () => "water", uneventful);
  runs.edit(
    {id: "serial-case", defect: 9, what: "serial in lower case"},
    "Tool S/N",
    3,
    (text) => text.toLowerCase(),
    uneventful,
  );
  runs.edit(
    {id: "serial-spaces", defect: 9, what: "a space before the serial"},
    "Tool S/N",
    2,
    (text) => ` ${text}`,
    uneventful,
  );
  runs.edit(
    {id: "sand-slip", defect: 36, what: "decimal comma lost: sand in hundredths"},
    "Sand [vol%]",
    1,
    sandSlip,
    sandy,
  );
  for (let i = 0; i < 2; i++) {
    const {row, truth} = runs.pick(uneventful);
    const swapped = {
      id: "clocks-swapped",
      defect: 24,
      what: "circulating and below-rotary hours in each other's column",
    } as const;
    const circulating = runs.cell(row, hours);
    runs.write(row, hours, truth.belowRotary.toFixed(1).replace(".", ","), swapped);
    row.cells[runs.sheet.column("BRT h")] = circulating;
  }
  runs.repeatRow({id: "duplicate", defect: 19, what: "a row above it, entered twice"}, uneventful);
  for (const share of [0.25, 0.6]) runs.addRow({id: "blank-row", defect: 17, what: "an empty row"}, {}, share);
  runs.addRow(
    {id: "totals", defect: 17, what: "a totals line"},
    {
      "Run ID": "Total",
      [hours]: records.runs
        .reduce((sum, run) => sum + run.circulating, 0)
        .toFixed(1)
        .replace(".", ","),
    },
  );

  rebuilds.edit(
    {id: "unit-in-cell", defect: 14, what: "the unit stands in the cell"},
    "Actual [mm]",
    3,
    (text) => `${text} mm`,
    kept,
  );
  rebuilds.edit({id: "missing-dash", defect: 15, what: "a dash for nothing"}, "Actual [mm]", 5, () => "-", kept);
  rebuilds.edit(
    {id: "part-misspelt", defect: 32, what: "a part code with a letter too many"},
    "Part",
    1,
    () => "LINNR",
    (row) => kept(row) && row.component === "LINR",
  );
  rebuilds.edit(
    {id: "part-unknown", defect: 32, what: "a part that is none of ours"},
    "Part",
    1,
    () => "battery",
    (row) => kept(row) && row.component === "SPRG",
  );
  rebuilds.edit({id: "no-action", defect: 15, what: "nothing says what was done"}, "Disposition", 1, () => "", kept);
  rebuilds.repeatRow({id: "duplicate", defect: 19, what: "a row above it, entered twice"}, kept);
  rebuilds.repeatHeader([0.5]);
}

const sandy = (run: GrownRun): boolean => uneventful(run) && run.sand > 0.1;
const sandSlip = (_: string, {sand}: GrownRun): string => String(Math.round(sand * 100));
const monthWord = (text: string): string => text.replace(".03.", ". März ");
