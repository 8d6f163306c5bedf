/**
 * What the page and its workers may do, as Content-Security-Policy.
 *
 * The page may run its own scripts and connect nowhere. Workers do the reading and computing: they fetch the logs
 * from their own folder, and Arquero's verbs compile code at run time, so their scripts' responses allow
 * 'unsafe-eval'. A worker follows the header of its own script, not the page's.
 */
import type {Plugin} from "vite";

const rules = (entries: Readonly<Record<string, string>>): string =>
  Object.entries(entries)
    .map(([name, value]) => `${name} ${value}`)
    .join("; ");

/** data: and blob: pictures are the page's own charts on their way to a PNG. */
export const PAGE_POLICY = rules({
  "default-src": "'none'",
  "script-src": "'self'",
  "style-src": "'self'",
  "font-src": "'self'",
  "img-src": "'self' data: blob:",
  "worker-src": "'self'",
  "connect-src": "'none'",
  "base-uri": "'none'",
  "form-action": "'none'",
});

/** Only as a header: a meta element cannot forbid framing. */
export const PAGE_HEADER_POLICY = `${PAGE_POLICY}; frame-ancestors 'none'`;

export const WORKER_POLICY = rules({
  "default-src": "'none'",
  "script-src": "'self' 'unsafe-eval'",
  "connect-src": "'self'",
});

/** The service worker fetches from its own server what it keeps, and nothing from elsewhere. */
export const OFFLINE_POLICY = rules({
  "default-src": "'none'",
  "script-src": "'self'",
  "connect-src": "'self'",
});

/** Writes the page's policy into the built index.html, so that it holds on any static host. */
export function pagePolicy(): Plugin {
  return {
    name: "page-policy",
    apply: "build",
    transformIndexHtml: () => [
      {
        tag: "meta",
        attrs: {"http-equiv": "Content-Security-Policy", content: PAGE_POLICY},
        injectTo: "head-prepend",
      },
    ],
  };
}
