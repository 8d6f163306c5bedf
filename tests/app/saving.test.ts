import {parseHTML} from "linkedom";
import {describe, expect, it} from "vitest";
import {fileNameOf} from "../../src/app/saving/save.ts";
import {standaloneSvg, wrap} from "../../src/charts/standaloneSvg.ts";

const figure = {
  chart: `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="200"><path d="M0,0h1"/></svg>`,
  width: 400,
  height: 200,
  title: "Seals & liners <30 h wear",
  caption: "12 failures, 90 % limits.",
  origin: "invented demo fleet · filters: everything",
  alt: "a line",
  font: null,
};

describe("standaloneSvg(figure)", () => {
  it("is one picture with its namespace, size, title, caption and origin as text", () => {
    const {svg, width, height} = standaloneSvg(figure);
    const root = parseHTML(svg).document.querySelector("svg");
    expect(svg.startsWith('<svg xmlns="http://www.w3.org/2000/svg"')).toBe(true);
    expect(root?.getAttribute("width")).toBe(String(width));
    expect(width).toBe(432);
    expect(height).toBeGreaterThan(200);
    const words = [...(root?.querySelectorAll("text") ?? [])].map((node) => node.textContent).join(" ");
    expect(words).toContain("90 % limits");
    expect(words).toContain("invented demo fleet");
    expect(svg).not.toContain("var(--");
  });

  it("escapes words, so that a fleet called <script> stays a word", () => {
    const {svg} = standaloneSvg({...figure, title: `<script>alert("x")</script> & co\u0000`});
    expect(svg).not.toContain("<script>");
    expect(svg).toContain("&lt;script&gt;");
    expect(svg).not.toContain("\u0000");
  });

  it("carries the font inside when one is given", () => {
    expect(standaloneSvg({...figure, font: "data:font/woff2;base64,AAAA"}).svg).toContain(
      "url(data:font/woff2;base64,AAAA)",
    );
    expect(standaloneSvg(figure).svg).not.toContain("@font-face");
  });

  it("grows downwards with a long title and never lets the chart run over it", () => {
    const long = standaloneSvg({...figure, title: "word ".repeat(60)});
    expect(long.height).toBeGreaterThan(standaloneSvg(figure).height + 60);
  });
});

describe("wrap(text, most)", () => {
  it("breaks at spaces and keeps every word", () => {
    expect(wrap("one two three four", 9)).toEqual(["one two", "three", "four"]);
    expect(wrap("  ", 9)).toEqual([]);
  });

  it("gives a word longer than the line a line of its own", () => {
    expect(wrap("a superlongword b", 5)).toEqual(["a", "superlongword", "b"]);
  });
});

describe("fileNameOf(parts, ending)", () => {
  it("joins words with hyphens in letters that every system takes", () => {
    expect(fileNameOf(["Poppet tip", "Weibull plot, OBM"], "svg")).toBe("poppet-tip-weibull-plot-obm.svg");
    expect(fileNameOf(["Übersicht / 3 %"], "csv")).toBe("ubersicht-3.csv");
  });

  it("never gives an empty, hidden or endless name", () => {
    expect(fileNameOf(["../../"], "csv")).toBe("wearbook.csv");
    expect(fileNameOf(["x".repeat(500)], "png").length).toBeLessThanOrEqual(84);
  });
});
