import {strToU8} from "fflate";
import {describe, expect, it} from "vitest";
import {crc32} from "../../src/logs/zip/crc32.ts";
import {unzipEntry, zipEntries, ZipTrouble} from "../../src/logs/zip/readZip.ts";
import {changed, END, FIELDS, headersOf, zip, zip64} from "./zipFiles.ts";

const GOOD = zip({"a.txt": "run,tool\n".repeat(400), "b.bin": new Uint8Array(300)});

const read = (archive: Uint8Array): Record<string, string> =>
  Object.fromEntries(
    zipEntries(archive, 100).map((entry) => [entry.name, new TextDecoder().decode(unzipEntry(archive, entry))]),
  );

function troubleOf(archive: Uint8Array): string {
  try {
    read(archive);
  } catch (error) {
    if (error instanceof ZipTrouble) return error.message;
    throw error;
  }
  return "";
}

describe("crc32(bytes)", () => {
  // the check value of CRC-32/ISO-HDLC, from memory; zlib's crc32 gives it and those below (Python 3: zlib.crc32(bytes(n)))
  it("gives the published check value", () => expect(crc32(strToU8("123456789"))).toBe(0xcbf43926));

  it("takes any length, four bytes at a time or not", () => {
    expect([0, 1, 2, 3, 4, 5].map((length) => crc32(new Uint8Array(length)))).toEqual([
      0x0, 0xd202ef8d, 0x41d912ff, 0xff41d912, 0x2144df1c, 0xc622f71d,
    ]);
  });
});

describe("zipEntries(archive), unzipEntry(archive, entry)", () => {
  it("read what was packed, stored or deflated, behind a remark, and with eight-byte sizes", () => {
    const text = "run,tool\n".repeat(400);
    expect(read(GOOD)).toEqual({"a.txt": text, "b.bin": "\0".repeat(300)});
    expect(read(zip({"a.txt": text, empty: ""}, 0))).toEqual({"a.txt": text, empty: ""});
    expect(read(zip64(GOOD))["a.txt"]).toBe(text);
    const remark = new Uint8Array(GOOD.length + 70).fill(65);
    remark.set(GOOD);
    new DataView(remark.buffer).setUint16(GOOD.length - 2, 70, true);
    expect(read(remark)["a.txt"]).toBe(text);
    expect(Object.keys(read(zip({"Öl.csv": ""})))).toEqual(["Öl.csv"]);
  });

  it.each([
    ["a wrong checksum", (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 16, 7, true)],
    ["a smaller size", (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 24, 900, true)],
    ["a larger size", (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 24, 4000, true)],
    ["a place outside", (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 42, 0xfffffff0, true)],
    ["a place elsewhere", (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 42, 3, true)],
    [
      "packed bytes beyond the end",
      (view: DataView, [at = 0]: readonly number[]) => view.setUint32(at + 20, 1e6, true),
    ],
  ])("refuse a file with %s", (_, change) => {
    expect(troubleOf(changed(GOOD, change))).toBe("a.txt in it is damaged");
  });

  it("tell a locked file and a way of packing that is not read from a damaged one", () => {
    const {flags, method} = FIELDS.directory;
    const locked = changed(GOOD, (view, [at = 0]) => view.setUint16(at + flags, 1, true));
    expect(troubleOf(locked)).toBe("a.txt in it is locked by a password");
    const other = changed(GOOD, (view, [at = 0]) => view.setUint16(at + method, 14, true));
    expect(troubleOf(other)).toBe("a.txt in it is packed in a way that is not read here");
  });

  it("refuse a directory that lists more or less than there is", () => {
    const [end = 0] = headersOf(GOOD, END).slice(-1);
    for (const count of [0, 1, 3, 9])
      expect(troubleOf(changed(GOOD, (view) => view.setUint16(end + 10, count, true)))).toBe(
        "its directory is damaged",
      );
    expect(troubleOf(changed(GOOD, (view) => view.setUint16(end + 10, 500, true)))).toBe(
      "it holds more than 100 files",
    );
    expect(troubleOf(GOOD.subarray(0, end))).toContain("no directory");
  });

  // 3 MB that unpack to 3 GB and call themselves 1 kB once kept a worker busy for 13 s: every byte was unpacked, and
  // thrown away
  it("stop at once when more comes out than the archive says, and make no room for more than could come out", () => {
    const bomb = zip({"a.txt": new Uint8Array(30_000_000)}, 9);
    const lying = (size: number): Uint8Array =>
      changed(bomb, (view, [at = 0]) => view.setUint32(at + FIELDS.directory.size, size, true));
    expect(troubleOf(lying(1000))).toBe("a.txt in it is damaged");
    expect(troubleOf(lying(2_000_000_000))).toBe("a.txt in it is damaged");
  });
});
