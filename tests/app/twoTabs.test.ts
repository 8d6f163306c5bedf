/** Two tabs with one workspace, and a browser that may be full: what is written stands, or somebody is asked. */
import {afterEach, describe, expect, it, vi} from "vitest";
import {Keeper} from "../../src/app/state/Keeper.svelte.ts";
import {Notices} from "../../src/app/state/Notices.svelte.ts";
import {TextKeeping} from "../../src/app/state/TextKeeping.svelte.ts";
import {WorkspaceFiles} from "../../src/app/state/WorkspaceFiles.svelte.ts";
import {OWN, type Keeping} from "../../src/workspace/Keeping.ts";
import type {Content} from "../../src/workspace/keptFile.ts";

const SETTINGS = "level: 0.9\ncurrency: USD\n";
const NAME = "settings.yaml";

/** What a browser keeps: one for all its tabs, each change a step that takes a moment. */
class Browser {
  readonly kept = new Map<string, Content>([
    ["runs.csv", new Blob(["run,tool"])],
    [NAME, SETTINGS],
  ]);
  full = false;

  readonly keeping: Keeping = {
    onlost: null,
    read: async () => {
      await Promise.resolve();
      return [...this.kept].map(([name, content]) => ({workspace: OWN, name, content, changed: null, over: null}));
    },
    change: async (_, {name, content, before}) => {
      await Promise.resolve();
      if (this.full) throw new DOMException("", "QuotaExceededError");
      const there = this.kept.get(name);
      if (there !== before && there !== content) return {other: there};
      if (content === undefined) this.kept.delete(name);
      else this.kept.set(name, content);
      return null;
    },
    replace: () => Promise.reject(new Error("not here")),
  };
}

async function tab(browser: Browser) {
  const keeper = new Keeper(() => Promise.resolve(browser.keeping));
  const notices = new Notices();
  const heeded: string[] = [];
  const files: WorkspaceFiles = new WorkspaceFiles((name) => texts.keep(name));
  const workspace = {
    ...{files, keeper, notices, isKept: true, folder: null},
    heed: (name: string) => void heeded.push(name),
    openAgain: () => undefined,
  };
  const texts = new TextKeeping(workspace);
  const own = await keeper.ownFiles();
  const read = own.filter(({name}) => name !== "runs.csv").map(async (file) => [file.name, await file.text()] as const);
  files.begin(OWN, Object.fromEntries(await Promise.all(read)), {}, ["runs.csv"]);
  return {keeper, notices, files, texts, workspace, heeded};
}

// messages between tabs come late, or not at all: nothing may hang on them
const deaf = (): void => void vi.stubGlobal("BroadcastChannel", undefined);

afterEach(() => vi.unstubAllGlobals());

describe("two tabs that change one file at once", () => {
  it("lose neither change when they changed different lines", async () => {
    deaf();
    const browser = new Browser();
    const [one, two] = [await tab(browser), await tab(browser)];
    await Promise.all([
      one.files.write(NAME, SETTINGS.replace("0.9", "0.8")),
      two.files.write(NAME, SETTINGS.replace("USD", "NOK")),
    ]);
    const both = "level: 0.8\ncurrency: NOK\n";
    expect([browser.kept.get(NAME), two.files.text(NAME)]).toEqual([both, both]);
    expect(two.notices.list.map(({text}) => text)).toEqual([
      "settings.yaml was changed in another tab at the same time. Both changes stand in it.",
    ]);
    expect(two.heeded).toContain(NAME);
    await one.files.write(NAME, `${SETTINGS.replace("0.9", "0.8")}units: metric\n`);
    expect(browser.kept.get(NAME)).toBe(`${both}units: metric\n`);
  });

  it("ask where they changed the same line, and keep what the reader then takes", async () => {
    deaf();
    const browser = new Browser();
    const [one, two] = [await tab(browser), await tab(browser)];
    await one.files.write(NAME, SETTINGS.replace("0.9", "0.8"));
    await two.files.write(NAME, SETTINGS.replace("0.9", "0.7"));
    expect([browser.kept.get(NAME), two.files.text(NAME)]).toEqual(Array(2).fill(SETTINGS.replace("0.9", "0.8")));
    const [notice] = two.notices.list;
    expect(notice?.text).toContain("in the same place");
    notice?.actions[0]?.act();
    await vi.waitFor(() => expect(browser.kept.get(NAME)).toBe(SETTINGS.replace("0.9", "0.7")));
  });

  it("of one file each, lose nothing, and each tab shows what the other wrote", async () => {
    const browser = new Browser();
    const [one, two] = [await tab(browser), await tab(browser)];
    await Promise.all([one.files.write(NAME, "level: 0.8\n"), two.files.write("register.yaml", "version: 1\n")]);
    await vi.waitFor(() => {
      expect(one.files.text("register.yaml")).toBe("version: 1\n");
      expect(two.files.text(NAME)).toBe("level: 0.8\n");
    });
    expect(two.notices.list[0]?.text).toBe("settings.yaml was changed in another tab; this tab now shows it.");
  });

  it("give a changed page back to where it is read, to be brought together there", async () => {
    deaf();
    const browser = new Browser();
    browser.kept.set("analyses/60-a.md", "# A\n");
    const [one, two] = [await tab(browser), await tab(browser)];
    await one.files.write("analyses/60-a.md", "# B\n");
    expect(await two.files.write("analyses/60-a.md", "# C\n")).toEqual({how: "refused", other: "# B\n"});
    expect(two.files.text("analyses/60-a.md")).toBe("# B\n");
  });
});

describe("a browser that is full", () => {
  // what could not be kept was taken for what stands there: the next change of the file then looked like another tab's
  it("keeps the next change of a file without a word of another tab, and with it all that had to wait", async () => {
    deaf();
    const browser = new Browser();
    const one = await tab(browser);
    browser.full = true;
    expect(await one.files.write(NAME, "level: 0.8\n")).toEqual({how: "not kept"});
    await one.files.write("register.yaml", "version: 1\n");
    expect(one.keeper.trouble).toContain("room for this page is full");
    expect([one.texts.isBehind(), one.texts.isBehind(NAME)]).toEqual([true, true]);
    browser.full = false;
    expect(await one.files.write(NAME, "level: 0.7\n")).toEqual({how: "kept"});
    await vi.waitFor(() => expect(one.texts.isBehind()).toBe(false));
    expect([browser.kept.get(NAME), browser.kept.get("register.yaml")]).toEqual(["level: 0.7\n", "version: 1\n"]);
    expect([one.keeper.trouble, one.notices.list]).toEqual([null, []]);
  });

  it("loses nothing of what had to wait when another tab writes the file meanwhile", async () => {
    const browser = new Browser();
    const [one, two] = [await tab(browser), await tab(browser)];
    browser.full = true;
    await one.files.write(NAME, SETTINGS.replace("0.9", "0.8"));
    browser.full = false;
    await two.files.write(NAME, SETTINGS.replace("USD", "NOK"));
    await vi.waitFor(() => expect(browser.kept.get(NAME)).toBe("level: 0.8\ncurrency: NOK\n"));
    await vi.waitFor(() => expect(two.files.text(NAME)).toBe("level: 0.8\ncurrency: NOK\n"));
  });
});

describe("one tab", () => {
  it("that writes faster than the browser keeps is never taken for two", async () => {
    deaf();
    const browser = new Browser();
    const one = await tab(browser);
    const answers = await Promise.all(
      ["0.8", "0.7", "0.6"].map((level) => one.files.write(NAME, SETTINGS.replace("0.9", level))),
    );
    expect(answers).toEqual(Array(3).fill({how: "kept"}));
    expect([browser.kept.get(NAME), one.notices.list]).toEqual([SETTINGS.replace("0.9", "0.6"), []]);
  });
});
