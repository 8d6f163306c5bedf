/**
 * A chart as a picture of its own: title above, caption and origin below, the font inside, so that it can be put
 * into a report without the page around it.
 */

export interface Standalone {
  /** the chart's own `<svg>…</svg>`, colours resolved */
  readonly chart: string;
  /** CSS pixels of the chart */
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly caption: string;
  /** data date, filters, and that the demo is invented */
  readonly origin: string;
  /** text alternative */
  readonly alt: string;
  /** `data:` address of the font, or null to leave it to the reader's system */
  readonly font: string | null;
}

const INK = "#1a2123";
const MUTED = "#5f6a6f";
const PAPER = "#ffffff";
const FONT = "'Source Sans 3 Variable', 'Source Sans 3', 'Helvetica Neue', Arial, sans-serif";
const EDGE = 16;

interface Line {
  readonly text: string;
  readonly size: number;
  readonly weight: number;
  readonly colour: string;
}

export function standaloneSvg({chart, width, height, title, caption, origin, alt, font}: Standalone): {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
} {
  const set = (text: string, size: number, weight: number, colour: string): Line[] =>
    wrap(text, width / (size * (weight > 500 ? 0.54 : 0.5))).map((line) => ({text: line, size, weight, colour}));
  const above = set(title, 16, 600, INK);
  const below = [...set(caption, 12.5, 400, INK), ...set(origin, 11.5, 400, MUTED)];
  const top = EDGE + heightOf(above) + 8;
  const full = {width: width + 2 * EDGE, height: Math.ceil(top + height + 10 + heightOf(below) + EDGE)};
  const inner = chart.replace(/^<svg/, `<svg x="${EDGE}" y="${top}"`);
  const face =
    font === null
      ? ""
      : `<style>@font-face{font-family:'Source Sans 3 Variable';font-weight:200 900;src:url(${font}) format('woff2')}</style>`;
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${full.width} ${full.height}" width="${full.width}" height="${full.height}" role="img" font-family="${FONT}">`,
    `<title>${escape(title)}</title>`,
    `<desc>${escape(alt)}</desc>`,
    face,
    `<rect width="100%" height="100%" fill="${PAPER}"/>`,
    lines(above, EDGE),
    inner,
    lines(below, top + height + 10),
    `</svg>`,
  ].join("\n");
  return {svg, ...full};
}

/** Breaks text at spaces into lines of at most so many characters; a longer word keeps a line of its own. */
export function wrap(text: string, most: number): string[] {
  const result: string[] = [];
  let line = "";
  for (const word of text.split(/\s+/).filter((each) => each !== "")) {
    if (line !== "" && line.length + 1 + word.length > most) {
      result.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  if (line !== "") result.push(line);
  return result;
}

const heightOf = (set: readonly Line[]): number => set.reduce((sum, {size}) => sum + size * 1.35, 0);

function lines(set: readonly Line[], from: number): string {
  let y = from;
  return set
    .map(({text, size, weight, colour}) => {
      y += size * 1.35;
      return `<text x="${EDGE}" y="${(y - size * 0.35).toFixed(1)}" font-size="${size}" font-weight="${weight}" fill="${colour}">${escape(text)}</text>`;
    })
    .join("\n");
}

const ENTITIES: Readonly<Record<string, string>> = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"};

// control characters have no place in XML, not even escaped
const escape = (text: string): string =>
  [...text]
    .filter((letter) => letter >= " " || letter === "\n" || letter === "\t")
    .map((letter) => ENTITIES[letter] ?? letter)
    .join("");
