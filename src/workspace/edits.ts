/** Changes to the small text files of a workspace, over what a folder holds. */

/** By name: the new text; null where the file was taken away. */
export type Edits = Readonly<Record<string, string | null>>;

/** The small text files of a workspace, by name. */
export type Texts = Readonly<Record<string, string>>;

export const NO_EDITS: Edits = {};

/** The texts as they stand after the changes. */
export function withEdits(texts: Texts, edits: Edits): Texts {
  const entries = Object.entries({...texts, ...edits});
  return Object.fromEntries(entries.filter((entry): entry is [string, string] => entry[1] !== null));
}

/** One more change; a file that is again as the folder holds it counts as unchanged. */
export function withEdit(texts: Texts, edits: Edits, name: string, text: string | null): Edits {
  const {[name]: _, ...rest} = edits;
  const before = Object.hasOwn(texts, name) ? (texts[name] ?? null) : null;
  return text === before ? rest : {...rest, [name]: text};
}

export function sameTexts(a: Texts, b: Texts): boolean {
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((name) => Object.hasOwn(b, name) && a[name] === b[name]);
}
