/** The pages: those that come with the program, and over and beside them those kept with the open logs. */
import {setFront} from "../../notebook/editAnalysis.ts";
import {
  arrangePages,
  bare,
  CONTENTS_FILE,
  movePage,
  newPageName,
  readContents,
  writeContents,
  type Contents,
} from "../../notebook/contents.ts";
import {createMemo} from "../../notebook/createMemo.ts";
import {readAnalysis, writeAnalysis} from "../../notebook/readAnalysis.ts";
import {readSheet, SHIPPED, type Sheet} from "../sheets.ts";
import type {KeptFiles, WriteAnswer} from "./KeptFiles.ts";
import {PageDesk, type Keeping} from "./PageDesk.svelte.ts";

const FOLDER = "analyses/";

/** A page taken out, until the next one is. */
export interface Removed {
  readonly file: string;
  readonly title: string;
  /** null: it came with the program and is only left out of the contents */
  readonly text: string | null;
  readonly contents: string | null;
}

export class Shelf {
  readonly #files: KeptFiles;
  // what is made once and found again is no state of the page
  // eslint-disable-next-line svelte/prefer-svelte-reactivity
  readonly #desks = new Map<string, PageDesk>();
  readonly #read = createMemo(200);
  #scope: string | null;

  removed = $state.raw<Removed | null>(null);

  readonly #contents: Contents = $derived.by(() => readContents(this.#files.text(FOLDER + CONTENTS_FILE)));
  /** every page there is, those left out too */
  readonly #all: readonly string[] = $derived.by(() => [
    ...SHIPPED.keys(),
    ...this.#files.names.flatMap((name) =>
      /^analyses\/[^/]+\.md$/i.test(name) && !SHIPPED.has(name.slice(FOLDER.length)) ? [name.slice(FOLDER.length)] : [],
    ),
  ]);
  /** in the order of the contents */
  readonly sheets: readonly Sheet[] = $derived.by(() =>
    arrangePages(this.#all, this.#contents).map((file) => this.#sheet(file)),
  );
  /** those that come with the program and were left out */
  readonly leftOut: readonly Sheet[] = $derived.by(() =>
    this.#contents.leftOut.filter((file) => this.#all.includes(file)).map((file) => this.#sheet(file)),
  );

  constructor(files: KeptFiles) {
    this.#files = files;
    this.#scope = files.scope;
  }

  /** The page of that name in the address; the first for no name; undefined when there is none. */
  sheetOf(name: string): Sheet | undefined {
    return name === "" ? this.sheets[0] : this.sheets.find((sheet) => sheet.name === name);
  }

  /** The desk of a page: the same one as long as the logs stay open. */
  deskOf(file: string): PageDesk {
    const {scope} = this.#files;
    if (this.#scope !== scope) {
      // before any logs are open the pages can be read already; those desks stay
      if (this.#scope !== null) this.#desks.clear();
      this.#scope = scope;
    }
    const known = this.#desks.get(file);
    if (known !== undefined) return known;
    const made = new PageDesk(file, this.textOf(file) ?? "", this.#keepingOf(file));
    this.#desks.set(file, made);
    return made;
  }

  /** As kept, or as it comes with the program. */
  textOf(file: string): string | null {
    return this.#files.text(FOLDER + file) ?? SHIPPED.get(file) ?? null;
  }

  whose(file: string): "shipped" | "changed" | "own" {
    if (!SHIPPED.has(file)) return "own";
    return this.#files.text(FOLDER + file) === null ? "shipped" : "changed";
  }

  /** Adds a page after the one named, or last; gives its file. */
  add(text: string, title: string, after: string | null = null): string {
    const file = newPageName(title, this.#all);
    const names = [...this.#all, file];
    const at = after === null ? -1 : this.sheets.findIndex((sheet) => sheet.file === after);
    const next = at < 0 ? null : (this.sheets[at + 1]?.file ?? null);
    void this.#keep(file, text);
    if (next !== null) this.#arrange(movePage(names, this.#contents, file, next));
    return file;
  }

  /** A page with nothing but its title. */
  create(title: string): string {
    const page = setFront(readAnalysis("", ""), ["title"], title);
    return this.add(page === null ? "" : writeAnalysis(page), title);
  }

  duplicate(file: string): string {
    const analysis = readAnalysis(this.deskOf(file).text, file);
    const title = `${analysis.title}, copy`;
    return this.add(writeAnalysis(setFront(analysis, ["title"], title) ?? analysis), title, file);
  }

  /** A file given by hand. A page of that name that someone has made or changed is not replaced: it stands beside. */
  take(name: string, text: string): string {
    const file = name.replace(/^.*[\\/]/, "");
    const there = this.textOf(file);
    if (there === text) return file;
    const taken = this.#all.some((each) => bare(each) === bare(file));
    if (taken && !(SHIPPED.has(file) && this.whose(file) === "shipped")) {
      return this.add(text, readAnalysis(text, file).title);
    }
    void this.#keep(file, text);
    return file;
  }

  /** Takes a page out of the contents; one that does not come with the program is gone when it is not put back. */
  remove(file: string): void {
    const contents = this.#files.text(FOLDER + CONTENTS_FILE);
    const own = !SHIPPED.has(file);
    const {title} = readAnalysis(this.textOf(file) ?? "", file);
    this.#desks.get(file)?.flush();
    this.removed = {file, title, text: own ? this.textOf(file) : null, contents};
    const order = this.#contents.order.filter((name) => name !== file || !own);
    if (own) {
      this.#desks.delete(file);
      void this.#files.remove(FOLDER + file);
      if (order.length < this.#contents.order.length) this.#arrange({...this.#contents, order});
    } else this.#arrange({...this.#contents, leftOut: [...this.#contents.leftOut, file]});
  }

  /** Puts back what was taken out last. */
  putBack(): void {
    if (this.removed === null) return;
    const {file, text, contents} = this.removed;
    if (text !== null) void this.#keep(file, text);
    this.#arrange(readContents(contents));
    this.removed = null;
  }

  /** Puts a page that was left out into the contents again. */
  include(file: string): void {
    this.#arrange({...this.#contents, leftOut: this.#contents.leftOut.filter((name) => name !== file)});
  }

  /** Moves a page one place up or down among some, e.g. those of its section. */
  move(file: string, among: readonly string[], by: 1 | -1): void {
    const other = among[among.indexOf(file) + by];
    if (other === undefined) return;
    const after = this.sheets[this.sheets.findIndex((sheet) => sheet.file === other) + 1]?.file ?? null;
    this.#arrange(movePage(this.#all, this.#contents, file, by < 0 ? other : after));
  }

  /** The text that comes with the program again; taken back like any change. */
  restore(file: string): void {
    const text = SHIPPED.get(file);
    if (text !== undefined) this.deskOf(file).replace(text, "went back to the text that comes with Wearbook");
  }

  /** Keeps everything that is not kept yet. */
  flush(): void {
    for (const desk of this.#desks.values()) if (!desk.settled) desk.flush();
  }

  /** Whether a page holds something that stands nowhere but in this tab. */
  get behind(): boolean {
    return [...this.#desks.values()].some(({clash, unkept}) => clash !== null || unkept);
  }

  /** A desk of logs that are no longer open keeps nothing with those that are. */
  #keepingOf(file: string): Keeping {
    let begun = this.#files.scope;
    const scope = (): string | null => (begun ??= this.#files.scope);
    return {
      get scope() {
        return scope();
      },
      kept: () => this.textOf(file),
      keep: (text) =>
        scope() === this.#files.scope ? this.#keep(file, text) : Promise.resolve({how: "not kept"} as const),
    };
  }

  #keep(file: string, text: string): Promise<WriteAnswer> {
    return SHIPPED.get(file) === text ? this.#files.remove(FOLDER + file) : this.#files.write(FOLDER + file, text);
  }

  #arrange(contents: Contents): void {
    const usual = contents.order.length === 0 && contents.leftOut.length === 0;
    if (usual) void this.#files.remove(FOLDER + CONTENTS_FILE);
    else void this.#files.write(FOLDER + CONTENTS_FILE, writeContents(contents));
  }

  #sheet(file: string): Sheet {
    const text = this.textOf(file) ?? "";
    return this.#read(`${file}\n${text}`, () => readSheet(file, text));
  }
}
