import {describe, expect, it} from "vitest";
import {parseActions, type ReviewAction} from "../../shared/actions.ts";
import {withAction, withChange, withEvent, type Kept} from "../../shared/keepActions.ts";

const textOf = (kept: Kept): string => {
  if ("refused" in kept) throw new Error(kept.refused);
  return kept.text;
};
const only = (text: string): ReviewAction => {
  const {actions, findings} = parseActions(text);
  expect(findings).toEqual([]);
  expect(actions).toHaveLength(1);
  return actions[0]!;
};

const ASKED = {
  job: "AW-0001",
  run: "A-00001",
  tool: "K1-205",
  what: "Measure the shaft: before it is fitted",
  owner: "KV",
  due: "2025-12-10",
};

describe("an action is kept", () => {
  const first = textOf(withAction(null, ASKED, {on: "2025-11-26", by: "HT"}));

  it("in a file that says what it is, and reads back as it was given", () => {
    expect(first).toContain("# Actions agreed in job reviews");
    expect(first).toContain("version: 1");
    expect(only(first)).toEqual({
      ...ASKED,
      id: "2025-11-26-1",
      state: "open",
      history: [{on: "2025-11-26", what: "opened", by: "HT", note: null}],
    });
  });

  it("beside others, each under its own id", () => {
    const both = textOf(withAction(first, {...ASKED, what: "second", owner: null}, {on: "2025-11-26", by: null}));
    expect(parseActions(both).actions.map(({id, owner}) => [id, owner])).toEqual([
      ["2025-11-26-1", "KV"],
      ["2025-11-26-2", null],
    ]);
  });

  it("through done, reopened, another owner and dropped, with its history", () => {
    const done = textOf(withEvent(first, "2025-11-26-1", "done", {on: "2025-12-01", by: "KV", note: "0.02 mm"}));
    expect(only(done).state).toBe("done");
    const again = textOf(withEvent(done, "2025-11-26-1", "reopened", {on: "2025-12-02", by: null}));
    expect(only(again).state).toBe("open");
    const moved = textOf(withChange(again, "2025-11-26-1", {owner: "OY", due: null}, {on: "2025-12-03", by: "HT"}));
    expect(only(moved)).toMatchObject({owner: "OY", due: null, state: "open"});
    const dropped = textOf(withEvent(moved, "2025-11-26-1", "dropped", {on: "2025-12-04", by: "HT"}));
    expect(only(dropped).state).toBe("dropped");
    expect(only(dropped).history).toEqual([
      {on: "2025-11-26", what: "opened", by: "HT", note: null},
      {on: "2025-12-01", what: "done", by: "KV", note: "0.02 mm"},
      {on: "2025-12-02", what: "reopened", by: null, note: null},
      {on: "2025-12-03", what: "changed", by: "HT", note: "owner was KV; due was 2025-12-10"},
      {on: "2025-12-04", what: "dropped", by: "HT", note: null},
    ]);
  });

  it("without a change, nothing is written into the history", () => {
    expect(textOf(withChange(first, "2025-11-26-1", {owner: "KV"}, {on: "2025-12-03", by: null}))).toBe(first);
  });

  it("with text that YAML would take for something else", () => {
    for (const what of ["yes", "- a: b", "# no", "1.50", "{x}", "two\nlines", "*a", "'q\"", "=1+1"])
      expect(only(textOf(withAction(null, {...ASKED, what}, {on: "2025-11-26", by: "0x1"}))).what).toBe(what);
  });
});

describe("a file that people edit", () => {
  const edited = `# mine
actions:
  - {id: a, what: keep me, owner: 7, due: 2025-02-30}
  - just words
  - id: b
  - id: a
    what: twice
  - id: c
    what: "odd history"
    history: [{on: 2025-01-01, what: finished}, {on: 2025-01-02, what: done}]
extra: 1
`;

  it("is read as far as it can be, and every rest is told with its line", () => {
    const {actions, findings} = parseActions(edited, "actions.yaml");
    expect(actions.map(({id, owner, due, state}) => [id, owner, due, state])).toEqual([
      ["a", "7", null, "open"],
      ["c", null, null, "done"],
    ]);
    expect(findings.map(({line, column}) => [line, column])).toEqual([
      [null, "extra"],
      [3, "due"],
      [4, "actions"],
      [5, "what"],
      [6, "id"],
      [10, "history"],
    ]);
    for (const {message, remedy} of findings) expect(message && remedy).toBeTruthy();
  });

  it("keeps its comments and what is not understood when something is added", () => {
    const text = textOf(withAction(edited, ASKED, {on: "2025-11-26", by: null}));
    for (const part of ["# mine", "just words", "id: b", "twice", "extra: 1", "finished"]) expect(text).toContain(part);
    expect(parseActions(text).actions.map(({id}) => id)).toEqual(["a", "c", "2025-11-26-1"]);
  });

  it.each([
    ["actions: [", "not YAML"],
    ["- a\n- b\n", "holds no keys"],
  ])("that cannot be read is told and never written over: %s", (text, why) => {
    expect(parseActions(text).actions).toEqual([]);
    expect(parseActions(text).findings[0]!.message).toContain(why);
    expect(withAction(text, ASKED, {on: "2025-11-26", by: null})).toMatchObject({
      refused: expect.stringContaining("left as it is") as string,
    });
  });

  it("of a later version is read but not changed", () => {
    const later = "version: 2\nactions:\n  - {id: a, what: x}\n";
    expect(parseActions(later).actions).toHaveLength(1);
    expect(parseActions(later).findings[0]!.column).toBe("version");
    expect(withEvent(later, "a", "done", {on: "2025-11-26", by: null})).toHaveProperty("refused");
  });

  it("without the action that is to be changed says so", () => {
    expect(withEvent(edited, "zz", "done", {on: "2025-11-26", by: null})).toEqual({
      refused: "There is no action zz in the file any more.",
    });
  });

  it("that is empty holds none", () => {
    for (const text of ["", "# nothing\n", "actions:\n", "actions: []\n"])
      expect(parseActions(text)).toEqual({actions: [], findings: []});
  });
});
