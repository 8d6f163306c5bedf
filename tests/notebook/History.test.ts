import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {History} from "../../src/notebook/History.ts";

describe("History", () => {
  it("takes back and makes again, and says what", () => {
    const history = new History("a");
    history.change("b", "moved a cell", null, 0);
    history.change("c", "took out a cell", null, 1);
    expect([history.now, history.last, history.next]).toEqual(["c", "took out a cell", null]);
    expect(history.undo()).toBe("b");
    expect([history.last, history.next]).toEqual(["moved a cell", "took out a cell"]);
    expect(history.redo()).toBe("c");
    expect(history.redo()).toBeNull();
  });

  it("joins typing into one step until there is a pause, another place or a step back", () => {
    const history = new History("");
    history.change("s", "wrote", "words 1", 0);
    history.change("se", "wrote", "words 1", 500);
    history.change("sea", "wrote", "words 1", 900);
    history.change("seal", "wrote", "words 1", 5000);
    expect(history.undo()).toBe("sea");
    expect(history.undo()).toBe("");
    history.redo();
    history.change("sea!", "wrote", "words 1", 5100);
    expect(history.undo()).toBe("sea");
  });

  it("a change after a step back forgets what was taken back; no change is no step", () => {
    const history = new History(1);
    history.change(2, "x", null, 0);
    history.undo();
    history.change(3, "y", null, 0);
    history.change(3, "z", null, 0);
    expect([history.next, history.last]).toEqual([null, "y"]);
  });

  it("any run of steps goes all the way back and all the way forth", () => {
    const step = fc.record({value: fc.nat(5), name: fc.constantFrom(null, "n"), wait: fc.nat(3000)});
    fc.assert(
      fc.property(fc.array(step, {maxLength: 30}), (steps) => {
        const history = new History(-1);
        let at = 0;
        for (const {value, name, wait} of steps) history.change(value, "x", name, (at += wait));
        const end = history.now;
        while (history.undo() !== null);
        expect(history.now).toBe(-1);
        while (history.redo() !== null);
        expect(history.now).toBe(end);
      }),
      {seed: 2, numRuns: 200},
    );
  });
});
