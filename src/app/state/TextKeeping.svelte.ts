/** Keeps the small text files of the open workspace as they are changed, and brings together what other tabs do to them. */
import {SvelteSet} from "svelte/reactivity";
import {roleOf} from "../../workspace/fileRoles.ts";
import {folderKeeping, OWN} from "../../workspace/Keeping.ts";
import {mergeTexts} from "../../workspace/mergeTexts.ts";
import type {Keeper, Told} from "./Keeper.svelte.ts";
import type {WriteAnswer} from "./KeptFiles.ts";
import type {Notices} from "./Notices.svelte.ts";
import type {WorkspaceFiles} from "./WorkspaceFiles.svelte.ts";

/** What it must know of the workspace, and do to it. */
export interface OpenWorkspace {
  readonly files: WorkspaceFiles;
  readonly keeper: Keeper;
  readonly notices: Notices;
  /** the folder it was served from; null: the reader's own files; undefined: nothing is open */
  readonly folder: string | null | undefined;
  /** whether what is open is what is kept */
  isKept: boolean;
  /** a text is another one: what depends on it is made anew */
  heed(name: string): void;
  openAgain(): void;
}

export class TextKeeping {
  readonly #of: OpenWorkspace;
  /** files whose last change could not be kept */
  readonly #unkept = new SvelteSet<string>();

  constructor(of: OpenWorkspace) {
    this.#of = of;
    of.keeper.ontold = (told) => void this.#hear(told);
  }

  /** Whether a file, or any, holds something that was written and stands on this page alone. Reactive. */
  isBehind(name?: string): boolean {
    return name === undefined ? this.#unkept.size > 0 : this.#unkept.has(name);
  }

  /** Another workspace was opened. */
  begin(): void {
    this.#unkept.clear();
  }

  /** Keeps a file as it now stands. Where another tab has written it meanwhile, both changes stand, or the reader decides. */
  async keep(name: string): Promise<WriteAnswer> {
    const {files, keeper, folder, isKept} = this.#of;
    if (folder === undefined) return {how: "not kept"};
    if (folder === null && !isKept) {
      this.#unkept.add(name);
      return {how: "not kept"};
    }
    const mine = files.text(name);
    const answer = await keeper.keep(folder, name, mine, files.original(name));
    if (folder !== this.#of.folder) return {how: "not kept"};
    if (answer.how === "kept") return this.#kept(name);
    if (answer.how === "not kept") {
      this.#unkept.add(name);
      return answer;
    }
    return this.#refused(name, mine, answer);
  }

  #kept(name: string): WriteAnswer {
    const was = this.#unkept.size;
    this.#unkept.delete(name);
    // there is room again: what had to wait goes in too
    for (const other of [...this.#unkept]) void this.keep(other);
    if (was > 0 && this.#unkept.size === 0) this.#of.keeper.trouble = null;
    return {how: "kept"};
  }

  async #refused(
    name: string,
    mine: string | null,
    {other, base}: {readonly other: string | null; readonly base: string | null},
  ): Promise<WriteAnswer> {
    const {files, notices} = this.#of;
    const role = roleOf(name);
    if (role === "analysis") {
      // a page that was taken out elsewhere and changed here stays; two changed ones are brought together where it is read
      if (other === null) return this.keep(name);
      if (files.text(name) === mine) files.take(name, other);
      return {how: "refused", other};
    }
    const both = mergeTexts(base, mine, other);
    if (both !== null) {
      files.take(name, both);
      this.#of.heed(name);
      notices.tell(`${name} was changed in another tab at the same time. Both changes stand in it.`);
      return this.keep(name);
    }
    files.take(name, other);
    this.#of.heed(name);
    notices.tell(
      `${name} was changed in another tab at the same time, in the same place. What the other tab wrote stands; what you wrote here is not kept yet.`,
      [
        {
          label: "Put mine in its place",
          act: () => void (mine === null ? files.remove(name) : files.write(name, mine)),
        },
      ],
    );
    return {how: "kept"};
  }

  /** Another tab has kept something: what it wrote stands here too, and the reader is told. */
  async #hear({workspace, names}: Told): Promise<void> {
    const {folder, files, keeper, notices} = this.#of;
    if (folder === undefined || workspace !== (folder === null ? OWN : folderKeeping(folder))) return;
    if (names === null) {
      this.#of.isKept = false;
      notices.tell(
        folder === null
          ? "Your own logs were replaced or forgotten in another tab. This tab still shows the earlier ones, and keeps no change of them."
          : "Your changes to these logs were thrown away in another tab. This tab still shows them.",
        [{label: "Open what is kept now", act: () => this.#of.openAgain()}],
      );
      return;
    }
    for (const name of names) {
      // what this tab could not keep must not be lost for it: keeping it again brings both together
      if (this.#unkept.has(name)) {
        await this.keep(name);
        continue;
      }
      await keeper.text(folder, name, (text) => {
        if (this.#of.folder !== folder) return;
        files.take(name, text === undefined ? (folder === null ? null : files.original(name)) : text);
        this.#of.heed(name);
      });
    }
    // a page tells of its own changes where it is read
    const told = names.filter((name) => !["analysis", "contents"].includes(roleOf(name)));
    if (told.length > 0) notices.tell(`${told.join(", ")} was changed in another tab; this tab now shows it.`);
  }
}
