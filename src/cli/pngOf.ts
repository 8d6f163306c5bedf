/** A picture as PNG, with fonts of our own: a renderer without a font drops every word in silence. */
import {createRequire} from "node:module";
import {renderAsync} from "@resvg/resvg-js";
import type {Picture} from "../report/index.ts";

const place = createRequire(import.meta.url);
const FONT_FILES = ["DejaVuSansCondensed", "DejaVuSansCondensed-Bold"].map((name) =>
  place.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`),
);
/** Letters of all Latin languages, Greek and the signs of a chart, and about as narrow as the font of the page. */
const FAMILY = "DejaVu Sans Condensed";

/** Drawn in a thread of its own while the next cells are computed. */
export async function pngOf({svg, density}: Picture): Promise<Uint8Array> {
  const inOurFont = svg.replace(/font-family="[^"]*"|font-family:[^;"]*/g, (given) =>
    given.startsWith("font-family=") ? `font-family="${FAMILY}"` : `font-family:${FAMILY}`,
  );
  const drawn = await renderAsync(inOurFont, {
    font: {loadSystemFonts: false, fontFiles: FONT_FILES, defaultFontFamily: FAMILY},
    fitTo: {mode: "zoom", value: density},
  });
  return drawn.asPng();
}
