const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** Text as it may stand between tags and in a quoted attribute. */
export const escapeHtml = (text: string): string => text.replace(/[&<>"']/g, (letter) => ENTITIES[letter] ?? letter);
