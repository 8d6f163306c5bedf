import {describe, expect, it} from "vitest";
import {withEdit, withEdits} from "../../src/workspace/edits.ts";
import {isText, logsAmong, roleOf, workspaceName} from "../../src/workspace/fileRoles.ts";
import {migrated, VERSION} from "../../src/workspace/keptFile.ts";
import {NotKept, whyNotKept} from "../../src/workspace/whyNotKept.ts";

describe("migrated(kept, from)", () => {
  it("turns what version 1 kept into what this version keeps, and loses nothing", () => {
    const blob = new Blob(["run,tool"]);
    expect(migrated({workspace: "own", name: "runs.csv", content: blob}, 1)).toEqual({
      workspace: "own",
      name: "runs.csv",
      content: blob,
      changed: null,
      over: null,
    });
    expect(migrated({workspace: "folder:demo", name: "settings.yaml", content: null}, 1).content).toBeNull();
  });

  it("leaves what this version kept as it is", () => {
    const file = {workspace: "own", name: "a.md", content: "# A", changed: "2026-11-26T00:00:00Z", over: "# B"};
    expect(migrated(file, VERSION)).toEqual(file);
  });
});

describe("edits over what a folder holds", () => {
  const texts = {"settings.yaml": "level: 0.9", "register.yaml": "[]"};

  it("withEdits(texts, edits) replaces, adds and takes away", () => {
    expect(withEdits(texts, {"settings.yaml": "level: 0.8", "register.yaml": null, "actions.yaml": ""})).toEqual({
      "settings.yaml": "level: 0.8",
      "actions.yaml": "",
    });
  });

  it("withEdit(texts, edits, name, text) counts what is again as the folder holds it as no change", () => {
    const once = withEdit(texts, {}, "settings.yaml", "level: 0.8");
    expect(once).toEqual({"settings.yaml": "level: 0.8"});
    expect(withEdit(texts, once, "settings.yaml", "level: 0.9")).toEqual({});
    expect(withEdit(texts, {}, "actions.yaml", null)).toEqual({});
    expect(withEdit(texts, {}, "toString", "x")).toEqual({toString: "x"});
  });
});

describe("fileRoles", () => {
  it.each([
    ["runs.csv", "log"],
    ["Rebuilds.2024.XLSX", "log"],
    ["Everything.xlsx", "log"],
    ["~$runs.xlsx", "other"],
    ["Settings.YML", "settings"],
    ["mapping.yaml", "mapping"],
    ["register.yaml", "register"],
    ["actions.yml", "actions"],
    ["analyses/10-mine.md", "analysis"],
    ["analyses/README.md", "other"],
    ["analyses/deep/a.md", "other"],
    ["old/runs.csv", "other"],
    ["holiday.pdf", "other"],
  ])("%s is %s", (name, role) => expect(roleOf(name)).toBe(role));

  it("workspaceName(name) is the one name under which a file is kept", () => {
    expect(["Settings.yml", "mapping Alder.yaml", "mine.md", "Runs.csv"].map(workspaceName)).toEqual([
      "settings.yaml",
      "mapping.yaml",
      "analyses/mine.md",
      "Runs.csv",
    ]);
    expect(isText("analyses/mine.md") && isText("register.yaml") && !isText("runs.csv")).toBe(true);
  });

  it("logsAmong(names) takes workbooks of any name only where a log is missing", () => {
    expect(logsAmong(["runs.csv", "rebuilds.csv", "costs.xlsx"])).toEqual(["runs.csv", "rebuilds.csv"]);
    expect(logsAmong(["runs.csv", "costs.xlsx"])).toEqual(["runs.csv", "costs.xlsx"]);
  });
});

describe("whyNotKept(error)", () => {
  it.each([
    [new DOMException("", "QuotaExceededError"), "room for this page is full"],
    [new DOMException("", "SecurityError"), "settings do not let this page keep files"],
    [new DOMException("", "InvalidStateError"), "private windows"],
    [new DOMException("", "NotReadableError"), "has changed or gone"],
    [new ReferenceError("indexedDB is not defined"), "no place where a page can keep files"],
    [new NotKept("older tab"), "older version of this page"],
    [new Error("disk on fire"), "disk on fire"],
    ["what", "what"],
  ])("%s", (error, words) => {
    expect(whyNotKept(error)).toContain(words);
    expect(whyNotKept(error)).toContain("save everything as one file");
  });
});
