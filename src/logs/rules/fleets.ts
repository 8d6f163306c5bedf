/** The fleet of a file that has no column for it, and serials that two fleets share. */
import type {Draft} from "../draft.ts";
import type {FileAnswers} from "../options.ts";

/** A run log without a fleet column is of the fleet answered, else of the one its name ends in (`runs-Alder.csv`). */
export function fillFleet(draft: Draft, answers: FileAnswers): void {
  if (draft.log !== "runs" || draft.cellOf.has("fleet")) return;
  const fleet = answers.fleet ?? fleetOfName(draft.sheet.file);
  if (fleet === null) return;
  draft.texts.set("fleet", {codes: new Int32Array(draft.rows), words: [fleet]});
  if (answers.fleet === undefined)
    draft.note("file-fleet", {taken: fleet, message: `${draft.sheet.file} has no fleet column`});
}

/** Serials that two fleets share (`*-101` in the mapping) get the fleet of their row, or of their file, for the star. */
export function tellFleetsApart(draft: Draft, serials: Readonly<Record<string, string>>, answers: FileAnswers): void {
  const shared = new Map(Object.values(serials).flatMap((means) => (means.includes("*") ? [[means, means]] : [])));
  const tools = draft.texts.get("tool");
  if (shared.size === 0 || tools === undefined) return;
  const fleetOfFile = answers.fleet ?? fleetOfName(draft.sheet.file);
  let rows = 0;
  for (let row = 0; row < draft.rows; ++row) {
    const serial = draft.text("tool", row);
    if (serial === null || !shared.has(serial)) continue;
    const fleet = draft.text("fleet", row) ?? fleetOfFile;
    if (fleet === null) {
      draft.tell("serial-fleet-unknown", row, {
        column: "tool",
        message: `${draft.raw("tool", row) ?? ""} is a serial of two fleets, and nothing says of which this row is`,
      });
      continue;
    }
    const own = serial.replace("*", fleet.toUpperCase());
    const code = tools.words.indexOf(own);
    tools.codes[row] = code >= 0 ? code : tools.words.push(own) - 1;
    ++rows;
  }
  if (rows === 0) return;
  const message = `${rows} row${rows === 1 ? "" : "s"} of ${draft.headerOf("tool")} hold serials of two fleets`;
  draft.note("serial-of-fleet", {column: "tool", taken: "fleet and serial", message});
}

/** What stands behind `runs` or `rebuilds` in a file name, where it is a name and neither a year nor a word about the file. */
function fleetOfName(file: string): string | null {
  const bare = file.replace(/ \[.*\]$/, "").replace(/\.[a-z]{3,7}$/i, "");
  const name = /^(?:runs?|rebuilds?)[-_. ]+(.+)$/i.exec(bare)?.[1]?.replace(/[_.]/g, " ").trim() ?? "";
  if (name.length < 2 || /\d|^(log|all|export|data|new|old|final|copy|sheet|fixed|test)\b/i.test(name)) return null;
  return name[0]!.toUpperCase() + name.slice(1);
}
