import js from "@eslint/js";
import globals from "globals";
import svelte from "eslint-plugin-svelte";
import ts from "typescript-eslint";

export default ts.config(
  {ignores: ["dist/", "out/", "node_modules/", "coverage/", "test-results/", "playwright-report/"]},
  js.configs.recommended,
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  {
    languageOptions: {globals: {...globals.browser, ...globals.node}},
    rules: {
      eqeqeq: "error",
      "no-undef": "off", // TypeScript answers this, with types
      "@typescript-eslint/no-explicit-any": "error",
      "@typescript-eslint/no-non-null-assertion": "off", // columns are indexed inside their own bounds
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/no-unused-vars": ["error", {argsIgnorePattern: "^_", varsIgnorePattern: "^_"}],
    },
  },
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: {parserOptions: {parser: ts.parser, extraFileExtensions: [".svelte"]}},
  },
);
