import fc from "fast-check";
import {describe, expect, it} from "vitest";
import type {Where} from "../../src/cells/contract.ts";
import {
  isFiltered,
  readAddress,
  withDay,
  withList,
  writeAddress,
  type PageAddress,
} from "../../src/app/state/pageAddress.ts";

describe("readAddress(hash)", () => {
  it("reads page, lists, dates and units", () => {
    expect(readAddress("#/seals?fleet=Alder,Cobalt&mud=OBM&from=2024-03-01&to=2024-12-31&units=oilfield")).toEqual({
      page: "seals",
      where: {fleet: ["Alder", "Cobalt"], mud: ["OBM"], from: "2024-03-01", to: "2024-12-31"},
      picks: {},
      units: "oilfield",
      rows: null,
    });
  });

  it("takes an empty address for the first page without filters", () => {
    expect(readAddress("")).toEqual({page: "", where: {}, picks: {}, units: null, rows: null});
    expect(readAddress("#/")).toEqual({page: "", where: {}, picks: {}, units: null, rows: null});
  });

  it("leaves out what is no date, no unit and no filter of ours", () => {
    expect(readAddress("#/x?from=yesterday&to=2024-02-30&units=stones&colour=red")).toEqual({
      page: "x",
      where: {},
      picks: {},
      units: null,
      rows: null,
    });
  });

  it("reads what was chosen on the page; an empty choice and one without a name are none", () => {
    expect(readAddress("#/next-run?pick.tool=K1%20007&pick.hours=120&pick.mud=&pick.=x").picks).toEqual({
      tool: "K1 007",
      hours: "120",
    });
  });

  it("reads the mark whose rows are looked at; what names none is none", () => {
    expect(readAddress("#/seals?rows=2%3Apareto%3ALip%20seal%3A%20cut").rows).toEqual({
      cell: 2,
      figure: "pareto",
      mark: "Lip seal: cut",
    });
    expect(readAddress("#/seals?rows=pareto").rows).toBeNull();
  });

  it("survives an address cut in the middle of an escape", () => {
    expect(readAddress("#/%E0%A4%A").page).toBe("");
  });
});

describe("writeAddress(address)", () => {
  const word = fc.string({minLength: 1, maxLength: 8, unit: "grapheme"});
  const list = fc.uniqueArray(word, {minLength: 1, maxLength: 4});
  const day = fc
    .date({min: new Date("1990-01-01"), max: new Date("2060-01-01"), noInvalidDate: true})
    .map((date) => date.toISOString().slice(0, 10));
  const where = fc.record(
    {fleet: list, component: list, mud: list, regime: list, from: day, to: day},
    {requiredKeys: []},
  );
  const address: fc.Arbitrary<PageAddress> = fc.record({
    page: fc.string({unit: "grapheme"}).filter((text) => !text.startsWith("/")),
    where: where as fc.Arbitrary<Where>,
    picks: fc.dictionary(
      fc.stringMatching(/^[a-z]{1,8}$/).filter((name) => name !== "__proto__"),
      fc.string({minLength: 1, maxLength: 8, unit: "grapheme"}),
      {noNullPrototype: true},
    ),
    units: fc.constantFrom("metric", "oilfield", null),
    rows: fc.option(fc.record({cell: fc.nat(999), figure: word, mark: word})),
  });

  it("is read back as the same address, whatever stands in a fleet's name", () => {
    fc.assert(
      fc.property(address, (given) => {
        expect(readAddress(writeAddress(given))).toEqual(given);
      }),
    );
  });

  it("keeps to plain commas between codes, so that people can read and mend it", () => {
    expect(writeAddress({page: "seals", where: {mud: ["OBM", "KCL"]}, picks: {}, units: null, rows: null})).toBe(
      "#/seals?mud=OBM,KCL",
    );
  });
});

describe("changing one filter", () => {
  it("withList(where, filter, []) means all and leaves the filter out", () => {
    expect(withList({fleet: ["Alder"], mud: ["OBM"]}, "fleet", [])).toEqual({mud: ["OBM"]});
    expect(withList({mud: ["OBM"]}, "mud", ["OBM", "SBM"])).toEqual({mud: ["OBM", "SBM"]});
  });

  it("withDay(where, end, null) opens that end", () => {
    expect(withDay({from: "2024-01-01", to: "2024-02-01"}, "from", null)).toEqual({to: "2024-02-01"});
    expect(withDay({}, "to", "2024-02-01")).toEqual({to: "2024-02-01"});
  });

  it("isFiltered(where) is false for nothing chosen and for empty lists", () => {
    expect(isFiltered({})).toBe(false);
    expect(isFiltered({fleet: []})).toBe(false);
    expect(isFiltered({to: "2024-01-01"})).toBe(true);
  });
});
