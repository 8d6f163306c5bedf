/** Cobalt: a serial claimed twice, clocks in each other's column, words that name no mud. */
import {claimSerialTwice} from "../stories.ts";
import {kept, sandSlip, sandy, totalHours, uneventful, type Desk} from "./desk.ts";

export function plantCobalt(desk: Desk): void {
  const {rebuilds, records, grown} = desk;
  claimSerialTwice(rebuilds, records.inspections, grown.parts.Cobalt, "Part S/N");
  plantRuns(desk);
  plantRebuilds(desk);
}

function plantRuns(desk: Desk): void {
  const {runs} = desk;
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
      [hours]: totalHours(desk).toFixed(1).replace(".", ","),
    },
  );
}

function plantRebuilds({rebuilds}: Desk): void {
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

const monthWord = (text: string): string => text.replace(".03.", ". März ");
