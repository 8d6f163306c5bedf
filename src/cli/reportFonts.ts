/** The two text fonts of the page, to be carried inside each page of a report. */
import {readFile} from "node:fs/promises";
import {createRequire} from "node:module";
import type {ReportFonts} from "../report/index.ts";

const place = createRequire(import.meta.url);

export async function reportFonts(): Promise<ReportFonts> {
  const [sans, serif] = await Promise.all(["source-sans-3", "source-serif-4"].map(address));
  return {sans: sans!, serif: serif!};
}

async function address(name: string): Promise<string> {
  const bytes = await readFile(place.resolve(`@fontsource-variable/${name}/files/${name}-latin-wght-normal.woff2`));
  return `data:font/woff2;base64,${bytes.toString("base64")}`;
}
