import {describe, expect, it} from "vitest";
import {countLives, lifeData, lifeFaults, selectLives} from "../../src/statistics/lifeData.ts";

describe("lifeData(columns)", () => {
  it("takes failed and suspended ages", () => {
    const data = lifeData({failed: [410, 655], suspended: [700]});
    expect([...data.lower]).toEqual([410, 655, 700]);
    expect([...data.upper]).toEqual([410, 655, Infinity]);
    expect(countLives(data)).toEqual({lives: 3, failures: 2, exact: 2});
  });

  it("reads an empty lower as left-censored and an empty upper as suspended", () => {
    const data = lifeData({lower: [null, 5, NaN], upper: [10, null, 7]});
    expect([...data.lower]).toEqual([0, 5, 0]);
    expect([...data.upper]).toEqual([10, Infinity, 7]);
    expect([...data.entry]).toEqual([0, 0, 0]);
    expect([...data.weight]).toEqual([1, 1, 1]);
  });

  it.each([
    [{lower: [-4], upper: [null]}, "ages must not be negative, got -4"],
    [{lower: [0], upper: [0]}, "a failure needs an age above 0, got 0"],
    [{lower: [5], upper: [4]}, "the lower age must not be above the upper, got 5 and 4"],
    [{lower: [5], upper: [9], entry: [6]}, "the entry age must not be above the age last seen unfailed, got 6 and 5"],
    [{lower: [5], upper: [5], entry: [5]}, "a failure needs an age above its entry age, got 5 and entry 5"],
    [{lower: [5], upper: [5], entry: [-1]}, "the entry age must be finite and not negative, got -1"],
    [{lower: [5], upper: [5], weight: [Infinity]}, "the count must be finite and not negative, got Infinity"],
    [{lower: [Infinity], upper: [Infinity]}, "an age must be finite, got Infinity"],
  ])("refuses %j in words", (columns, sentence) => {
    expect(() => lifeData(columns)).toThrow(sentence);
    expect(lifeFaults(columns)).toEqual([{row: 0, sentence}]);
  });

  it("names the row, and columns of different lengths", () => {
    expect(() => lifeData({lower: [1, 2, -3], upper: [1, 2, null]})).toThrow("row 2");
    expect(() => lifeData({lower: [1, 2], upper: [1]})).toThrow("2 lower and 1 upper");
  });

  it("selectLives(data, rows) takes rows in order, with repeats", () => {
    const data = lifeData({failed: [1, 2, 3]});
    expect([...selectLives(data, [2, 0, 2]).lower]).toEqual([3, 1, 3]);
  });
});
