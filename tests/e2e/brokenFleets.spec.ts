/** Three fleets as a new user has them, each broken in its own way: loaded, asked about, answered, and loaded again. */
import type {Page} from "@playwright/test";
import {dayOf, STYLES, workbook, type TestCell} from "../logs/workbook.ts";
import {expect, read, settled, test} from "./watched.ts";

interface GivenFile {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}

const day = (month: number, date: number): string =>
  `${new Date(Date.UTC(2023, month, date)).getUTCFullYear()}-${String((month % 12) + 1).padStart(2, "0")}-${String(date).padStart(2, "0")}`;
const text = (name: string, lines: readonly string[]): GivenFile => ({
  name,
  mimeType: "text/csv",
  buffer: Buffer.from(lines.join("\r\n")),
});
const MONTHS = Array.from({length: 20}, (_, i) => i);

/** One workbook: merged headers over two rows, dates as bare day numbers, the shop's own words for parts. */
function mergedBook(): GivenFile[] {
  const runRows = MONTHS.map((i): TestCell[] => [
    String(i),
    `K${i % 3}`,
    dayOf(day(i, 2)),
    {day: dayOf(day(i, 8)), style: STYLES.date},
    60.5 + i,
    1.2,
    "slick brew",
  ]);
  const rebuildRows = MONTHS.map((i): TestCell[] => [
    `K${i % 3}`,
    {day: dayOf(day(i, 14)), style: STYLES.date},
    "Lip seal",
    i % 5 === 4 ? "failed" : "OK",
    i % 5 === 4 ? "munched" : null,
    "Replaced",
  ]);
  const bytes = workbook([
    {
      name: "Runs",
      rows: [
        ["Alder runs 2023"],
        ["Run", "Tool", "Run", null, "Circ", "Mud", null],
        ["No", "Serial", "Start", "End", "Hours", "Weight (SG)", "Type"],
        ...runRows,
        ["Total", null, null, null, 1400],
      ],
      merges: ["C2:D2", "F2:G2"],
    },
    {name: "Teardowns", rows: [["Tool S/N", "Teardown Date", "Part", "Found", "Defect", "Action"], ...rebuildRows]},
  ]);
  return [{name: "Alder 2023.xlsx", mimeType: "application/zip", buffer: Buffer.from(bytes)}];
}

/** Two CSVs: decimal commas, days and months in an order that nothing says, an hour column nobody knows. */
function commaFiles(): GivenFile[] {
  const slashed = (month: number, date: number): string =>
    `0${date}/${String((month % 12) + 1).padStart(2, "0")}/${23 + Math.floor(month / 12)}`;
  return [
    text("runs Basalt 2024-05.csv", [
      "Run No;Tool SN;Run End;Pump time;Mud",
      ...MONTHS.map((i) => `${i};B${i % 3};${slashed(i, 8)};${60 + i},5;NADF`),
    ]),
    text("rebuilds Basalt 2024-05.csv", [
      "Tool S/N;Teardown Date;Part;Found;Defect;Action",
      ...MONTHS.map((i) => `B${i % 3};${slashed(i, 9)};Lip seal;${i % 5 === 4 ? "failed;abraded" : "OK;"};Replaced`),
    ]),
  ];
}

/** Two TSVs: gal/min among L/min, a part nobody knows, a serial with O for 0. */
function mixedFiles(): GivenFile[] {
  return [
    text("runs.Cobalt.tsv", [
      "Run No\tTool SN\tRun End\tCirc Hrs\tFlow Rate\tMud Type",
      ...MONTHS.map(
        (i) => `${i}\t${i === 7 ? "C1O1" : "C101"}\t${day(i, 8)}\t${60 + i}\t${i % 4 === 0 ? 450 + i : 1700 + i}\tOBM`,
      ),
    ]),
    text("rebuilds.Cobalt.tsv", [
      "Tool S/N\tTeardown Date\tPart\tFound\tDefect\tAction",
      ...MONTHS.map((i) => `C101\t${day(i, 14)}\t${i % 2 === 0 ? "poppit tipp" : "Lip seal"}\tOK\t\tReplaced`),
    ]),
  ];
}

async function choose(page: Page, files: GivenFile[]): Promise<void> {
  await page.getByLabel("Choose files").setInputFiles(files);
  await expect(page.getByText("stop reading")).toHaveCount(0, {timeout: 30_000});
}

async function readAgain(page: Page): Promise<void> {
  await page.getByRole("button", {name: "Read the files again with them"}).click();
  await expect(page.getByText("stop reading")).toHaveCount(0, {timeout: 30_000});
}

test("three broken fleets are loaded, asked about and answered; next month's export asks nothing", async ({page}) => {
  test.setTimeout(120_000);
  await read(page, "logs-and-findings");

  await choose(page, mergedBook());
  await expect(page.getByText(/20 runs and 20 rebuild rows/)).toBeVisible({timeout: 30_000});
  await page.getByRole("combobox", {name: /the mud "slick brew"/}).selectOption("OBM");
  await page.getByRole("combobox", {name: /the defect "munched" on the seal/}).selectOption("SEAL-ABR");
  await readAgain(page);
  await expect(page.getByText(/that only you can answer/)).toHaveCount(0, {timeout: 30_000});

  // nothing can be used before the answers, and nothing is lost
  await choose(page, commaFiles());
  await expect(page.getByRole("heading", {name: /questions that only you can answer/})).toBeVisible({timeout: 30_000});
  // what waits behind the missing column is asked in the same round
  await page.getByRole("combobox", {name: /the mud "NADF"/}).selectOption("SBM");
  await readAgain(page);
  await expect(page.getByText(/20 runs and 20 rebuild rows/)).toBeVisible({timeout: 30_000});
  await expect(page.getByText(/that only you can answer/)).toHaveCount(0);
  await page.getByText(/^What is remembered about these files/).click();
  const mapping = await page.getByLabel("text of mapping.yaml").inputValue();
  const june = commaFiles().map((file) => ({...file, name: file.name.replace("05", "06")}));
  await choose(page, [...june, {name: "mapping.yaml", mimeType: "text/yaml", buffer: Buffer.from(mapping)}]);
  await expect(page.getByText(/Open now:.*runs Basalt 2024-06\.csv/)).toBeVisible({timeout: 30_000});
  await expect(page.getByText(/that only you can answer/)).toHaveCount(0);

  await choose(page, mixedFiles());
  await expect(page.getByText(/Open now:.*runs\.Cobalt\.tsv/)).toBeVisible({timeout: 30_000});
  await page.getByRole("radio", {name: "one tool: C1O1 is C101"}).check();
  await readAgain(page);
  await expect(page.getByText(/20 runs and 20 rebuild rows/)).toBeVisible({timeout: 30_000});
  await settled(page);
});
