/** One entry of tests/reference/published.json: inputs and expected values, each with its source beside it. */
import {readFileSync} from "node:fs";

interface Entry {
  readonly id: string;
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly expected: Readonly<Record<string, {readonly value: number | number[]} | number | number[]>>;
}

const entries = JSON.parse(readFileSync(new URL("../reference/published.json", import.meta.url), "utf8")) as Entry[];

export function reference(id: string) {
  const entry = entries.find((candidate) => candidate.id === id);
  if (!entry) throw new Error(`tests/reference/published.json has no entry ${id}`);
  const expected = (name: string) => {
    const found = entry.expected[name];
    return typeof found === "object" && "value" in found ? found.value : found;
  };
  return {
    list: (name: string) => entry.inputs[name] as readonly number[],
    value: (name: string) => expected(name) as number,
    values: (name: string) => expected(name) as readonly number[],
  };
}
