/** Alder keeps good logs; what is wrong in them is small, but for a run that nobody logged. */
import {loseRun} from "../stories.ts";
import {kept, sandSlip, sandy, totalHours, uneventful, type Desk} from "./desk.ts";

const DAY = 86_400_000;
/** Day 0 of a spreadsheet's calendar (1900 system). */
const SHEET_EPOCH = Date.UTC(1899, 11, 30);

export function plantAlder(desk: Desk): void {
  const {runs, rebuilds, records} = desk;
  loseRun(runs, rebuilds, records, "Part Hours");
  plantRuns(desk);
  plantRebuilds(desk);
}

function plantRuns(desk: Desk): void {
  const {runs} = desk;
  const hours = "Circ Hrs";
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
    {"Run No": "TOTAL", [hours]: String(Math.round(totalHours(desk)))},
  );
  runs.addRow({id: "signature", defect: 17, what: "a signature line"}, {"Run No": "checked: KV"});
}

function plantRebuilds({rebuilds}: Desk): void {
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
