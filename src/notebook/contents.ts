/**
 * The order of the pages, as `analyses/contents.yaml` keeps it when someone has changed it:
 *
 *     order: [03-seals.md, 01-overview.md]
 *     left_out: [08-fleets.md]
 *
 * Pages it does not name keep the order of their file names, each after the page that comes before it there.
 */
import * as v from "valibot";
import {stringify} from "yaml";
import {readYaml} from "../../shared/readYaml.ts";

export interface Contents {
  readonly order: readonly string[];
  readonly leftOut: readonly string[];
}

export const CONTENTS_FILE = "contents.yaml";

const schema = v.object({
  order: v.optional(v.nullable(v.array(v.string())), null),
  left_out: v.optional(v.nullable(v.array(v.string())), null),
});

/** Text that says nothing readable leaves the order of the file names. */
export function readContents(text: string | null): Contents {
  const document = readYaml(text ?? "");
  const checked = v.safeParse(schema, document.errors.length > 0 ? null : document.toJS());
  if (!checked.success) return {order: [], leftOut: []};
  return {order: checked.output.order ?? [], leftOut: checked.output.left_out ?? []};
}

export function writeContents({order, leftOut}: Contents): string {
  return stringify({
    ...(order.length > 0 ? {order} : {}),
    ...(leftOut.length > 0 ? {left_out: leftOut} : {}),
  });
}

/** File names in the order of the contents, without those left out. */
export function arrangePages(names: readonly string[], {order, leftOut}: Contents): string[] {
  const usual = [...new Set(names)].sort((a, b) => a.localeCompare(b, "en", {numeric: true}));
  const arranged = order.filter((name, at) => usual.includes(name) && order.indexOf(name) === at);
  usual.forEach((name, at) => {
    if (arranged.includes(name)) return;
    const before = at === 0 ? -1 : arranged.indexOf(usual[at - 1]!);
    arranged.splice(before + 1, 0, name);
  });
  return arranged.filter((name) => !leftOut.includes(name));
}

/** A page as it is kept: a file of `analyses/`. */
export interface PageFile {
  readonly name: string;
  readonly text: string;
}

/**
 * The pages a reader has: a shop's own laid over those that come with the program. One of the same file name stands in
 * its place, others stand beside; the order, and what is left out, is as the shop's contents say.
 */
export function pagesOver(shipped: readonly PageFile[], own: readonly PageFile[], contents: Contents): PageFile[] {
  const texts = new Map([...shipped, ...own].map(({name, text}) => [name, text]));
  return arrangePages([...texts.keys()], contents).map((name) => ({name, text: texts.get(name)!}));
}

/** The contents with one page moved so that it stands before another; null puts it last. */
export function movePage(names: readonly string[], contents: Contents, moved: string, before: string | null): Contents {
  const rest = arrangePages(names, {...contents, leftOut: []}).filter((name) => name !== moved);
  const at = before === null ? -1 : rest.indexOf(before);
  rest.splice(at < 0 ? rest.length : at, 0, moved);
  return {...contents, order: rest};
}

/** A free file name for a page of this title, after those that come with the program. */
export function newPageName(title: string, names: readonly string[]): string {
  const words = title
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 60)
    .replace(/^-+|-+$/g, "");
  const stem = `60-${words === "" ? "page" : words}`;
  const taken = new Set(names.map(bare));
  for (let n = 1; ; n++) {
    const name = `${n === 1 ? stem : `${stem}-${n}`}.md`;
    if (!taken.has(bare(name))) return name;
  }
}

/** What stands of a file name in the address; two pages must not share it. */
export const bare = (name: string): string => name.replace(/\.md$/i, "").replace(/^\d+[-_ ]*/, "");
