/** The files of the workspace that is open, as the page reads and changes them. */
import {NO_EDITS, withEdit, withEdits, type Edits, type Texts} from "../../workspace/edits.ts";
import {isText, workspaceName} from "../../workspace/fileRoles.ts";
import type {KeptFiles, WriteAnswer} from "./KeptFiles.ts";

export class WorkspaceFiles implements KeptFiles {
  readonly #changed: (name: string, same: boolean) => Promise<WriteAnswer>;
  /** the small text files as they were when the workspace was opened */
  #texts = $state.raw<Texts>({});
  #edits = $state.raw<Edits>(NO_EDITS);
  /** logs, and whatever else is kept beside them */
  #others = $state.raw<readonly string[]>([]);
  readonly #now: Texts = $derived(withEdits(this.#texts, this.#edits));

  /** whose files these are; null while none are open */
  scope = $state<string | null>(null);

  /** every file of the workspace, by name */
  readonly names: readonly string[] = $derived([...this.#others, ...Object.keys(this.#now)].sort());

  /** @param changed keeps a file that was changed here; `same`: it was given the text it has */
  constructor(changed: (name: string, same: boolean) => Promise<WriteAnswer>) {
    this.#changed = changed;
  }

  get edits(): Edits {
    return this.#edits;
  }

  /** The text of `settings.yaml`, `register.yaml`, `analyses/NAME.md` …; null when there is none. Reactive. */
  text(name: string): string | null {
    return Object.hasOwn(this.#now, name) ? (this.#now[name] ?? null) : null;
  }

  /**
   * Puts a text in place of a file, or makes it. It is kept at once, and what depends on it is answered anew.
   *
   * @throws RangeError for a name that is no small text file of a workspace
   */
  write(name: string, text: string): Promise<WriteAnswer> {
    return this.#edit(name, text);
  }

  /** Takes a file away; of a folder's own file, that is a change to be kept like any other. */
  remove(name: string): Promise<WriteAnswer> {
    return this.#edit(name, null);
  }

  /** Another workspace, or the same one read again. */
  begin(scope: string, texts: Texts, edits: Edits, others: readonly string[]): void {
    this.scope = scope;
    this.#texts = texts;
    this.#edits = edits;
    this.#others = others;
  }

  /** As the folder holds it, or as the workspace was opened with it; null: not at all. */
  original(name: string): string | null {
    return Object.hasOwn(this.#texts, name) ? (this.#texts[name] ?? null) : null;
  }

  /** What another tab has written: it stands here too, and is kept already. */
  take(name: string, text: string | null): void {
    this.#edits = withEdit(this.#texts, this.#edits, name, text);
  }

  #edit(name: string, text: string | null): Promise<WriteAnswer> {
    const kept = workspaceName(name);
    if (!isText(kept)) throw new RangeError(`${name} is no text file of a workspace`);
    const same = text === this.text(kept);
    if (!same) this.take(kept, text);
    return this.#changed(kept, same);
  }
}
