import {mkdirSync, mkdtempSync, rmSync, writeFileSync} from "node:fs";
import {request, type Server} from "node:http";
import type {AddressInfo} from "node:net";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {afterAll, beforeAll, describe, expect, it} from "vitest";
import {logManifest} from "../../src/app/logManifest.ts";
import {headersFor, staticServer} from "../../src/app/staticServer.ts";

let root: string;
let server: Server;

interface Answer {
  readonly status: number;
  readonly type: string;
  readonly policy: string;
  readonly body: string;
}

/** Asks for an address exactly as written: fetch would tidy `..` away before it is sent. */
function get(path: string, options: {method?: string; host?: string} = {}): Promise<Answer> {
  const {port} = server.address() as AddressInfo;
  return new Promise((resolve, reject) => {
    const asked = request(
      {
        host: "127.0.0.1",
        port,
        path,
        method: options.method ?? "GET",
        headers: {host: options.host ?? `127.0.0.1:${port}`},
      },
      (response) => {
        let body = "";
        response.setEncoding("utf8").on("data", (chunk: string) => (body += chunk));
        response.on("end", () =>
          resolve({
            status: response.statusCode ?? 0,
            type: String(response.headers["content-type"]),
            policy: String(response.headers["content-security-policy"]),
            body,
          }),
        );
      },
    );
    asked.on("error", reject).end();
  });
}

beforeAll(async () => {
  root = mkdtempSync(join(tmpdir(), "wearbook-"));
  mkdirSync(join(root, "dist", "assets"), {recursive: true});
  mkdirSync(join(root, "dist", "data"));
  mkdirSync(join(root, "logs", "runs.csv.d"), {recursive: true});
  writeFileSync(join(root, "dist", "index.html"), "<p>the page");
  writeFileSync(join(root, "dist", "assets", "logWorker-Ab_1-x.js"), "1");
  writeFileSync(join(root, "dist", "assets", "index-Ab1.js"), "1");
  writeFileSync(join(root, "dist", "data", "runs.demo.csv"), "demo");
  writeFileSync(join(root, "logs", "runs.mine.csv"), "run,tool\n");
  writeFileSync(join(root, "logs", "rebuilds 2024.csv"), "tool\n");
  writeFileSync(join(root, "logs", "settings.yaml"), "level: 0.9\n");
  mkdirSync(join(root, "logs", "analyses"));
  writeFileSync(join(root, "logs", "analyses", "seals.md"), "# Seals");
  writeFileSync(join(root, "logs", "analyses", "other.txt"), "no");
  writeFileSync(join(root, "logs", "register.yaml"), "[]");
  writeFileSync(join(root, "logs", "secrets.txt"), "no");
  writeFileSync(join(root, "outside.csv"), "no");
  server = staticServer({page: join(root, "dist"), logs: join(root, "logs"), invented: false});
  await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
});

afterAll(() => {
  server.close();
  rmSync(root, {recursive: true});
});

describe("staticServer(folders)", () => {
  it("shows the page with its policy and its type", async () => {
    const page = await get("/");
    expect(page).toMatchObject({status: 200, type: "text/html; charset=utf-8", body: "<p>the page"});
    expect(page.policy).toContain("script-src 'self';");
    expect(page.policy).not.toContain("unsafe");
    expect(page.policy).toContain("connect-src 'none'");
  });

  it("lets only the worker's script compile code", async () => {
    expect((await get("/assets/logWorker-Ab_1-x.js")).policy).toContain("'unsafe-eval'");
    expect((await get("/assets/index-Ab1.js")).policy).not.toContain("unsafe");
    expect(headersFor("/assets/index-logWorker-x.js")["Content-Security-Policy"]).not.toContain("unsafe");
  });

  it("lets the service worker fetch from its own server, and nothing more", () => {
    const policy = headersFor("/offline.js")["Content-Security-Policy"];
    expect(policy).toBe("default-src 'none'; script-src 'self'; connect-src 'self'");
    expect(headersFor("/x/offline.js")["Content-Security-Policy"]).toContain("connect-src 'none'");
  });

  it("lists the logs of the folder by name, and nothing else of it", async () => {
    expect(JSON.parse((await get("/data/logs.json")).body)).toEqual({
      id: expect.stringMatching(/^[0-9a-f]{16}$/),
      logs: ["rebuilds 2024.csv", "runs.mine.csv"],
      texts: ["analyses/seals.md", "register.yaml", "settings.yaml"],
      invented: false,
    });
    expect((await get("/data/analyses/seals.md")).body).toBe("# Seals");
    expect((await get("/data/analyses/other.txt")).status).toBe(404);
    expect((await get("/data/rebuilds%202024.csv")).body).toBe("tool\n");
    expect((await get("/data/secrets.txt")).status).toBe(404);
    expect((await get("/data/runs.demo.csv")).status).toBe(404);
  });

  it.each([
    "/../outside.csv",
    "/data/../../outside.csv",
    "/data/..%2f..%2foutside.csv",
    "/data/%2e%2e/outside.csv",
    "/data/..%5coutside.csv",
    "//etc/passwd",
    "/data/",
    "/assets/",
    "/data/runs.csv.d",
    "/%00",
  ])("has nothing at %s", async (path) => expect((await get(path)).status).toBe(404));

  it("refuses what is no address, another host's name, and anything but reading", async () => {
    expect((await get("/%E0%A4%A")).status).toBe(400);
    expect((await get("/", {host: "evil.example"})).status).toBe(403);
    expect((await get("/", {method: "POST"})).status).toBe(405);
    expect(await get("/", {method: "HEAD"})).toMatchObject({status: 200, body: ""});
  });
});

describe("logManifest(names)", () => {
  it("takes run and rebuild logs in any case, and leaves the rest", () => {
    const names = [
      "README.md",
      "Runs.2024.CSV",
      "rebuilds.csv",
      "xruns.csv",
      "runs.csv/x",
      "Settings.yml",
      "runs.xlsx",
    ];
    expect(logManifest(names, "demo", true)).toEqual({
      id: "demo",
      logs: ["rebuilds.csv", "Runs.2024.CSV", "runs.xlsx"],
      texts: ["Settings.yml"],
      invented: true,
    });
  });
});
