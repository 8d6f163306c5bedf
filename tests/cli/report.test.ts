/** `report FOLDER --out DIR`: the pages it writes, what it says, and that its numbers are the page's. */
import {mkdir, readdir, readFile, writeFile} from "node:fs/promises";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import {parseHTML} from "linkedom";
import {describe, expect, it} from "vitest";
import {Answerer} from "../../src/app/worker/Answerer.ts";
import {figureTable} from "../../src/cells/figureTable.ts";
import {shownColumns} from "../../src/cells/shownColumns.ts";
import {markdownIn} from "../../src/cli/folder.ts";
import {terminal} from "../../src/cli/terminal.ts";
import {readAnalysis} from "../../src/notebook/index.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {folderOf, wearbook} from "./terminal.ts";

const house = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

const RUNS = [
  "run,tool,fleet,start,end,circulating_h,mud,flow_lpm,bore_mm,tool_od_mm,outcome,failed_at_h",
  "R1,T1,North,2024-01-02,2024-01-06,60,OBM,1700,82.55,47.63,completed,",
  "R2,T1,North,2024-01-10,2024-01-14,70,OBM,1700,82.55,47.63,failed downhole,50",
  "R3,T1,North,2024-02-01,2024-02-05,40,OBM,1700,82.55,47.63,completed,",
].join("\n");
const REBUILDS = [
  "tool,date,component,found,mode,ended_run,action",
  "T1,2024-01-01,SEAL,good,,no,renewed",
  "T1,2024-01-20,SEAL,failed,SEAL-ABR,yes,renewed",
].join("\n");
const SEALS =
  "---\ntitle: Our seals\nquestion: What ends them?\n---\n\nWords.\n\n~~~cell pareto\ncomponent: seals\n~~~\n";

async function shop(analyses: Readonly<Record<string, string>>): Promise<string> {
  const folder = await folderOf({"runs.csv": RUNS, "rebuilds.csv": REBUILDS});
  await mkdir(join(folder, "analyses"));
  for (const [name, text] of Object.entries(analyses)) await writeFile(join(folder, "analyses", name), text);
  return folder;
}

describe("report FOLDER --out DIR", () => {
  it("answers for the job that is picked; a choice that no page asks for is told", async () => {
    const review = "---\ntitle: Review\nquestion: What happened?\n---\n\n~~~cell job-verdict\n~~~\n";
    const folder = await shop({"review.md": review});
    const out = join(folder, "out");
    expect((await wearbook("report", folder, "--out", out, "--no-png", "--own", "--pick", "run=R1")).code).toBe(0);
    expect(await readFile(join(out, "review.html"), "utf8")).toContain("Run R1 with T1 was completed");
    const wrong = await wearbook("report", folder, "--out", out, "--pick", "rn=R1");
    expect(wrong.code).toBe(2);
    expect(wrong.err).toMatch(/no page asks for “rn”/);
    expect((await wearbook("report", folder, "--out", out, "--pick", "R1")).code).toBe(2);
  });

  it("writes pages that need no script and nothing from elsewhere, figures as SVG and PNG, tables as CSV, exit 0", async () => {
    const folder = await shop({"seals.md": SEALS.replace("Words.", "Words <script>alert(1)</script>.")});
    const out = join(folder, "out");
    const {code, out: said} = await wearbook("report", folder, "--out", out, "--own");
    expect(code).toBe(0);
    expect(said).toMatch(/^1 pages?, 1 cells? \(all answered\), 1 figures?: /);
    const names = await readdir(out);
    for (const ending of ["seals.html", "index.html", "pareto.svg", "pareto.png", "pareto.csv", "causes.csv"])
      expect(
        names.some((name) => name.endsWith(ending)),
        ending,
      ).toBe(true);
    const page = await readFile(join(out, "seals.html"), "utf8");
    expect(page).not.toContain("<script");
    expect(page).toContain("&lt;script&gt;");
    expect(page).not.toMatch(/(src|href)="https?:|url\(http/);
    expect(page).toContain("font/woff2;base64,");
    expect(page).toMatch(/default-src 'none'/);
    const {document} = parseHTML(page);
    expect(document.querySelector("h1")?.textContent).toBe("Our seals");
    expect(document.querySelector("figure svg")?.getAttribute("aria-label")).toBeTruthy();
    for (const link of document.querySelectorAll("a"))
      expect(names, "every file that a page links to is there").toContain(link.getAttribute("href"));
    const png = await readFile(
      join(
        out,
        names.find((name) => name.endsWith(".png"))!,
      ),
    );
    // PNG (ISO/IEC 15948), 5.2 and 11.2.2: signature, then the width in IHDR; twice the picture's size
    expect([...png.subarray(0, 4)]).toEqual([137, 80, 78, 71]);
    expect(png.readUInt32BE(16)).toBe(2 * (860 + 32));
    const index = parseHTML(await readFile(join(out, "index.html"), "utf8")).document;
    expect(index.querySelector(".index li")?.textContent).toContain("What ends them?");
    expect(index.querySelector(".index li")?.textContent).toContain("1 failure");
  });

  it("writes the rest when a cell cannot be computed, names it on stderr and on the page, exit 1", async () => {
    const folder = await shop({"seals.md": SEALS, "wrong.md": "# Wrong\n\n~~~cell paretto\n~~~\n"});
    const out = join(folder, "out");
    const {code, err, out: said} = await wearbook("report", folder, "--out", out, "--own");
    expect(code).toBe(1);
    expect(err).toMatch(/wrong\.md: line 3: .*paretto/);
    expect(said).toContain("2 pages, 2 cells (1 not computed)");
    expect(await readFile(join(out, "wrong.html"), "utf8")).toContain("This cell was not computed.");
    expect(await readFile(join(out, "seals.html"), "utf8")).toContain("Our seals");
    expect(await readFile(join(out, "index.html"), "utf8")).toContain("1 cell could not be computed");
  });

  it("--only and --fleet narrow it; a page or a fleet that is not there is a sentence, exit 1", async () => {
    const folder = await shop({"seals.md": SEALS, "b.md": "# Other\n"});
    const out = join(folder, "out");
    const {code} = await wearbook(
      "report",
      folder,
      "--out",
      out,
      "--own",
      "--only",
      "seal",
      "--fleet",
      "North",
      "--no-png",
    );
    expect(code).toBe(0);
    const names = await readdir(out);
    expect(names).not.toContain("b.html");
    expect(names.filter((name) => name.endsWith(".png"))).toEqual([]);
    expect(await readFile(join(out, "seals.html"), "utf8")).toContain("filters: fleet North");
    expect((await wearbook("report", folder, "--out", out, "--fleet", "South")).err).toContain("the logs know North");
    expect((await wearbook("report", folder, "--out", out, "--own", "--only", "liner")).err).toContain(
      "there are b, seals",
    );
    expect((await wearbook("report", folder, "--out", out, "--from", "2024-02-30")).code).toBe(2);
  });

  it("lays the folder's own pages over those that come with Wearbook, as the page does; --own leaves those out", async () => {
    const shipped = (await readdir(house("analyses"))).filter((name) => /^\d.*\.md$/.test(name));
    const folder = await shop({
      "31-open-actions.md": SEALS,
      "70-mine.md": "# Mine\n",
      "contents.yaml": `order: [70-mine.md]\nleft_out: [${shipped.filter((name) => !/^3|^01/.test(name)).join(", ")}]\n`,
    });
    const out = join(folder, "out");
    const {code, out: said} = await wearbook("report", folder, "--out", out, "--no-png");
    expect(code).toBe(0);
    expect(said).toMatch(/^5 pages, /);
    const index = parseHTML(await readFile(join(out, "index.html"), "utf8")).document;
    const listed = [...index.querySelectorAll(".index li > a")].map((link) => link.getAttribute("href"));
    expect([...listed].sort()).toEqual(
      ["01-overview", "01-reading-guide", "30-job-review", "31-open-actions", "70-mine"].map((name) => `${name}.html`),
    );
    expect(await readFile(join(out, "31-open-actions.html"), "utf8")).toContain("Our seals");
    expect((await wearbook("report", folder, "--out", out, "--no-png", "--own")).out).toMatch(/^2 pages, /);
    const bare = await folderOf({"runs.csv": RUNS, "rebuilds.csv": REBUILDS});
    expect((await wearbook("report", bare, "--out", out, "--own")).err).toMatch(/--own: the folder has no page/);
  });

  // one fleet of the demo: all three would take longer than a test should
  it("prints the headlines and table rows that the page shows, for every analysis that comes with Wearbook", async () => {
    const names = ["rebuilds.alder.csv", "runs.alder.csv", "settings.yaml"];
    const files = await Promise.all(
      names.map(async (name) => ({name, bytes: new Uint8Array(await readFile(house(`data/${name}`)))})),
    );
    const folder = await folderOf(Object.fromEntries(files.map(({name, bytes}) => [name, bytes])));
    const out = join(folder, "out");
    expect((await wearbook("report", folder, "--out", out, "--no-png")).code).toBe(0);
    const opened = await openLogs(files, false, () => undefined);
    if (!opened.opened) throw new Error(opened.message);
    const page = new Answerer(opened.logs);
    const effects = {progress: () => undefined, signal: new AbortController().signal};
    const plain = (text: string) => text.replace(/\s+/g, " ").trim();
    for (const {name, text} of await markdownIn(house("analyses"))) {
      const {document} = parseHTML(await readFile(join(out, name.replace(".md", ".html")), "utf8"));
      const sections = [...document.querySelectorAll("section.answer")];
      const analysis = readAnalysis(text, name);
      const cells = analysis.blocks.filter((block) => block.type === "cell");
      expect(sections.length, name).toBe(cells.length);
      cells.forEach((cell, at) => {
        const answer = page.cell(
          {...cell, where: analysis.where, units: opened.logs.settings.units, picks: {}},
          effects,
        );
        if (!answer.answered) throw new Error(`${name}: ${answer.problem.message}`);
        const {headline, tables, figures} = answer.presentation;
        const lines = [...sections[at]!.querySelectorAll(".sign dt")].map((line) => line.textContent);
        expect(lines, name).toEqual(answer.presentation.signOff ?? []);
        const said = [...sections[at]!.querySelectorAll(".said p")].map((p) => p.textContent).join(" ");
        expect(plain(said), name).toBe(plain(headline));
        const behind = figures.flatMap((figure) => {
          const marks = figureTable(figure)?.columns.flatMap(({leads}) => leads?.marks ?? []) ?? [];
          return marks.length === 0 ? [] : [marks.slice(0, 60).flatMap((mark) => mark?.text ?? [])];
        });
        const rows = [...sections[at]!.querySelectorAll("figcaption details.rows")];
        expect(rows.length, name).toBe(behind.length);
        behind.forEach((texts, which) => {
          const cells = [...rows[which]!.querySelectorAll("td")].map((cell) => plain(cell.textContent ?? ""));
          for (const told of texts) expect(cells, name).toContain(plain(told));
        });
        const shown = [...sections[at]!.querySelectorAll("section > div.table:not(.side) table")].map((table) =>
          [...table.querySelectorAll("tbody tr")].map((row) =>
            [...row.querySelectorAll("td")].map((cell) => plain(cell.textContent ?? "")),
          ),
        );
        const grids = tables.filter(({columns}) => !((columns[0]?.values.length ?? 0) <= 2 && columns.length > 8));
        expect(shown.length, name).toBe(grids.length);
        grids.forEach((table, which) => {
          const columns = shownColumns(table);
          shown[which]!.slice(0, table.columns[0]!.values.length).forEach((row, index) =>
            expect(row, `${name}, ${table.title}`).toEqual(columns.map((column) => plain(column.text(index)))),
          );
        });
      });
    }
    expect(await readFile(join(out, "40-next-run.html"), "utf8")).toContain("<dt>bench lead, initials</dt>");
  }, 120_000);
});

describe("terminal(out, err)", () => {
  it("writes progress over itself on a terminal and line by line elsewhere", () => {
    const told = (isTTY: boolean) => {
      let text = "";
      const {progress, say} = terminal({write: () => true}, {write: (more) => (text += more), isTTY, columns: 12});
      progress?.("page 1 of 2: Seals");
      progress?.("page 2 of 2");
      say("done");
      return text;
    };
    expect(told(true)).toBe("page 1 of 2\r\u001b[Kpage 2 of 2\r\u001b[Kdone\n");
    expect(told(false)).toBe("page 1 of 2: Seals\npage 2 of 2\ndone\n");
  });
});
