import {describe, expect, it} from "vitest";
import {heldDifferences, type Asked} from "../../src/app/change/heldDifferences.ts";

const held: Asked = {
  question: {kind: "pareto", body: "rank: money\n", closed: true, picks: {}, where: {}, units: "metric"},
  files: [{name: "runs.csv", bytes: 10, digest: "aa"}],
};

describe("heldDifferences(held, now)", () => {
  it("is empty while nothing was changed, but for remarks and spacing", () => {
    const now = {...held, question: {...held.question, body: "# why\nrank:   money\n"}};
    expect(heldDifferences(held, now)).toEqual([]);
  });

  it("names filters, logs, parameters, choices and units, each with what it was and is", () => {
    const now: Asked = {
      question: {
        ...held.question,
        body: "rank: money\ncomponent: [seals, liners]\n",
        picks: {early_h: "20"},
        where: {mud: ["KCL"]},
        units: "oilfield",
      },
      files: [{name: "runs.csv", bytes: 12, digest: "bb"}],
    };
    expect(heldDifferences(held, now)).toEqual([
      {what: "filters", held: "everything in the logs", now: "KCl mud"},
      {what: "logs", held: "runs.csv (aa)", now: "runs.csv (bb)"},
      {what: "component", held: "left out", now: "seals, liners"},
      {what: "early h", held: "left out", now: "20"},
      {what: "units", held: "metric", now: "oilfield"},
    ]);
  });
});
