import {describe, expect, it} from "vitest";
import type {ParamField} from "../../src/cells/contract.ts";
import {withPicks} from "../../src/notebook/index.ts";

const field = (name: string, asked: boolean): ParamField => ({
  name,
  asked,
  meaning: "which tool",
  accepts: "a tool",
  many: false,
  required: false,
});

describe("withPicks(given, fields, picks)", () => {
  const fields = [field("tool", true), field("level", false)];

  it("lays a choice over a field that asks for one, given or not", () => {
    expect(withPicks({tool: "A", level: 0.9}, fields, {tool: "B"})).toEqual({tool: "B", level: 0.9});
    expect(withPicks(null, fields, {tool: "B"})).toEqual({tool: "B"});
  });

  it("leaves alone what the kind does not ask for, does not know, or was not chosen", () => {
    expect(withPicks({level: 0.9}, fields, {level: "0.5", job: "J", tool: ""})).toEqual({level: 0.9});
    expect(withPicks(null, fields, {job: "J"})).toBeNull();
  });
});
