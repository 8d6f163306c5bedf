/** The register file: read with tolerance, written without losing a letter. */
import {describe, expect, it} from "vitest";
import {parseRegister, withDecision, type IntervalDecision} from "../../shared/register.ts";

const TODAY = "2026-01-05";
const read = (text: string) => parseRegister(text, "register.yaml", TODAY);

const seal: IntervalDecision = {
  component: "SEAL",
  mud: "OBM",
  regime: "high",
  fleet: "Basalt",
  decision: "accepted",
  interval_h: 150,
  recommended_h: 150,
  before_h: 400,
  date: "2025-12-28",
  initials: "KV",
  reason: "hot seals: they swell",
  data_to: "2025-12-26",
  filters: "fleet Basalt",
  failures_per_1000h: {before: 1.9, foretold: 0.6},
};

describe("parseRegister(text, file, today)", () => {
  it("reads back what withDecision wrote, all of it", () => {
    const text = withDecision(withDecision("", seal), {...seal, decision: "declined", interval_h: null, fleet: null});
    const {register, findings} = read(text);
    expect(findings).toEqual([]);
    expect(register.writable).toBe(true);
    expect(register.decisions).toEqual([seal, {...seal, decision: "declined", interval_h: null, fleet: null}]);
  });

  // a month that no calendar has once ended the reading of everything beside it
  it("leaves a decision of an impossible day out, and says on which line", () => {
    const text = withDecision(withDecision("", seal), {...seal, fleet: null}).replace("2025-12-28", "2025-13-45");
    const {register, findings} = read(text);
    expect(register).toMatchObject({decisions: [{fleet: null}], leftOut: 1});
    expect(findings).toMatchObject([{column: "date", line: expect.any(Number)}]);
  });

  it("no file, an empty one and one without decisions are an empty register", () => {
    for (const text of ["", "\n", "version: 1\n", "version: 1\ndecisions:\n"]) {
      expect(read(text), text).toMatchObject({register: {decisions: [], writable: true, leftOut: 0}, findings: []});
    }
  });

  it.each([
    ["version: 2\ndecisions: []\n", /version 2, and this program reads up to version 1/],
    ["decisions: [\n", /is not YAML/],
    ["- 1\n", /must be a list of keys/],
    ["decisions: many\n", /decisions must be a list/],
  ])("%j counts for nothing, is never written over, and says why", (text, trouble) => {
    const {register, findings} = read(text);
    expect(register).toMatchObject({decisions: [], writable: false});
    expect(register.trouble).toMatch(trouble);
    expect(findings).toHaveLength(1);
    expect(findings[0]!.message).toMatch(trouble);
    expect(() => withDecision(text, seal)).toThrow(trouble);
  });

  it("an entry that cannot be used is a finding at its line, and the others count", () => {
    const good = withDecision("", seal);
    const {register, findings} = read(
      `${good}  - {component: WIDGET, mud: OBM, regime: high, decision: accepted, interval_h: 90, date: 2025-12-28, initials: KV}
  - {component: SEAL, mud: OBM, regime: high, decision: maybe, date: 2025-02-30}
  - {component: SEAL, mud: OBM, regime: high, decision: accepted, interval_h: -4, date: 2025-12-28, initials: KV}
  - just words
`,
    );
    expect(register.decisions).toEqual([seal]);
    expect(register.leftOut).toBe(4);
    expect(findings.map(({column}) => column)).toEqual([
      "component",
      "decision",
      "date",
      "initials",
      "interval_h",
      "decisions",
    ]);
    expect(findings.every(({line}) => line !== null && line > 1)).toBe(true);
    // they stay in the file all the same
    expect(withDecision("version: 1\ndecisions:\n  - just words\n", seal)).toContain("just words");
  });

  it("takes shop words and doubts a day that has not come", () => {
    const {register, findings} = read(
      "decisions:\n  - {component: lip seal, mud: invert, regime: high, decision: Accepted, interval_h: null, date: 2026-02-01, initials: KV}\n",
    );
    expect(register.decisions[0]).toMatchObject({component: "SEAL", mud: "OBM", interval_h: null});
    expect(findings).toMatchObject([{kind: "doubted", column: "date"}]);
  });

  it("adds an entry and keeps comments and unknown keys as they are", () => {
    const before =
      "# ours\nversion: 1\nnote: keep me # and this\ndecisions:\n  # first\n" +
      withDecision("", seal).split("decisions:\n")[1];
    const after = withDecision(before, {...seal, date: "2026-01-02"});
    for (const line of ["# ours", "note: keep me # and this", "# first"]) expect(after).toContain(line);
    expect(read(after).register.decisions).toHaveLength(2);
  });
});
