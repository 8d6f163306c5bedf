/**
 * The words a reader needs, in the shop's own language. Each stands for one idea; `forms` are the ways it is written on a
 * page, the longest first where one holds another.
 */
export interface Term {
  readonly name: string;
  readonly forms: readonly string[];
  readonly meaning: string;
}

export const GLOSSARY: readonly Term[] = [
  {
    name: "life",
    forms: ["lives", "life"],
    meaning:
      "The time of one part in one place of one tool, from the day it went in to the day it came out, failed, or the log ends. Its age counts from new.",
  },
  {
    name: "suspension",
    forms: ["suspensions", "suspension", "suspended"],
    meaning:
      "A life that ended without the failure that is asked about: the part was renewed while good, is still running, or something else ended it. It says that the part lived at least that long.",
  },
  {
    name: "shape",
    forms: ["shape"],
    meaning:
      "How the failure rate moves with age. Above 1 a part wears out and an age limit can help; at 1 an old part is as good as a new one; below 1 new parts are the risk.",
  },
  {
    name: "scale",
    forms: ["scale"],
    meaning: "The age by which 63 of 100 parts have failed, whatever the shape.",
  },
  {
    name: "B10 life",
    forms: ["B10 life", "B10"],
    meaning: "The age by which one part in ten has failed.",
  },
  {
    name: "Weibull",
    forms: ["Weibull"],
    meaning:
      "The life distribution the trade uses most: two numbers, shape and scale, give the share of parts that has failed by any age.",
  },
  {
    name: "interval",
    forms: ["renewal intervals", "renewal interval", "intervals", "interval"],
    meaning:
      "The age at which a part is renewed although it is still good. It is carried out at the first rebuild at which the part would pass it during the next run.",
  },
  {
    name: "limits",
    forms: ["limits"],
    meaning:
      "How far the true value may lie from the one printed, given how few parts were seen. 90 % limits are laid so that nine of ten such ranges hold it.",
  },
  {
    name: "mode",
    forms: ["modes", "mode"],
    meaning:
      "What was seen at the teardown, such as a lip scored by grit. How it came about and why are other questions.",
  },
  {
    name: "caused at service",
    forms: ["caused at service", "caused by the shop"],
    meaning:
      "A failure made at assembly or service, such as a seal fitted the wrong way round. No interval prevents it; care at the bench does.",
  },
  {
    name: "found at a teardown",
    forms: ["found at teardowns", "found at a teardown", "found at teardown"],
    meaning:
      "The part had failed, but nobody knows at which hour: some time between the last inspection that found it good and the teardown. It is used as that range.",
  },
  {
    name: "flow regime",
    forms: ["flow regimes", "flow regime"],
    meaning: "Low, medium or high flow past the tool, by the mud's velocity between tool and collar bore.",
  },
  {
    name: "exposure",
    forms: ["exposure"],
    meaning: "What ages a part: circulating hours, unless the settings say below-rotary hours, pulses or runs.",
  },
  {
    name: "reliability",
    forms: ["reliability"],
    meaning: "The share of parts still good at an age.",
  },
  {
    name: "failure rate",
    forms: ["failure rate"],
    meaning: "Failures per 1,000 hours among parts that have reached the age.",
  },
  {
    name: "Pareto",
    forms: ["Pareto"],
    meaning: "Causes ranked by how often they come or what they cost, the worst first.",
  },
  {
    name: "funnel",
    forms: ["funnel"],
    meaning:
      "The band in which rates would lie by chance alone; it narrows as the hours grow. Only what stands outside calls for a reason.",
  },
  {
    name: "Kaplan-Meier",
    forms: ["Kaplan-Meier"],
    meaning:
      "The share of parts still good by age, counted from the lives alone, suspensions included, without supposing any distribution.",
  },
  {
    name: "AICc",
    forms: ["AICc"],
    meaning:
      "A score of how well a distribution describes the lives for the numbers it takes; the lower the better. A difference below 2 decides nothing.",
  },
  {
    name: "p",
    forms: ["p-values", "p-value"],
    meaning: "How often chance alone would show a difference at least this large. A small one speaks against chance.",
  },
];

const patterns = new Map(
  GLOSSARY.map((term) => [term, new RegExp(`(?<![\\w-])(?:${term.forms.map(escaped).join("|")})(?![\\w-])`, "i")]),
);

/** The first place in a text at which the term stands, as a word of its own. */
export function findTerm(term: Term, text: string): {readonly at: number; readonly form: string} | null {
  const found = patterns.get(term)?.exec(text);
  return found ? {at: found.index, form: found[0]} : null;
}

/** A piece of a text; with a term where the piece is one that is used there first. */
export interface TermPart {
  readonly text: string;
  readonly term: Term | null;
  /** signs that belong to the word on the line: an opening bracket, a comma; empty for a piece without a term */
  readonly before: string;
  readonly after: string;
}

const FORMS = new Map(GLOSSARY.flatMap((term) => term.forms.map((form) => [form.toLowerCase(), term] as const)));
/** Longer forms first, so that a B10 life is not taken for a life. */
const ANY_TERM = new RegExp(
  `(?<![\\w-])(?:${[...FORMS.keys()]
    .sort((a, b) => b.length - a.length)
    .map(escaped)
    .join("|")})(?![\\w-])`,
  "gi",
);

/**
 * Cuts a text at the first use of each wanted term; what is found is taken out of `wanted`, so that the next text of the
 * same answer leaves it alone.
 */
export function termParts(text: string, wanted: Set<Term>): TermPart[] {
  const parts: TermPart[] = [];
  const plain = (piece: string): void => void parts.push({text: piece, term: null, before: "", after: ""});
  let from = 0;
  for (const found of text.matchAll(ANY_TERM)) {
    const term = FORMS.get(found[0].toLowerCase().replace(/\s+/g, " "));
    if (term === undefined || !wanted.delete(term)) continue;
    const lead = text.slice(from, found.index);
    const before = /[([“‘]+$/.exec(lead)?.[0] ?? "";
    if (lead.length > before.length) plain(lead.slice(0, lead.length - before.length));
    from = found.index + found[0].length;
    const after = /^[.,;:!?)\]”’]+/.exec(text.slice(from))?.[0] ?? "";
    parts.push({text: found[0], term, before, after});
    from += after.length;
  }
  if (from < text.length || parts.length === 0) plain(text.slice(from));
  return parts;
}

/** The terms that stand anywhere in the texts, by name. */
export function termsIn(texts: readonly string[]): readonly Term[] {
  const text = texts.join("\n");
  return GLOSSARY.filter((term) => findTerm(term, text) !== null).toSorted((a, b) =>
    a.name.localeCompare(b.name, "en"),
  );
}

/** For each text the terms that no text before it has used. */
export function firstUses(texts: readonly string[]): readonly (readonly Term[])[] {
  const seen = new Set<Term>();
  return texts.map((text) => {
    const first = GLOSSARY.filter((term) => !seen.has(term) && findTerm(term, text) !== null);
    for (const term of first) seen.add(term);
    return first;
  });
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&").replace(/ /g, "\\s+");
}
