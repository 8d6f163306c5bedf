import {describe, expect, it} from "vitest";
import {Glosses} from "../../src/report/glosses.ts";
import {proseHtml} from "../../src/report/proseHtml.ts";

describe("Glosses", () => {
  it("explains a term at its first use in texts that belong together, and again in the next ones", () => {
    const glosses = new Glosses();
    const [one, other] = [glosses.begin(), glosses.begin()];
    expect(one("Shape 2 <b>")).toBe(
      '<button type="button" class="term" popovertarget="term-shape">Shape</button> 2 &lt;b&gt;',
    );
    expect(one("the shape")).toBe("the shape");
    expect(other("the shape")).toContain('popovertarget="term-shape"');
    expect(glosses.strips().match(/id="term-shape"/g)).toHaveLength(1);
    expect(glosses.strips()).not.toContain("term-scale");
  });

  it("takes a B10 life for itself, not for a life", () => {
    const explain = new Glosses().begin();
    expect(explain("B10 life")).toContain('popovertarget="term-b10-life">B10 life<');
    expect(explain("a life")).toContain('popovertarget="term-life">life<');
  });
});

describe("proseHtml(markdown, explain)", () => {
  const html = (markdown: string) => proseHtml(markdown, new Glosses().begin());

  it("explains words of paragraphs and lists, not of headings, links and code", () => {
    expect(html("## Shape\n\n[shape](#x) `shape` and *shape*")).toBe(
      '<h2>Shape</h2>\n<p><a href="#x">shape</a> <code>shape</code> and <em><button type="button" class="term" popovertarget="term-shape">shape</button></em></p>\n',
    );
    expect(html("- a suspension\n- a life")).toContain(
      '<li>a <button type="button" class="term" popovertarget="term-life">',
    );
  });

  it("shows HTML as it was typed, escaped once", () => {
    expect(html("a < b & c <script>x</script>")).toBe("<p>a &lt; b &amp; c &lt;script&gt;x&lt;/script&gt;</p>\n");
  });
});
