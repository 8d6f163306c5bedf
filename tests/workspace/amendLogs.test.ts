import {readFileSync} from "node:fs";
import {beforeAll, describe, expect, it} from "vitest";
import {amendLogs, openLogs, type OpenLogs} from "../../src/workspace/openLogs.ts";

const FILES = ["runs.alder.csv", "rebuilds.alder.csv", "settings.yaml"];
const said: string[] = [];
const say = (text: string): void => void said.push(text);
let logs: OpenLogs;

beforeAll(async () => {
  const given = FILES.map((name) => ({name, bytes: readFileSync(new URL(`../../data/${name}`, import.meta.url))}));
  const outcome = await openLogs(given, false, say);
  if (!outcome.opened) throw new Error(outcome.message);
  logs = outcome.logs;
});

describe("amendLogs(logs, edits)", () => {
  it("gives the same logs back when nothing differs", () => {
    expect(amendLogs(logs, {}, say)).toBe(logs);
    expect(amendLogs(logs, {"settings.yaml": logs.texts["settings.yaml"] ?? ""}, say)).toBe(logs);
  });

  it("builds no life again for a cost, and heeds it", () => {
    const amended = amendLogs(logs, {"settings.yaml": "components: {seal: {planned_cost: 77}}"}, say);
    expect(amended.lives).toBe(logs.lives);
    expect(amended.settings.components.SEAL?.planned_cost).toBe(77);
    expect(amended.id).not.toBe(logs.id);
  });

  it("builds the lives again for another clock, as if the logs were read with it", async () => {
    const text = "exposure: runs";
    const amended = amendLogs(logs, {"settings.yaml": text}, say);
    expect(amended.lives).not.toBe(logs.lives);
    const given = FILES.slice(0, 2).map((name) => ({
      name,
      bytes: readFileSync(new URL(`../../data/${name}`, import.meta.url)),
    }));
    const read = await openLogs([...given, {name: "Settings.yml", bytes: new TextEncoder().encode(text)}], false, say);
    if (!read.opened) throw new Error(read.message);
    expect(amended.lives).toEqual(read.logs.lives);
    expect(amended.findings).toEqual(read.logs.findings);
    expect(amended.id).toBe(read.logs.id);
  });

  it("takes a file away, and back to what came with the logs", () => {
    const without = amendLogs(logs, {"settings.yaml": null}, say);
    expect(without.settings.components.SEAL?.planned_cost).toBe(290); // 180 for the part and one bench hour
    expect(without.files.map(({name}) => name)).toEqual(FILES.slice(0, 2));
    const back = amendLogs(without, {}, say);
    expect(back.id).toBe(logs.id);
    expect(back.files).toEqual(logs.files);
  });

  it("a record changes its own identity and nothing else", () => {
    const amended = amendLogs(logs, {"register.yaml": "[]"}, say);
    expect(amended.id).toBe(logs.id);
    expect(amended.lives).toBe(logs.lives);
    expect(amended.recordIds.register).not.toBe(logs.recordIds.register);
    expect(amended.recordIds.actions).toBe(logs.recordIds.actions);
  });
});
