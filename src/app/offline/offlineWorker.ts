/**
 * Keeps the page usable without a network: the service worker of the built page. The build writes its files and their
 * version into it (offlineCache.ts).
 *
 * The program's own files are kept whole per version; those with a content hash in their name are answered from there,
 * the page itself from the network while there is one, so that a newer build is seen at once. Logs that are served beside
 * the page are always asked for first, and the last ones seen stand in when there is no answer. A new version waits until
 * every page of the old one is closed, since those may still want its files.
 */
import type {LogManifest} from "../logManifest.ts";

declare const OFFLINE_BUILD: {readonly version: string; readonly files: readonly string[]};

const {version, files} = OFFLINE_BUILD;
const PROGRAM = `wearbook-program-${version}`;
const LOGS = "wearbook-logs";

const worker = globalThis as unknown as ServiceWorkerGlobalScope;
const addressOf = (name: string): string => new URL(name, worker.registration.scope).href;
/** A file name may hold letters that mean something in an address. */
const plainAddress = (name: string): string => name.split("/").map(encodeURIComponent).join("/");

worker.addEventListener("install", (event) => event.waitUntil(Promise.all([keepProgram(), keepLogs()])));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("fetch", (event) => {
  const {request} = event;
  const {origin, pathname} = new URL(request.url);
  if (request.method !== "GET" || origin !== worker.location.origin) return;
  if (request.mode === "navigate") event.respondWith(pageAnswer(request));
  else if (pathname.includes("/data/")) event.respondWith(logsAnswer(request));
  else if (pathname.includes("/assets/")) event.respondWith(programAnswer(request));
});

async function keepProgram(): Promise<void> {
  const cache = await caches.open(PROGRAM);
  await cache.addAll(files.map((name) => new Request(addressOf(name), {cache: "no-cache"})));
}

/** The logs served beside the page; without them the program still opens. */
async function keepLogs(): Promise<void> {
  try {
    const manifest = addressOf("data/logs.json");
    const answer = await fetch(manifest);
    if (!answer.ok) return;
    const cache = await caches.open(LOGS);
    await cache.put(manifest, answer.clone());
    const {logs, texts} = (await answer.json()) as LogManifest;
    await cache.addAll([...logs, ...texts].map((name) => addressOf(`data/${plainAddress(name)}`)));
  } catch {
    // no network, or no room: what was kept before stays
  }
}

async function takeOver(): Promise<void> {
  const old = (await caches.keys()).filter((name) => name.startsWith("wearbook-program-") && name !== PROGRAM);
  await Promise.all(old.map((name) => caches.delete(name)));
  await worker.clients.claim();
}

async function pageAnswer(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (error) {
    const kept = await caches.match(addressOf("index.html"));
    if (kept === undefined) throw error;
    return kept;
  }
}

async function programAnswer(request: Request): Promise<Response> {
  return (await caches.match(request, {ignoreSearch: true})) ?? fetch(request);
}

async function logsAnswer(request: Request): Promise<Response> {
  const cache = await caches.open(LOGS);
  try {
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await cache.match(request);
    if (kept === undefined) throw error;
    return kept;
  }
}
