/** A picture as PNG, with fonts of our own: a renderer without a font drops every word in silence. */
import {createRequire} from "node:module";
import {Resvg} from "@resvg/resvg-js";
import type {Picture} from "../report/index.ts";

const place = createRequire(import.meta.url);
const FONT_FILES = ["DejaVuSansCondensed", "DejaVuSansCondensed-Bold"].map((name) =>
  place.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`),
);
/** Letters of all Latin languages, Greek and the signs of a chart, and about as narrow as the font of the page. */
const FAMILY = "DejaVu Sans Condensed";

export function pngOf({svg, density}: Picture): Uint8Array {
  const drawn = new Resvg(
    svg.replace(/font-family="[^"]*"|font-family:[^;"]*/g, (given) =>
      given.startsWith("font-family=") ? `font-family="${FAMILY}"` : `font-family:${FAMILY}`,
    ),
    {
      font: {loadSystemFonts: false, fontFiles: FONT_FILES, defaultFontFamily: FAMILY},
      fitTo: {mode: "zoom", value: density},
    },
  );
  return drawn.render().asPng();
}
