import {fileURLToPath} from "node:url";
import {describe, expect, it} from "vitest";
import {licencesOf} from "../../src/app/licences.ts";

const at = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

describe("licencesOf(modules)", () => {
  it("gives the licence of every package, what its files say of their authors, and nothing of ours", () => {
    const text = licencesOf([
      at("src/app/main.ts"),
      `${at("node_modules/@stdlib/math-base-special-gammainc/lib/main.js")}?commonjs`,
      `${at("node_modules/@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2")}?inline`,
      "\0vite/preload-helper.js",
    ]);
    expect(text).toContain("@stdlib/math-base-special-gammainc 0.2.2 (Apache-2.0 AND BSL-1.0)");
    expect(text).toContain("Apache License");
    expect(text).toContain("(C) Copyright John Maddock"); // only the file itself names him
    expect(text).toContain("SIL OPEN FONT LICENSE");
    expect(text).not.toContain("main.ts");
  });

  it("prints a text that several packages share once, under all their names", () => {
    const text = licencesOf([
      at("node_modules/@stdlib/math-base-special-gammainc/lib/index.js"),
      at("node_modules/@stdlib/math-base-special-erfcinv/lib/index.js"),
    ]);
    expect(text.match(/Apache License\n\s*Version 2\.0/g)).toHaveLength(1);
    expect(text).toMatch(/erfcinv .*, @stdlib\/math-base-special-gammainc /);
  });
});
