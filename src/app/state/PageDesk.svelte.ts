/** One page under the reader's hands: its text, what can be taken back, what is open for change, what is set beside. */
import {SvelteMap} from "svelte/reactivity";
import type {Presentation} from "../../cells/contract.ts";
import type {Analysis} from "../../notebook/analysis.ts";
import {followBlocks} from "../../notebook/followBlocks.ts";
import {History} from "../../notebook/History.ts";
import {mergeAnalyses, type Choice, type Clash} from "../../notebook/mergeAnalyses.ts";
import {readAnalysis, writeAnalysis} from "../../notebook/readAnalysis.ts";
import type {CellQuestion, LogSummary} from "../worker/protocol.ts";
import {draftOf, keepDraft, type Draft} from "./drafts.ts";
import type {WriteAnswer} from "./KeptFiles.ts";

/** A change is kept when none has followed it for so long. */
const SETTLED_MS = 350;
/** By then the browser has kept what it was given. */
const SURELY_KEPT_MS = 3000;

/** An answer held, to stand beside the next one. */
export interface HeldAnswer {
  readonly presentation: Presentation;
  readonly question: CellQuestion;
  readonly files: LogSummary["files"];
}

/** What a desk needs of the shelf that its page stands on. */
export interface Keeping {
  /** which logs' pages these are; null while none are open */
  readonly scope: string | null;
  /** the text kept now; null: none */
  kept(): string | null;
  keep(text: string): Promise<WriteAnswer>;
}

/** What this tab and another one changed at the same place. Nothing of the page is kept until someone has chosen. */
export interface PageClash {
  /** the page as the other tab has it */
  readonly theirs: string;
  readonly clashes: readonly Clash[];
}

export class PageDesk {
  readonly file: string;
  readonly #keeping: Keeping;
  #history: History<string>;
  /** the kept text that what is shown began from */
  #base: string | null;
  /** texts on their way into the browser */
  #sent: readonly string[] = [];
  #timer: ReturnType<typeof setTimeout> | undefined;
  #forgetting: ReturnType<typeof setTimeout> | undefined;
  #made = 0;
  #recovered = false;
  /** puts what is being typed into the page; null when nothing is */
  #typing: (() => void) | null = null;

  analysis = $state.raw<Analysis>(readAnalysis("", ""));
  /** one for each block; a block keeps its id when it moves or changes */
  ids = $state.raw<readonly string[]>([]);
  /** what its answers stood on when they were last kept */
  tail = $state("");
  changing = $state(false);
  /** id of the block that is open for change, `page` for the page's own particulars */
  open = $state<string | null>(null);
  /** what taking back would take back, and what making again would make */
  last = $state<string | null>(null);
  next = $state<string | null>(null);
  /** every change is with the kept files */
  settled = $state(true);
  /** the last change could not be kept: it stands on this page alone */
  unkept = $state(false);
  /** what must be chosen, when another tab changed the same too */
  clash = $state.raw<PageClash | null>(null);
  /** by the key of a clash: what was chosen so far */
  readonly choices = new SvelteMap<string, Choice>();
  /** told once after another tab's change was taken over */
  followed = $state(false);
  /** changed in this tab since it was opened */
  touched = $state(false);
  readonly held = new SvelteMap<string, HeldAnswer>();

  constructor(file: string, text: string, keeping: Keeping) {
    this.file = file;
    this.#keeping = keeping;
    this.#base = keeping.kept() ?? text;
    const {tail} = readAnalysis(text, file);
    this.tail = tail;
    this.#history = new History(withoutTail(text, tail));
    this.#show();
  }

  get text(): string {
    return withTail(this.#history.now, this.tail);
  }

  /**
   * @param what in words, e.g. `moved a cell`
   * @param name joins changes in quick succession, e.g. typing, into one step
   */
  change(make: (analysis: Analysis) => Analysis | null, what: string, name: string | null = null): void {
    const changed = make(this.analysis);
    if (changed === null) return;
    this.#history.change(writeAnalysis({...changed, tail: ""}), what, name, performance.now());
    this.#changed();
  }

  /** Sets the whole text, e.g. back to that which comes with the program. */
  replace(text: string, what: string): void {
    const {tail} = readAnalysis(text, this.file);
    this.tail = tail;
    this.#history.change(withoutTail(text, tail), what, null, performance.now());
    this.#changed();
  }

  undo(): void {
    this.#typing?.();
    if (this.#history.undo() !== null) this.#changed();
  }

  redo(): void {
    if (this.#history.redo() !== null) this.#changed();
  }

  /** Keeps what the answers stand on, which is no change of the page that could be taken back. */
  note(tail: string): void {
    if (tail === this.tail) return;
    this.tail = tail;
    this.#later();
  }

  /** What is typed but not yet in the page; `put` puts it there. */
  typing(put: (() => void) | null): void {
    this.#typing = put;
  }

  /** What is kept may have changed: it was read, or another tab changed it. */
  hear(kept: string): void {
    this.#follow(kept);
    if (this.#recovered || this.#keeping.scope === null) return;
    this.#recovered = true;
    const draft = draftOf(this.#keeping.scope, this.file);
    if (draft === null || draft.text === kept || (draft.kept && draft.base !== kept)) return;
    // first, so that the draft of this draft begins from the same
    this.#base = draft.base ?? "";
    this.replace(draft.text, "typed before the page was loaded again");
    if (draft.base !== kept) this.#bringTogether(kept);
  }

  #follow(kept: string): void {
    if (this.#sent.includes(kept)) return;
    if (kept === this.#base) {
      if (kept === this.text) this.#settledAt(kept);
      return;
    }
    if (kept === this.text) {
      // what the page shows may be what the browser has no room for
      if (!this.unkept) this.#settledAt(kept);
    } else if (this.text !== this.#base) this.#bringTogether(kept);
    else {
      const touched = this.touched;
      this.#take(kept, "changed in another tab");
      this.followed = touched;
    }
  }

  /** Both tabs changed the page: what only one of them changed is taken, what both did is chosen by the reader. */
  #bringTogether(theirs: string): void {
    const {text, clashes} = mergeAnalyses(this.#base ?? "", this.text, theirs, this.choices);
    if (clashes.some(({key}) => !this.choices.has(key))) {
      this.clash = {theirs, clashes};
      return;
    }
    this.#end(theirs, text, "brought together with the other tab's page");
  }

  /** Chooses for one place where both changed the same; with the last choice the clash ends. */
  choose(key: string, choice: Choice): void {
    if (this.clash === null) return;
    this.choices.set(key, choice);
    this.#bringTogether(this.clash.theirs);
  }

  /** Ends a clash: wherever both changed the same, this tab's stands. */
  keepMine(): void {
    this.#chooseAll("mine");
  }

  /** Ends a clash: wherever both changed the same, the other's stands. */
  takeOther(): void {
    this.#chooseAll("theirs");
  }

  #chooseAll(choice: Choice): void {
    const {clash} = this;
    if (clash === null) return;
    for (const {key} of clash.clashes) this.choices.set(key, choice);
    this.#bringTogether(clash.theirs);
  }

  /** The page goes on from the other tab's, with what was made of both; each of them can be had back by taking back. */
  #end(theirs: string, text: string, what: string): void {
    this.choices.clear();
    this.#take(theirs, "the other tab's page");
    if (text === theirs) return;
    this.replace(text, what);
    this.followed = true;
    this.flush();
  }

  /** Keeps what is not kept yet, now. */
  flush(): void {
    this.#typing?.();
    clearTimeout(this.#timer);
    this.#timer = undefined;
    if (this.clash !== null) return;
    const now = this.#keeping.kept() ?? this.#base;
    if (now !== this.#base && now !== this.text && now !== null && !this.#sent.includes(now)) this.#follow(now);
    if (this.clash !== null) return;
    if (this.text === this.#base && this.#sent.length === 0) this.#settledAt(this.text);
    else if (this.#sent.at(-1) !== this.text) this.#send(this.text);
  }

  /** The browser is given the page; only when it has it, it counts as kept. */
  #send(text: string): void {
    this.#sent = [...this.#sent, text];
    void this.#keeping.keep(text).then((answer) => {
      const at = this.#sent.indexOf(text);
      this.#sent = answer.how === "kept" ? this.#sent.slice(at + 1) : this.#sent.filter((_, i) => i !== at);
      this.unkept = answer.how === "not kept";
      if (answer.how === "kept") {
        this.#base = text;
        if (this.text === text) this.#settledAt(text);
      } else if (answer.how === "refused") this.#follow(answer.other);
    });
  }

  #take(text: string, what: string): void {
    this.clash = null;
    const {tail} = readAnalysis(text, this.file);
    this.tail = tail;
    // what nobody changed here has nothing to take back
    if (this.touched) this.#history.change(withoutTail(text, tail), what, null, performance.now());
    else this.#history = new History(withoutTail(text, tail));
    this.#show();
    this.#settledAt(text);
  }

  #changed(): void {
    this.touched = true;
    this.followed = false;
    this.#show();
    // while a clash is open nothing is kept; what is typed on may end it
    if (this.clash !== null) this.#bringTogether(this.clash.theirs);
    this.#later();
  }

  #later(): void {
    this.settled = false;
    this.#draft({base: this.#base, text: this.text});
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), SETTLED_MS);
  }

  #settledAt(text: string): void {
    this.#base = text;
    this.clash = null;
    this.settled = true;
    this.unkept = false;
    // a reload while the browser still writes would lose what it has not written
    const {scope} = this.#keeping;
    const draft = scope === null ? null : draftOf(scope, this.file);
    if (draft?.text === text) this.#draft({...draft, kept: true});
    clearTimeout(this.#forgetting);
    this.#forgetting = setTimeout(() => this.settled && this.#draft(null), SURELY_KEPT_MS);
  }

  #draft(draft: Draft | null): void {
    const {scope} = this.#keeping;
    if (scope !== null) keepDraft(scope, this.file, draft);
  }

  #show(): void {
    const before = this.analysis;
    this.analysis = readAnalysis(this.#history.now, this.file);
    this.ids = followBlocks(before.blocks, this.ids, this.analysis.blocks, () => `b${(this.#made += 1)}`);
    this.last = this.#history.last;
    this.next = this.#history.next;
  }
}

const withoutTail = (text: string, tail: string): string => text.slice(0, text.length - tail.length);

const withTail = (text: string, tail: string): string =>
  tail === "" ? text : text + (/(?:^|\n\r?\n)$/.test(text) ? "" : text.endsWith("\n") ? "\n" : "\n\n") + tail;
