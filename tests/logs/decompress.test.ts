import {gzipSync, strToU8} from "fflate";
import {describe, expect, it} from "vitest";
import {DamagedParquet, gunzip, unsnap} from "../../src/logs/parquet/decompress.ts";

const TEXT = strToU8("run,tool\n".repeat(400));

describe("gunzip(page, length), unsnap(page, length)", () => {
  it("give the bytes of a page that is as long as it says", () => {
    expect(gunzip(gzipSync(TEXT), TEXT.length)).toEqual(TEXT);
    // Snappy format description: the length (5), then a literal of that many bytes (tag (5 - 1) << 2)
    expect(unsnap(Uint8Array.of(5, 4 << 2, ...strToU8("seals")), 5)).toEqual(strToU8("seals"));
  });

  it.each([
    ["that is longer than it says", gzipSync(new Uint8Array(20_000_000), {level: 9}), 1000],
    ["that is shorter than it says", gzipSync(TEXT), TEXT.length + 1],
    ["that says more than its bytes can hold", gzipSync(TEXT), 2_000_000_000],
  ])("refuse a page %s", (_, page, length) => {
    expect(() => gunzip(page, length)).toThrow(DamagedParquet);
  });

  it("make no room for what Snappy cannot have made of so few bytes", () => {
    expect(() => unsnap(Uint8Array.of(5, 16, 1, 2, 3), 2_000_000_000)).toThrow(DamagedParquet);
  });
});
