/**
 * Keeps workspaces in the browser (IndexedDB): files by name, each change in one transaction, so that what is read back
 * is always what stood there before a change or after it. A workspace is the reader's own, or the changes made to the
 * small text files of a folder that is served beside the page.
 */
import {openDB, type DBSchema, type IDBPDatabase} from "idb";
import {migrated, VERSION, type Content, type KeptFile} from "./keptFile.ts";
import {NotKept} from "./whyNotKept.ts";

/** The reader's own files. */
export const OWN = "own";

/** Where the changes to a served folder are kept. */
export const folderKeeping = (folder: string): string => `folder:${folder}`;

/** A change of one file. */
export interface Change {
  readonly name: string;
  /** undefined forgets the file */
  readonly content: Content | undefined;
  /** what stood there as far as the writer knows; undefined: nothing */
  readonly before: Content | undefined;
  /** for a folder's file: its text in the folder */
  readonly over?: string | null;
}

export interface Keeping {
  /** the files of a workspace, by name; none when it is not kept */
  read(workspace: string): Promise<KeptFile[]>;
  /**
   * Changes one small text file, unless another tab has written to it since: then nothing is changed.
   *
   * @returns null when it is done; else what the other tab wrote, undefined where it took the file away
   */
  change(workspace: string, change: Change): Promise<null | {readonly other: Content | undefined}>;
  /** puts these in place of all files of a workspace, in one step */
  replace(workspace: string, files: Iterable<readonly [name: string, content: Content]>): Promise<void>;
  /** told when this tab can keep nothing any more */
  onlost: ((reason: NotKept) => void) | null;
}

const FILES = "files";

interface Schema extends DBSchema {
  [FILES]: {key: [workspace: string, name: string]; value: KeptFile};
}

/** @throws NotKept, or whatever the browser gives as its reason not to keep anything */
export async function openKeeping(name = "wearbook"): Promise<Keeping> {
  let keeping: BrowserKeeping | null = null;
  const lose = (reason: NotKept): void => keeping?.onlost?.(reason);
  const db = await new Promise<IDBPDatabase<Schema>>((resolve, reject) => {
    openDB<Schema>(name, VERSION, {
      async upgrade(upgraded, from, _to, transaction) {
        if (from === 0) {
          upgraded.createObjectStore(FILES, {keyPath: ["workspace", "name"]});
          return;
        }
        const store = transaction.objectStore(FILES);
        for (const file of await store.getAll()) await store.put(migrated(file, from));
      },
      blocked: () => reject(new NotKept("older tab")),
      blocking(_from, _to, event) {
        // a newer page in another tab waits for this one to let go
        (event.target as IDBDatabase).close();
        lose(new NotKept("newer tab"));
      },
      terminated: () => lose(new NotKept("terminated")),
    }).then(resolve, reject);
  });
  keeping = new BrowserKeeping(db);
  return keeping;
}

class BrowserKeeping implements Keeping {
  readonly #db: IDBPDatabase<Schema>;
  onlost: Keeping["onlost"] = null;

  constructor(db: IDBPDatabase<Schema>) {
    this.#db = db;
  }

  read(workspace: string): Promise<KeptFile[]> {
    return this.#db.getAll(FILES, all(workspace));
  }

  async change(workspace: string, change: Change): Promise<null | {readonly other: Content | undefined}> {
    const {name, content, before, over = null} = change;
    const transaction = this.#db.transaction(FILES, "readwrite", {durability: "strict"});
    const there = (await transaction.store.get([workspace, name]))?.content;
    if (there !== before && there !== content) {
      await transaction.done;
      return {other: there};
    }
    if (content === undefined) await transaction.store.delete([workspace, name]);
    else await transaction.store.put({workspace, name, content, over, changed: new Date().toISOString()});
    await transaction.done;
    return null;
  }

  async replace(workspace: string, files: Iterable<readonly [name: string, content: Content]>): Promise<void> {
    const transaction = this.#db.transaction(FILES, "readwrite", {durability: "strict"});
    const changed = new Date().toISOString();
    // in this order: what is deleted is what stood there before
    const asked = [transaction.store.delete(all(workspace)) as Promise<unknown>];
    for (const [name, content] of files) {
      asked.push(transaction.store.put({workspace, name, content, over: null, changed}));
    }
    await Promise.all([...asked, transaction.done]);
  }
}

/** Every name of a workspace: an array stands after every string in the order of keys. */
const all = (workspace: string): IDBKeyRange => IDBKeyRange.bound([workspace], [workspace, []]);
