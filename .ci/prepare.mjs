/**
 * Set-up for a fresh machine, run before every command of package.json. It does nothing when all is there.
 *
 *   node .ci/prepare.mjs            the packages of package-lock.json
 *   node .ci/prepare.mjs --browser  and a Chromium for the browser tests, through Debian's packages if none is there
 *
 * Plain Node with no package of its own: it runs before any is installed.
 */
import {execFileSync} from "node:child_process";
import {createHash} from "node:crypto";
import {existsSync, readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {fileURLToPath} from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  fail(`Wearbook needs Node 20.19 or later, found ${process.versions.node}. Install a current Node and run again.`);
}
installPackages();
if (process.argv.includes("--browser")) findChromium();

/** `npm ci`, once per state of the lockfile. */
function installPackages() {
  const modules = join(root, "node_modules");
  const mark = join(modules, ".wearbook-lock");
  const lock = createHash("sha256")
    .update(readFileSync(join(root, "package-lock.json")))
    .digest("hex");
  if (existsSync(mark) && readFileSync(mark, "utf8") === lock) return;
  say("installing the packages of package-lock.json …");
  // npm's own words go to stderr, so that a command's data alone stay on stdout
  run(process.platform === "win32" ? "npm.cmd" : "npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"], {
    shell: process.platform === "win32",
  });
  writeFileSync(mark, lock);
}

/** A Chromium for the tests: the one named, one already there, or Debian's. */
function findChromium() {
  const known = [
    process.env.CHROMIUM_PATH,
    "/usr/bin/chromium",
    "/usr/bin/chromium-browser",
    "/usr/bin/google-chrome",
  ].find((path) => path && existsSync(path));
  if (known) return;
  if (process.platform !== "linux" || !existsSync("/usr/bin/apt-get")) {
    fail("The browser tests need Chromium, and none was found. Install one and set CHROMIUM_PATH to its program.");
  }
  say("installing Chromium for the browser tests …");
  const root = process.getuid?.() === 0;
  const apt = (...words) =>
    run(root ? "apt-get" : "sudo", [...(root ? [] : ["apt-get"]), ...words], {
      env: {...process.env, DEBIAN_FRONTEND: "noninteractive"},
    });
  apt("update", "-qq");
  apt("install", "-y", "-qq", "--no-install-recommends", "chromium", "fonts-dejavu-core");
}

function run(command, words, options = {}) {
  try {
    execFileSync(command, words, {cwd: root, stdio: ["ignore", 2, 2], ...options});
  } catch (error) {
    fail(`${command} ${words.join(" ")} did not finish: ${error.message}. Mend that and run again.`);
  }
}

function say(sentence) {
  process.stderr.write(`wearbook: ${sentence}\n`);
}

function fail(sentence) {
  say(sentence);
  process.exit(1);
}
