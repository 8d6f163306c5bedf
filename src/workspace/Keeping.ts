/**
 * Keeps workspaces in the browser (IndexedDB): files by name, each change in one transaction, so that what is read back
 * is always what stood there before a change or after it. A workspace is the reader's own, or the changes made to the
 * small text files of a folder that is served beside the page.
 */
import {openDB, type DBSchema, type IDBPDatabase} from "idb";

/** The reader's own files. */
export const OWN = "own";

/** Where the changes to a served folder are kept. */
export const folderKeeping = (folder: string): string => `folder:${folder}`;

/** A log is kept as the file it came as; text as text; null: a file that the folder holds was taken away. */
export type Content = Blob | string | null;

export interface KeptFile {
  readonly workspace: string;
  readonly name: string;
  readonly content: Content;
}

export interface Keeping {
  /** the files of a workspace, by name; none when it is not kept */
  read(workspace: string): Promise<ReadonlyMap<string, Content>>;
  /** puts these in place of whatever files of the workspace have these names; undefined forgets one */
  change(workspace: string, files: Iterable<readonly [name: string, content: Content | undefined]>): Promise<void>;
  /** puts these in place of all */
  replace(workspace: string, files: Iterable<readonly [name: string, content: Content]>): Promise<void>;
}

const VERSION = 1;
const FILES = "files";

interface Schema extends DBSchema {
  [FILES]: {key: [workspace: string, name: string]; value: KeptFile};
}

/** @throws whatever the browser gives as its reason not to keep anything */
export async function openKeeping(name = "wearbook"): Promise<Keeping> {
  const db = await openDB<Schema>(name, VERSION, {
    upgrade(upgraded) {
      upgraded.createObjectStore(FILES, {keyPath: ["workspace", "name"]});
    },
  });
  return new BrowserKeeping(db);
}

class BrowserKeeping implements Keeping {
  readonly #db: IDBPDatabase<Schema>;

  constructor(db: IDBPDatabase<Schema>) {
    this.#db = db;
  }

  async read(workspace: string): Promise<ReadonlyMap<string, Content>> {
    const kept = await this.#db.getAll(FILES, all(workspace));
    return new Map(kept.map(({name, content}) => [name, content]));
  }

  async change(
    workspace: string,
    files: Iterable<readonly [name: string, content: Content | undefined]>,
  ): Promise<void> {
    const transaction = this.#db.transaction(FILES, "readwrite");
    for (const [name, content] of files) {
      if (content === undefined) void transaction.store.delete([workspace, name]);
      else void transaction.store.put({workspace, name, content});
    }
    await transaction.done;
  }

  async replace(workspace: string, files: Iterable<readonly [name: string, content: Content]>): Promise<void> {
    const transaction = this.#db.transaction(FILES, "readwrite");
    void transaction.store.delete(all(workspace));
    for (const [name, content] of files) void transaction.store.put({workspace, name, content});
    await transaction.done;
  }
}

/** Every name of a workspace: an array stands after every string in the order of keys. */
const all = (workspace: string): IDBKeyRange => IDBKeyRange.bound([workspace], [workspace, []]);
