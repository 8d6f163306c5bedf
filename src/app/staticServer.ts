/**
 * A small server for the built page and one folder of logs, for this machine only.
 *
 * It answers from two lists made beforehand: the files of the build, and the logs named in the manifest. An address
 * that is on neither list is not there, whatever it looks like; nothing is ever joined onto a path.
 */
import {createHash} from "node:crypto";
import {createReadStream, readdirSync, statSync} from "node:fs";
import {createServer, type IncomingMessage, type Server, type ServerResponse} from "node:http";
import {extname, join, resolve} from "node:path";
import {DEMO_FOLDER, logManifest, type LogManifest} from "./logManifest.ts";
import {OFFLINE_POLICY, PAGE_HEADER_POLICY, WORKER_POLICY} from "./policy.ts";

export interface Served {
  /** folder of the built page */
  readonly page: string;
  /** folder that holds runs.*, rebuilds.*, settings.yaml */
  readonly logs: string;
  /** the folder holds the demo fleet */
  readonly invented: boolean;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".csv": "text/csv; charset=utf-8",
  ".tsv": "text/tab-separated-values; charset=utf-8",
  ".txt": "text/plain; charset=utf-8",
  ".md": "text/markdown; charset=utf-8",
  ".yaml": "application/yaml; charset=utf-8",
  ".yml": "application/yaml; charset=utf-8",
  ".woff2": "font/woff2",
  ".png": "image/png",
};

/** What the build calls the scripts of workers; they alone may compile code at run time. */
export const WORKER_SCRIPT = /^\/assets\/logWorker-[\w-]+\.js$/;

export function staticServer({page, logs, invented}: Served): Server {
  const built = new Map(filesBelow(page).map((name) => [`/${name}`, join(page, ...name.split("/"))]));
  for (const address of built.keys()) if (address.startsWith("/data/")) built.delete(address);
  return createServer((request, response) => answer(request, response, {built, logs, invented}));
}

interface Lists {
  readonly built: ReadonlyMap<string, string>;
  readonly logs: string;
  readonly invented: boolean;
}

function answer(request: IncomingMessage, response: ServerResponse, {built, logs, invented}: Lists): void {
  // another site's name pointed at this machine must not read the logs
  if (!/^(127\.0\.0\.1|localhost|\[::1\])(:\d+)?$/.test(request.headers.host ?? "")) return refuse(response, 403);
  if (request.method !== "GET" && request.method !== "HEAD") return refuse(response, 405);
  const address = plainAddress(request.url ?? "/");
  if (address === null) return refuse(response, 400);
  if (address === "/data/logs.json") {
    const text = JSON.stringify(manifestOf(logs, invented));
    response.writeHead(200, headersFor(address)).end(request.method === "HEAD" ? undefined : text);
    return;
  }
  const file = built.get(address === "/" ? "/index.html" : address) ?? logFile(address, logs);
  if (file === null || file === undefined) return refuse(response, 404);
  response.writeHead(200, headersFor(address === "/" ? "/index.html" : address));
  if (request.method === "HEAD") response.end();
  else
    createReadStream(file)
      .on("error", () => response.destroy())
      .pipe(response);
}

/** The path of an address, decoded once; null for one that is no address. */
function plainAddress(url: string): string | null {
  try {
    return decodeURIComponent(new URL(url, "http://127.0.0.1").pathname);
  } catch {
    return null;
  }
}

function logFile(address: string, folder: string): string | null {
  if (!address.startsWith("/data/")) return null;
  const name = address.slice("/data/".length);
  const {logs, texts} = manifestOf(folder, false);
  return logs.includes(name) || texts.includes(name) ? join(folder, ...name.split("/")) : null;
}

function manifestOf(folder: string, invented: boolean): LogManifest {
  const names = [...namesIn(folder), ...namesIn(join(folder, "analyses")).map((name) => `analyses/${name}`)];
  // what the page keeps for a folder stays apart from what it keeps for another one served at the same address
  const id = createHash("sha256").update(resolve(folder)).digest("hex").slice(0, 16);
  return logManifest(names, invented ? DEMO_FOLDER : id, invented);
}

export function headersFor(address: string): Record<string, string> {
  const hashed = address.startsWith("/assets/");
  return {
    "Content-Type": TYPES[extname(address).toLowerCase()] ?? "application/octet-stream",
    "Content-Security-Policy": policyOf(address),
    "Cache-Control": hashed ? "max-age=31536000, immutable" : "no-cache",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
  };
}

function policyOf(address: string): string {
  if (WORKER_SCRIPT.test(address)) return WORKER_POLICY;
  return address === "/offline.js" ? OFFLINE_POLICY : PAGE_HEADER_POLICY;
}

const REASONS: Readonly<Record<number, string>> = {
  400: "This address cannot be read.",
  403: "This server answers only on this machine.",
  404: "There is nothing at this address.",
  405: "This server only hands out files.",
};

function refuse(response: ServerResponse, status: number): void {
  response.writeHead(status, headersFor(".txt")).end(`${REASONS[status] ?? ""}\n`);
}

/** Names below a folder with `/` between, plain files only. */
function filesBelow(folder: string, prefix = ""): string[] {
  return readdirSync(folder, {withFileTypes: true}).flatMap((entry) =>
    entry.isDirectory()
      ? filesBelow(join(folder, entry.name), `${prefix}${entry.name}/`)
      : entry.isFile()
        ? [`${prefix}${entry.name}`]
        : [],
  );
}

/** Plain files of a folder; one that has gone holds none. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).filter((name) => statSync(join(folder, name)).isFile());
  } catch {
    return [];
  }
}
