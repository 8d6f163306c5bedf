import fc from "fast-check";
import {strToU8, zipSync} from "fflate";
import {describe, expect, it} from "vitest";
import {isPack, packName} from "../../src/workspace/fileRoles.ts";
import {pack, unpack} from "../../src/workspace/pack.ts";
import {joined} from "../logs/zipFiles.ts";

const AT = new Date("2026-11-26T12:00:00Z");
const zip = (files: Readonly<Record<string, string>>): Uint8Array =>
  zipSync(Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)])));
const namesOf = (archive: Uint8Array): string[] | undefined => unpack(archive).files?.map(({name}) => name);

/** The directory at the end of the archive, with the unpacked size of every file changed. */
function withSizes(archive: Uint8Array, size: number): Uint8Array {
  const changed = archive.slice();
  const view = new DataView(changed.buffer);
  for (let at = 0; at + 46 < changed.length; at++)
    if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 24, size, true);
  return changed;
}

describe("pack(files), unpack(archive)", () => {
  it("gives back every file, byte for byte", () => {
    const name = fc.constantFrom(
      "runs.csv",
      "rebuilds.2024.csv",
      "settings.yaml",
      "register.yaml",
      "analyses/05-mine.md",
      "notes.txt",
      "runs.xlsx",
      // a name like another, though every object of a program has a member of that name
      "__proto__",
      "constructor",
    );
    const file = fc.record({name, bytes: fc.uint8Array({maxLength: 300})});
    const files = fc.uniqueArray(file, {selector: ({name}) => name, minLength: 1});
    fc.assert(
      fc.property(files, (given) => {
        const whole = [
          ...given.filter(({name: one}) => one !== "runs.csv"),
          {name: "runs.csv", bytes: given[0]!.bytes},
        ];
        const {files: back} = unpack(joined(pack(whole, AT)));
        expect(back).toEqual(whole);
      }),
      {numRuns: 60, seed: 4},
    );
  });

  it("is called by its day", () => {
    expect(packName("2026-11-26")).toBe("wearbook-2026-11-26.zip");
    expect(isPack("Wearbook-2026-11-26.ZIP")).toBe(true);
    expect(isPack("runs.csv")).toBe(false);
  });

  it("takes a folder that was packed as a whole, and names as people write them", () => {
    const archive = zip({
      "Shop/Runs.csv": "1",
      "Shop/Settings.yml": "2",
      "Shop/analyses/a.md": "3",
      "Shop/.DS_Store": "",
    });
    expect(namesOf(archive)).toEqual(["Runs.csv", "settings.yaml", "analyses/a.md"]);
    expect(namesOf(zip({"analyses/a.md": "", "analyses/b.md": ""}))).toEqual(["analyses/a.md", "analyses/b.md"]);
  });

  it.each([
    "../runs.csv",
    "a/../../runs.csv",
    "/runs.csv",
    "C:\\runs.csv",
    "..\\runs.csv",
    "a//runs.csv",
    "ru\u0000ns.csv",
  ])("leaves out what leads out of the folder, and says so: %j", (name) => {
    const {files, told} = unpack(zip({[name]: "x", "rebuilds.csv": "y"}));
    expect(files?.map((file) => file.name)).toEqual(["rebuilds.csv"]);
    expect(told[0]).toContain("leads out of the folder");
  });

  it("so does what leads out once the folder it was packed in is taken away", () => {
    const {files, told} = unpack(zip({"Shop/C:/runs.csv": "x", "Shop/rebuilds.csv": "y"}));
    expect(files?.map((file) => file.name)).toEqual(["rebuilds.csv"]);
    expect(told[0]).toBe("Shop/C:/runs.csv was left out: its name leads out of the folder.");
  });

  it("keeps and names what nobody reads, and tells of a missing log", () => {
    const {files, told} = unpack(zip({"runs.csv": "", "photo.png": "", "docs/readme.txt": ""}));
    expect(files).toHaveLength(3);
    expect(told).toEqual([
      "It holds no rebuild log: no file named rebuilds.*",
      "Kept with the rest, though nothing here reads it: photo.png, docs/readme.txt.",
    ]);
    expect(unpack(zip({"settings.yaml": ""})).told[0]).toContain("no run log and no rebuild log");
  });

  it("takes the tables of a zip that is no workspace for logs, whatever their names and folders, and names the rest", () => {
    const {files, told} = unpack(
      zip({
        "export/2024/Alder shop.csv": "1",
        "export/2024/teardowns.tsv": "2",
        "export/2023/teardowns.tsv": "3",
        "export/photo.png": "4",
        "export/older.zip": "5",
        "__MACOSX/export/._photo.png": "",
        "export/.DS_Store": "",
      }),
    );
    expect(files?.map(({name}) => name)).toEqual(["Alder shop.csv", "teardowns.2024.tsv", "teardowns.2023.tsv"]);
    expect(told).toEqual([
      "export/older.zip is a zip file within the zip file: open it by itself.",
      "Left out, since they are no logs: photo.png.",
      "export/2024/Alder shop.csv is kept as Alder shop.csv.",
      "export/2024/teardowns.tsv is kept as teardowns.2024.tsv.",
      "export/2023/teardowns.tsv is kept as teardowns.2023.tsv.",
    ]);
  });

  it("takes logs in folders of a workspace, one for each year, beside the others", () => {
    const {files, told} = unpack(
      zip({
        "settings.yaml": "",
        "2023/runs.csv": "a",
        "2024/runs.csv": "b",
        "2024/rebuilds.csv": "c",
        "docs/x.txt": "",
      }),
    );
    expect(files?.map(({name}) => name)).toEqual([
      "settings.yaml",
      "runs.2023.csv",
      "runs.2024.csv",
      "rebuilds.csv",
      "docs/x.txt",
    ]);
    expect(told).toHaveLength(4);
    expect(told.at(-1)).toBe("Kept with the rest, though nothing here reads it: docs/x.txt.");
  });

  it("of two files that are the same to a workspace the first counts, and the second is named", () => {
    const {files, told} = unpack(zip({"settings.yaml": "level: 0.9", "Settings.yml": "level: 0.8", "runs.csv": ""}));
    expect(files?.map(({name}) => name)).toEqual(["settings.yaml", "runs.csv"]);
    expect(told).toContain("Settings.yml was left out: settings.yaml stands in the zip file twice.");
  });

  it("refuses what says it unpacks to more than a machine can hold, and unpacks nothing beyond what it says", () => {
    const bomb = zipSync({"runs.csv": new Uint8Array(5_000_000)});
    expect(unpack(withSizes(bomb, 0xfffffff0)).refused).toBe("it would unpack to more than 2000 MB");
    const {files, refused} = unpack(withSizes(bomb, 1000));
    expect(refused !== null || (files?.[0]?.bytes.length ?? 0) <= 1000).toBe(true);
    expect(unpack(zip(Object.fromEntries(Array.from({length: 5000}, (_, i) => [`${i}.txt`, ""])))).refused).toContain(
      "4096 files",
    );
  });

  it("refuses what is no zip file, or half of one", () => {
    const whole = zip({"runs.csv": "run,tool\n".repeat(500)});
    for (const bytes of [new Uint8Array(0), strToU8("run,tool\n"), whole.subarray(0, whole.length / 2)]) {
      expect(unpack(bytes)).toEqual({
        files: null,
        told: [],
        refused: "it has no directory: it is cut off, or no zip file",
      });
    }
  });

  it("survives any damage of a byte", () => {
    const whole = joined(pack([{name: "runs.csv", bytes: strToU8("run,tool\n1,2\n".repeat(40))}], AT));
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.nat(255), (at, byte) => {
        const changed = whole.slice();
        changed[at] = byte;
        const {files, refused} = unpack(changed);
        expect(files === null).toBe(refused !== null);
      }),
      {numRuns: 300, seed: 4},
    );
  });
});
