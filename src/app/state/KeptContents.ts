/**
 * What is kept in the browser as far as this tab has read or written it, each change counted from when it was asked for:
 * a change says what it stands over, and one that waits for another stands over what that one leaves.
 */
import type {Content, KeptFile} from "../../workspace/keptFile.ts";

export class KeptContents {
  /** by workspace and name; not there: nothing */
  readonly #contents = new Map<string, Map<string, Promise<Content | undefined>>>();

  async of(workspace: string, name: string): Promise<Content | undefined> {
    return this.#contents.get(workspace)?.get(name);
  }

  /** @param content undefined: nothing is kept under that name */
  know(workspace: string, name: string, content: Promise<Content | undefined>): void {
    const known = this.#contents.get(workspace) ?? new Map<string, Promise<Content | undefined>>();
    this.#contents.set(workspace, known);
    known.set(name, content);
  }

  /** The whole of a workspace was read, and is shown as it was read. */
  knowAll(workspace: string, files: readonly KeptFile[]): void {
    this.#contents.set(workspace, new Map(files.map(({name, content}) => [name, Promise.resolve(content)])));
  }
}
