/**
 * A chart as a picture of its own: title above, caption and origin below, the font inside or a generic one, so that it
 * can be put into a report without the page around it.
 */

export interface Standalone {
  /** the chart's own `<svg>…</svg>`, colours resolved */
  readonly chart: string;
  /** CSS pixels of the chart, before it is scaled */
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
  /** default: a figure of a page */
  readonly form?: PictureForm;
  /** how much larger the chart is set than it was drawn; default 1 */
  readonly scale?: number;
}

/** Type sizes and edges of a picture, in CSS pixels. */
export interface PictureForm {
  readonly edge: number;
  readonly title: number;
  readonly caption: number;
  readonly origin: number;
  /** the height of the whole where it is fixed: the chart is then centred in what is left */
  readonly height?: number;
  /** the width of the whole as it is printed, in millimetres */
  readonly printWidth?: number;
}

export const PAGE_FORM: PictureForm = {edge: 16, title: 16, caption: 12.5, origin: 11.5};

const INK = "#1a2123";
const MUTED = "#5f6a6f";
const PAPER = "#ffffff";
const FONT = "'Source Sans 3 Variable', 'Source Sans 3', 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif";

interface Line {
  readonly text: string;
  readonly size: number;
  readonly weight: number;
  readonly colour: string;
}

interface Words {
  readonly above: readonly Line[];
  readonly below: readonly Line[];
}

/** Height that words and edges leave to the chart in a picture of fixed height. */
export function roomFor(words: Omit<Standalone, "chart" | "height" | "alt">, height: number): number {
  const {edge} = words.form ?? PAGE_FORM;
  const {above, below} = wordsOf(words);
  return height - (edge + heightOf(above) + 8) - (10 + heightOf(below) + edge);
}

export function standaloneSvg(given: Standalone): {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
} {
  const {chart, title, alt, font, form = PAGE_FORM, scale = 1} = given;
  const {above, below} = wordsOf(given);
  const {edge} = form;
  const [width, height] = [given.width * scale, given.height * scale];
  const top = edge + heightOf(above) + 8;
  const least = Math.ceil(top + height + 10 + heightOf(below) + edge);
  const full = {width: Math.round(width + 2 * edge), height: form.height ?? least};
  const foot = full.height - edge - heightOf(below);
  const down = top + Math.max(0, (foot - 10 - top - height) / 2);
  const inner =
    scale === 1
      ? chart.replace(/^<svg/, `<svg x="${edge}" y="${down}"`)
      : `<g transform="translate(${edge} ${down}) scale(${scale})">${chart}</g>`;
  const face =
    font === null
      ? ""
      : `<style>@font-face{font-family:'Source Sans 3 Variable';font-weight:200 900;src:url(${font}) format('woff2')}</style>`;
  const {printWidth} = form;
  const size =
    printWidth === undefined
      ? `width="${full.width}" height="${full.height}"`
      : `width="${printWidth}mm" height="${((printWidth * full.height) / full.width).toFixed(2)}mm"`;
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${full.width} ${full.height}" ${size} role="img" font-family="${FONT}">`,
    `<title>${escape(title)}</title>`,
    `<desc>${escape(alt)}</desc>`,
    face,
    `<rect width="100%" height="100%" fill="${PAPER}"/>`,
    lines(above, edge, edge),
    inner,
    lines(below, edge, foot),
    `</svg>`,
  ].join("\n");
  return {svg, ...full};
}

function wordsOf({
  title,
  caption,
  origin,
  width,
  font,
  form = PAGE_FORM,
  scale = 1,
}: Omit<Standalone, "chart" | "height" | "alt">): Words {
  // a font that is not ours may run wide: DejaVu Sans takes 0.58 of its size for a letter where ours takes 0.47
  const letter = font === null ? 0.52 : 0.5;
  const set = (text: string, size: number, weight: number, colour: string): Line[] =>
    wrap(text, (width * scale) / (size * (weight > 500 ? letter + 0.04 : letter))).map((line) => ({
      text: line,
      size,
      weight,
      colour,
    }));
  return {
    above: set(title, form.title, 600, INK),
    below: [...set(caption, form.caption, 400, INK), ...set(origin, form.origin, 400, MUTED)],
  };
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

function lines(set: readonly Line[], edge: number, from: number): string {
  let y = from;
  return set
    .map(({text, size, weight, colour}) => {
      y += size * 1.35;
      return `<text x="${edge}" y="${(y - size * 0.35).toFixed(1)}" font-size="${size}" font-weight="${weight}" fill="${colour}">${escape(text)}</text>`;
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
