/** Pictures as PNG, with fonts of our own: a renderer without a font drops every word in silence. */
import {createRequire} from "node:module";
import {Worker} from "node:worker_threads";
import type {ResvgRenderOptions} from "@resvg/resvg-js";
import type {Picture} from "../report/index.ts";

const place = createRequire(import.meta.url);
const FONT_FILES = ["DejaVuSansCondensed", "DejaVuSansCondensed-Bold"].map((name) =>
  place.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`),
);
/** Letters of all Latin languages, Greek and the signs of a chart, and about as narrow as the font of the page. */
const FAMILY = "DejaVu Sans Condensed";

type FromThread = {readonly id: number} & ({readonly png: Uint8Array} | {readonly error: string});

interface Waiting {
  take(png: Uint8Array): void;
  fail(error: Error): void;
}

/**
 * A thread that draws and packs pictures while the next cells are computed: packing alone takes as long as many a cell. To be
 * closed, or the process stays.
 */
export class PngThread {
  readonly #thread = new Worker(new URL("./pngThread.mjs", import.meta.url));
  readonly #waiting = new Map<number, Waiting>();
  #asked = 0;

  constructor() {
    this.#thread.on("message", (drawn: FromThread) => {
      const waiting = this.#waiting.get(drawn.id);
      this.#waiting.delete(drawn.id);
      if ("png" in drawn) waiting?.take(drawn.png);
      else waiting?.fail(new Error(`a picture could not be drawn: ${drawn.error}`));
    });
    this.#thread.on("error", (error) => {
      for (const waiting of this.#waiting.values()) waiting.fail(error);
      this.#waiting.clear();
    });
  }

  /** @throws Error when it cannot be drawn */
  readonly draw = ({svg, density}: Picture): Promise<Uint8Array> => {
    const inOurFont = svg.replace(/font-family="[^"]*"|font-family:[^;"]*/g, (given) =>
      given.startsWith("font-family=") ? `font-family="${FAMILY}"` : `font-family:${FAMILY}`,
    );
    const options: ResvgRenderOptions = {
      font: {loadSystemFonts: false, fontFiles: FONT_FILES, defaultFontFamily: FAMILY},
      fitTo: {mode: "zoom", value: density},
    };
    const id = ++this.#asked;
    return new Promise((take, fail) => {
      this.#waiting.set(id, {take, fail});
      this.#thread.postMessage({id, svg: inOurFont, options});
    });
  };

  async close(): Promise<void> {
    await this.#thread.terminate();
  }
}
