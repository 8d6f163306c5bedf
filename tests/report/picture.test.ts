/** Pictures of a figure for a page, a slide and print. */
import {parseHTML} from "linkedom";
import {afterAll, beforeAll, describe, expect, it} from "vitest";
import type {Figure} from "../../src/cells/contract.ts";
import {plotInNode} from "../../src/cli/drawChart.ts";
import {PngThread} from "../../src/cli/PngThread.ts";
import {PICTURE_SIZES, pictureOf, type Draw} from "../../src/report/index.ts";

const bar = (name: string, value: number) => ({
  name,
  value,
  lower: null,
  upper: null,
  serviceInduced: false,
  runningShare: null,
});
const figureOf = (rows: number, label = "β ≥ 1"): Figure => ({
  name: "causes",
  title: "Grit ends most seals",
  caption: "40 failures among 96 lives, 90 % limits.",
  alt: "bars",
  chart: {
    kind: "bars",
    label: "failures",
    unit: "",
    bars: Array.from({length: rows}, (_, row) => bar(`${label} ${row}`, rows - row)),
  },
});

let draw: Draw;
const painter = new PngThread();
beforeAll(async () => void (draw = await plotInNode()));
afterAll(() => painter.close());

describe("pictureOf(figure, {size})", () => {
  it.each(PICTURE_SIZES)(
    "%s carries title, caption, counts and origin as text and leaves nothing to a page",
    (size) => {
      const {svg} = pictureOf(figureOf(4), {size, draw, origin: "invented demo fleet", font: null});
      const words = [...parseHTML(svg).document.querySelectorAll("text")].map((node) => node.textContent).join(" ");
      for (const said of ["Grit ends most seals", "96 lives", "invented demo fleet", "β ≥ 1 3"])
        expect(words).toContain(said);
      expect(svg).not.toMatch(/var\(/);
      expect(svg, "a generic font stands last").toMatch(/sans-serif/);
    },
  );

  it("a slide is 1280 × 720 with larger type, and many rows are scaled into it whole", () => {
    const scaleOf = (svg: string) => Number(/scale\(([\d.]+)\)/.exec(svg)?.[1]);
    const few = pictureOf(figureOf(4), {size: "slide", draw, origin: "o", font: null});
    const many = pictureOf(figureOf(60), {size: "slide", draw, origin: "o", font: null});
    expect([few.width, few.height, many.width, many.height]).toEqual([1280, 720, 1280, 720]);
    expect(scaleOf(few.svg)).toBe(1.75);
    expect(scaleOf(many.svg)).toBeLessThan(0.5);
    expect((many.svg.match(/β ≥ 1 \d+</g) ?? []).length).toBe(60);
  });

  it("a print is 170 mm wide, and 300 pixels to the inch as PNG", async () => {
    const picture = pictureOf(figureOf(4), {size: "print", draw, origin: "o", font: null});
    expect(picture.svg).toMatch(/width="170mm"/);
    const png = Buffer.from(await painter.draw(picture));
    // 170 mm = 6.693 in; IHDR holds the width (ISO/IEC 15948, 11.2.2)
    expect(png.readUInt32BE(16)).toBeGreaterThan(2000);
    expect(Math.abs(png.readUInt32BE(16) - (170 / 25.4) * 300)).toBeLessThan(8);
  });
});

describe("PngThread.draw(picture)", () => {
  // resvg drops every word in silence where it finds no font for it
  it("draws Latin, Greek and signs: the same picture without them is another one", async () => {
    const pixels = async (label: string) => {
      const png = await painter.draw(pictureOf(figureOf(1, label), {size: "page", draw, origin: "o", font: null}));
      return Buffer.from(png).toString("base64");
    };
    expect(new Set(await Promise.all(["", "seal", "βηφ", "≥ −", "ΒΗΦ"].map(pixels))).size).toBe(5);
  });

  it("says what is wrong with a picture that cannot be drawn, and draws the next", async () => {
    const good = pictureOf(figureOf(1), {size: "page", draw, origin: "o", font: null});
    await expect(painter.draw({...good, svg: "<svg"})).rejects.toThrow(/^a picture could not be drawn: /);
    expect(
      Buffer.from(await painter.draw(good))
        .subarray(1, 4)
        .toString(),
    ).toBe("PNG");
  });
});
