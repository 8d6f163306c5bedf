/**
 * Building blocks of parameter schemas. Each reads one value of a cell's body, says in words what it accepts, and
 * describes itself for a form. Missing and empty (`by:`) are the same thing.
 */
import * as v from "valibot";
import {isDay} from "../../shared/calendarDay.ts";
import {COMPONENTS, MUD_CODES, mudLabel, nearest, regimeLabel} from "../../shared/vocabulary/index.ts";
import type {ParamField} from "./contract.ts";
import {componentWord, modeWord, mudWord, quoted, regimeWord, type Word} from "./words.ts";

/** A value read, or why it cannot be. */
type Reading<T> = {readonly value: T} | {readonly message: string};

export interface Param<T> {
  readonly field: Omit<ParamField, "name">;
  /** reads what stands in the body; null when nothing does */
  read(value: unknown): Reading<T>;
}

type ValuesOf<S extends Readonly<Record<string, Param<unknown>>>> = {
  readonly [K in keyof S]: S[K] extends Param<infer T> ? T : never;
};

/** Schema and form fields of a cell's body. An unknown name is a mistake, never ignored. */
export function params<const S extends Readonly<Record<string, Param<unknown>>>>(
  spec: S,
): {readonly schema: v.GenericSchema<unknown, ValuesOf<S>>; readonly fields: readonly ParamField[]} {
  const names = Object.keys(spec);
  const entries = Object.fromEntries(names.map((name) => [name, v.optional(schemaOf(name, spec[name]!), null)]));
  const accepted = names.length === 0 ? "this kind takes no parameters" : `accepted: ${names.join(", ")}`;
  const object = v.strictObject(entries, ({path, received}) => {
    const key = path?.[0]?.key;
    if (key === undefined) return `the body of a cell is lines of “name: value”, got ${received}; ${accepted}`;
    const near = typeof key === "string" ? nearest(key, names) : undefined;
    return `no parameter is called ${quoted(key)}${near ? `; did you mean ${near}?` : ";"} ${accepted}`;
  });
  return {
    // the entries carry their types in `spec`; valibot sees them only as a record
    schema: v.pipe(
      v.optional(v.nullable(object, {}), {}),
      v.transform((values) => values as ValuesOf<S>),
    ) as v.GenericSchema<unknown, ValuesOf<S>>,
    fields: names.map((name) => ({name, ...spec[name]!.field})),
  };
}

/** The same parameter, open to a choice made on the page (see `AskedField`). */
export function asked<T>(param: Param<T>): Param<T> {
  return {...param, field: {...param.field, asked: true}};
}

function schemaOf<T>(name: string, param: Param<T>) {
  return v.pipe(
    v.unknown(),
    v.rawTransform<unknown, T>(({dataset, addIssue, NEVER}) => {
      const reading = param.read(dataset.value);
      if ("value" in reading) return reading.value;
      addIssue({message: `${name}: ${reading.message}`});
      return NEVER;
    }),
  );
}

const textOf = (value: unknown): string | null =>
  typeof value === "string" || typeof value === "number" ? String(value).trim() : null;

const isMissing = (value: unknown): boolean => value === null || value === undefined || value === "";

const COMPONENT_CHOICES = Object.values(COMPONENTS).map(({plural}) => ({value: plural, label: plural}));
const COMPONENT_WORDS = COMPONENT_CHOICES.map(({value}) => value).join(", ");

/** A component by its code, label or a shop word (`seals`). */
export function componentParam(): Param<string> {
  return {
    field: {
      meaning: "which component",
      accepts: COMPONENT_WORDS,
      choices: COMPONENT_CHOICES,
      many: false,
      required: true,
    },
    read: (value) => {
      if (isMissing(value)) return {message: `which component? Accepted: ${COMPONENT_WORDS}`};
      const text = textOf(value);
      return text === null ? {message: `one component, got ${quoted(value)}`} : reading(componentWord(text));
    },
  };
}

/** Some components, or null for all that the filters leave. */
export function componentsParam(): Param<readonly string[] | null> {
  return {
    field: {
      meaning: "which components; all when left out",
      accepts: COMPONENT_WORDS,
      choices: COMPONENT_CHOICES,
      many: true,
      required: false,
    },
    read: (value) => words(value, componentWord),
  };
}

/** Some muds, or null for all. */
export function mudsParam(): Param<readonly string[] | null> {
  return {
    field: {
      meaning: "which muds; all when left out",
      accepts: "mud codes or shop words",
      choices: MUD_CODES.map((value) => ({value, label: mudLabel(value)})),
      many: true,
      required: false,
    },
    read: (value) => words(value, mudWord),
  };
}

/** Some regimes, or null for all. */
export function regimesParam(): Param<readonly string[] | null> {
  return {
    field: {
      meaning: "which flow regimes; all when left out",
      accepts: "low, medium, high",
      choices: ["low", "medium", "high"].map((value) => ({value, label: regimeLabel(value)})),
      many: true,
      required: false,
    },
    read: (value) => words(value, regimeWord),
  };
}

/** One mud, or null for none given. */
export function mudParam(meaning: string): Param<string | null> {
  return {
    field: {meaning, accepts: "a mud code or shop word, e.g. OBM", many: false, required: false},
    read: (value) => oneWord(value, mudWord),
  };
}

/** One flow regime, or null for none given. */
export function regimeParam(meaning: string): Param<string | null> {
  return {
    field: {meaning, accepts: "low, medium, high", many: false, required: false},
    read: (value) => oneWord(value, regimeWord),
  };
}

/** Ages by component: lines of `seal: 120`, or one text `seal 120, liner 0`; null for none given. */
export function agesParam(meaning: string): Param<Readonly<Record<string, number>> | null> {
  const accepts = "components with ages of 0 or more, e.g. seal 120, liner 0";
  return {
    field: {meaning, accepts, many: false, required: false},
    read: (value) => {
      if (isMissing(value)) return {value: null};
      const pairs: (readonly [string, unknown])[] =
        typeof value === "object" && value !== null && !Array.isArray(value)
          ? Object.entries(value)
          : listOf(value).map((item) => {
              const [, name = String(item), age] = /^(.*?)[\s:=]+([\d.]+)\s*h?$/.exec(String(item)) ?? [];
              return [name, age];
            });
      const ages: Record<string, number> = {};
      for (const [name, given] of pairs) {
        const word = componentWord(name);
        if ("message" in word) return word;
        const age = typeof given === "number" ? given : Number(textOf(given) ?? NaN);
        if (!(age >= 0 && Number.isFinite(age)))
          return {message: `an age of 0 or more for ${name}, got ${quoted(given ?? "")}; ${accepts}`};
        ages[word.code] = age;
      }
      return {value: ages};
    },
  };
}

function oneWord(value: unknown, meaning: (text: string) => Word): Reading<string | null> {
  if (isMissing(value)) return {value: null};
  const text = textOf(value);
  return text === null ? {message: `one word, got ${quoted(value)}`} : reading(meaning(text));
}

/**
 * Which failures count.
 * - `wear`: modes by which a part is used up, which age limits can address
 * - `chance`: modes that strike whatever the age
 * - `own`: both, without what the shop causes
 * - `all`: the shop's too
 * - or modes by code
 */
export type Modes = (typeof MODE_WORDS)[number] | readonly string[];
const MODE_WORDS = ["wear", "chance", "own", "all"] as const;

export function modesParam(): Param<Modes> {
  const accepts =
    "wear (used up: erosion, wear, corrosion, fatigue, deformation, heat), chance (struck, blocked, come loose), own (both), all (the shop's too), or mode codes like SEAL-ABR";
  return {
    field: {
      meaning: "which failures count; any other ends a life as a suspension",
      accepts: `${accepts}; wear when left out`,
      offers: MODE_WORDS,
      fallback: "wear",
      many: true,
      required: false,
    },
    read: (value) => {
      if (isMissing(value)) return {value: "wear"};
      const plain = textOf(value)?.toLowerCase();
      const known = MODE_WORDS.find((choice) => choice === plain);
      if (known !== undefined) return {value: known};
      const read = words(value, modeWord);
      return "value" in read
        ? {value: read.value ?? "wear"}
        : {message: `${read.message}; or ${MODE_WORDS.join(", ")}`};
    },
  };
}

/** One mud and flow regime, e.g. `OBM high`; null for all conditions together. */
export interface Condition {
  readonly mud: string;
  readonly regime: string;
}

export function conditionParam(): Param<Condition | null> {
  return {
    field: {
      meaning: "lives of one mud and flow only",
      accepts: "a mud and a flow regime, e.g. OBM high",
      many: false,
      required: false,
    },
    read: (value) => {
      if (isMissing(value)) return {value: null};
      const text = (textOf(value) ?? "").replace(/ flow$/i, "");
      const [, first = "", last = ""] = /^(.*?)[\s,]+(\S+)$/.exec(text) ?? [];
      if (first === "") return {message: `a mud and a flow regime, e.g. OBM high, got ${quoted(value)}`};
      const mud = mudWord(first);
      if ("message" in mud) return mud;
      const regime = regimeWord(last);
      return "message" in regime ? regime : {value: {mud: mud.code, regime: regime.code}};
    },
  };
}

/** One of a closed list of words. */
export function choiceParam<const C extends string>(
  meaning: string,
  choices: Readonly<Record<C, string>>,
  fallback: NoInfer<C>,
  aliases: Readonly<Record<string, NoInfer<C>>> = {},
): Param<C> {
  const values = Object.keys(choices) as C[];
  const accepts = values.join(", ");
  return {
    field: {
      meaning,
      accepts: `${accepts}; ${fallback} when left out`,
      choices: values.map((value) => ({value, label: choices[value]})),
      fallback,
      many: false,
      required: false,
    },
    read: (value) => {
      if (isMissing(value)) return {value: fallback};
      const plain = textOf(value)?.toLowerCase();
      const known =
        values.find((choice) => choice.toLowerCase() === plain) ?? (plain === undefined ? undefined : aliases[plain]);
      if (known !== undefined) return {value: known};
      const near = plain === undefined ? null : nearest(plain, values);
      return {message: `${quoted(value)} is not known${near ? `; did you mean ${near}?` : "."} Accepted: ${accepts}`};
    },
  };
}

/** A number within limits, or the fallback (null: none). */
export function numberParam<F extends number | null>(
  meaning: string,
  {
    min,
    max,
    fallback,
    unit,
  }: {readonly min: number; readonly max: number; readonly fallback: F; readonly unit?: string},
): Param<number | F> {
  const accepts = max === Infinity ? `a number from ${min} up` : `a number from ${min} to ${max}`;
  return {
    field: {
      meaning,
      accepts,
      number: {min, ...(max === Infinity ? {} : {max})},
      ...(fallback === null ? {} : {fallback: String(fallback)}),
      ...(unit === undefined ? {} : {unit}),
      many: false,
      required: false,
    },
    read: (value) => {
      if (isMissing(value)) return {value: fallback};
      const number = typeof value === "number" ? value : Number(textOf(value) ?? NaN);
      return number >= min && number <= max && Number.isFinite(number)
        ? {value: number}
        : {message: `must be ${accepts}, got ${quoted(value)}`};
    },
  };
}

/** A share above 0: a fraction up to 1, or a percentage above it; null for none given. 1 itself is taken and is for the cell to judge. */
export function shareParam(meaning: string): Param<number | null> {
  const accepts = "a fraction such as 0.95 or a percentage such as 95";
  return {
    field: {meaning, accepts, many: false, required: false},
    read: (value) => {
      if (isMissing(value)) return {value: null};
      const number = typeof value === "number" ? value : Number((textOf(value) ?? "").replace(/\s*%$/, "") || NaN);
      if (!(number > 0 && number <= 100)) return {message: `must be ${accepts}, got ${quoted(value)}`};
      return {value: number > 1 ? number / 100 : number};
    },
  };
}

/** A text as it stands, or null. */
export function textParam(meaning: string): Param<string | null> {
  return {
    field: {meaning, accepts: "a text", many: false, required: false},
    read: (value) => {
      if (isMissing(value)) return {value: null};
      const text = textOf(value);
      return text === null ? {message: `must be one text, got ${quoted(value)}`} : {value: text};
    },
  };
}

/** A day of the calendar as 2024-03-01, or null. */
export function dayParam(meaning: string): Param<string | null> {
  return {
    field: {meaning, accepts: "a day such as 2024-03-01", many: false, required: false},
    read: (value) => {
      if (isMissing(value)) return {value: null};
      const text = value instanceof Date ? value.toISOString().slice(0, 10) : (textOf(value) ?? "");
      return isDay(text) ? {value: text} : {message: `must be a day such as 2024-03-01, got ${quoted(value)}`};
    },
  };
}

/** Numbers above zero, e.g. ages to read a curve at. */
export function numbersParam(meaning: string): Param<readonly number[]> {
  return {
    field: {meaning, accepts: "numbers above 0, e.g. 100, 200", many: true, required: false},
    read: (value) => {
      const numbers = listOf(value).map((item) => (typeof item === "number" ? item : Number(textOf(item) ?? NaN)));
      const bad = numbers.findIndex((number) => !(number > 0 && Number.isFinite(number)));
      return bad < 0 ? {value: numbers} : {message: `must be numbers above 0, got ${quoted(listOf(value)[bad])}`};
    },
  };
}

/** `a, b`, `[a, b]` and one value are all lists. */
export function listOf(value: unknown): readonly unknown[] {
  if (isMissing(value)) return [];
  if (Array.isArray(value)) return value;
  if (typeof value === "string")
    return value
      .split(",")
      .map((part) => part.trim())
      .filter((part) => part !== "");
  return [value];
}

function words(value: unknown, meaning: (text: string) => Word): Reading<readonly string[] | null> {
  const codes: string[] = [];
  for (const item of listOf(value)) {
    const text = textOf(item);
    if (text === null) return {message: `a word or a list of words, got ${quoted(item)}`};
    const understood = meaning(text);
    if ("message" in understood) return understood;
    if (!codes.includes(understood.code)) codes.push(understood.code);
  }
  return {value: codes.length === 0 ? null : codes};
}

function reading(understood: Word): Reading<string> {
  return "code" in understood ? {value: understood.code} : understood;
}
