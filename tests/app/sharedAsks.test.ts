import {expect, it} from "vitest";
import {sharedAsks} from "../../src/app/parts/sharedAsks.ts";
import type {AskedField, Presentation} from "../../src/cells/contract.ts";

const ask = (name: string, value: string): AskedField => ({name, label: name, kind: "text", value});
const presentation = (...asks: AskedField[]): Presentation => ({
  headline: "",
  figures: [],
  tables: [],
  cautions: [],
  asks,
});

it("sharedAsks(presentations) offers each name once, as the first cell that asks for it does", () => {
  const {asks: _, ...silent} = presentation();
  expect(
    sharedAsks([
      silent,
      null,
      presentation(ask("job", "J1"), ask("hours", "60")),
      presentation(ask("job", "J2"), ask("mud", "OBM")),
    ]),
  ).toEqual([ask("job", "J1"), ask("hours", "60"), ask("mud", "OBM")]);
});
