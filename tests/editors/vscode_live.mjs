// Drives a real VS Code, in a browser, with the packaged extension and the real server.
//
//   tests/editors/vscode_live.sh [FOLDER]     installs what it needs in FOLDER, then runs this
//
// It opens the example as it was first written, sees its clash, hovers, goes to a definition in the other
// file, looks at the outline, formats, applies a quick fix and sees that clash gone, and has a plan written into
// the text. Every wait has an end.

import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const EDITOR = resolve(process.env.TRUNNION_CODE_SERVER ?? assert.fail("TRUNNION_CODE_SERVER names no folder"));
const BINARY = resolve(process.env.TRUNNION_BIN ?? join(ROOT, "target/debug/trunnion"));
const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const PATIENCE = 60_000;

const { chromium } = createRequire(join(EDITOR, "package.json"))("playwright-core");

let folder, workspace, server, browser, page;
let said = "";

const freePort = () =>
  new Promise((found) => {
    const listener = createServer().listen(0, "127.0.0.1", () => {
      const { port } = listener.address();
      listener.close(() => found(port));
    });
  });

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "trunnion-live-"));
  workspace = join(folder, "easy_van");
  cpSync(join(ROOT, "examples/easy_van"), workspace, { recursive: true });
  // The same once more, one folder up, for a plan of the text as it was.
  writeFileSync(join(workspace, "planned.trunnion"), readFileSync(join(workspace, "first_written/easy_van.trunnion"), "utf8").replaceAll("../", ""));
  mkdirSync(join(folder, "user/User"), { recursive: true });
  writeFileSync(
    join(folder, "user/User/settings.json"),
    JSON.stringify({
      "trunnion.server.path": BINARY,
      "security.workspace.trust.enabled": false,
      "telemetry.telemetryLevel": "off",
      "workbench.startupEditor": "none",
      "workbench.tips.enabled": false,
      "extensions.autoCheckUpdates": false,
      "files.autoSave": "off",
    }),
  );
  const packed = spawnSync("npm", ["run", "--silent", "package"], { cwd: join(ROOT, "editors/vscode"), encoding: "utf8", timeout: 120_000 });
  assert.equal(packed.status, 0, packed.stdout + packed.stderr);
  const entry = join(EDITOR, "node_modules/code-server/out/node/entry.js");
  const places = ["--user-data-dir", join(folder, "user"), "--extensions-dir", join(folder, "extensions"), "--config", join(folder, "config.yaml")];
  writeFileSync(join(folder, "config.yaml"), "auth: none\n");
  const env = { ...process.env, HOME: folder, XDG_CONFIG_HOME: join(folder, "config"), XDG_DATA_HOME: join(folder, "data") };
  const installed = spawnSync("node", [entry, ...places, "--install-extension", join(ROOT, "editors/vscode/trunnion.vsix")], { env, encoding: "utf8", timeout: 120_000 });
  assert.equal(installed.status, 0, `the extension could not be installed: ${installed.stdout}${installed.stderr}`);

  const port = await freePort();
  server = spawn("node", [entry, ...places, "--auth", "none", "--bind-addr", `127.0.0.1:${port}`, "--disable-telemetry", "--disable-update-check"], { env });
  for (const stream of [server.stdout, server.stderr]) stream.on("data", (text) => (said += text));
  await until(async () => (await fetch(`http://127.0.0.1:${port}/healthz`).catch(() => null))?.ok, "the editor's server");

  browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  page = await browser.newPage({ viewport: { width: 1600, height: 1000 } });
  page.setDefaultTimeout(PATIENCE);
  const file = `vscode-remote://127.0.0.1:${port}${workspace}/first_written/easy_van.trunnion`;
  await page.goto(`http://127.0.0.1:${port}/?folder=${encodeURIComponent(workspace)}&payload=${encodeURIComponent(JSON.stringify([["openFile", file]]))}`);
});

after(async () => {
  if (process.env.TRUNNION_PICTURE) await page?.screenshot({ path: process.env.TRUNNION_PICTURE });
  await browser?.close();
  server?.kill();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

async function until(ready, what) {
  const end = Date.now() + PATIENCE;
  for (;;) {
    const value = await ready();
    if (value) return value;
    if (Date.now() > end) assert.fail(`${what} did not come in ${PATIENCE / 1000} s; the editor said: ${said.slice(-600)}`);
    await new Promise((next) => setTimeout(next, 150));
  }
}

const text = (selector) => page.$$eval(selector, (all) => all.map((it) => it.textContent.replace(/\u00a0/g, " ")));
const lines = () => text(".editor-instance .view-lines .view-line");
/** The problems that the panel lists, as it words them. */
const problems = () => text(".markers-panel .monaco-list-row .marker-icon.error ~ *, .markers-panel .monaco-list-row[aria-label^='Error']");

/** Runs a command by its name in the palette. */
async function command(name) {
  await page.keyboard.press("F1");
  await page.waitForSelector(".quick-input-widget:not([style*='display: none']) input");
  await page.keyboard.type(name);
  await until(async () => (await text(".quick-input-widget .monaco-list-row")).some((it) => it.includes(name)), `the command ${name}`);
  await page.keyboard.press("Enter");
}

/** Puts the cursor at some line and column, counted from 1. */
async function go(line, column) {
  await page.keyboard.press("Control+g");
  await page.waitForSelector(".quick-input-widget:not([style*='display: none']) input");
  await page.keyboard.type(`${line}:${column}`);
  await page.keyboard.press("Enter");
}

function placed(needle, within) {
  const whole = readFileSync(join(workspace, "first_written/easy_van.trunnion"), "utf8").split("\n");
  const line = whole.findIndex((it) => it.includes(needle));
  return [line + 1, whole[line].indexOf(needle) + within + 1];
}

test("the file is coloured by the grammar and its clash is shown", async () => {
  await until(async () => (await lines()).some((it) => it.includes("conversion easy_van_first")), "the text");
  const classes = await until(async () => {
    const found = await page.$$eval(".view-lines .view-line span[class^='mtk']", (all) => [...new Set(all.map((it) => it.className.split(" ")[0]))]);
    return found.length >= 4 && found;
  }, "colours");
  assert.ok(classes.length >= 4);
  await until(async () => (await page.$$(".squiggly-error")).length > 0, "a clash in the text");
});

test("hover shows what is known of the gearbox", async () => {
  await go(...placed("take gearbox,", 6));
  await command("Show or Focus Hover");
  await until(async () => (await text(".monaco-hover:not(.hidden) .hover-contents")).some((it) => it.includes("gearbox")), "the hover");
  await page.keyboard.press("Escape");
});

test("go to definition opens the donor in the other file", async () => {
  await go(...placed("donor breaker", 7));
  await page.keyboard.press("F12");
  await until(async () => (await text(".tabs-container .tab.active")).some((it) => it.includes("vehicles.trunnion")), "the other file");
  await until(async () => (await lines()).some((it) => it.includes("vehicle breaker")), "its text");
  await page.keyboard.press("Control+PageUp");
  await until(async () => (await text(".tabs-container .tab.active")).some((it) => it.includes("easy_van.trunnion")), "the first file again");
});

test("the outline names the conversion", async () => {
  await page.keyboard.press("Control+Shift+o");
  await until(async () => (await text(".quick-input-widget .monaco-list-row")).some((it) => it.includes("easy_van_first")), "the outline");
  await page.keyboard.press("Escape");
});

test("formatting tidies a line", async () => {
  await go(...placed("recipient van", 9));
  await page.keyboard.type("      ");
  await until(async () => (await lines()).some((it) => /recipient {6,}van/.test(it)), "the untidy line");
  await command("Format Document");
  await until(async () => (await lines()).some((it) => /recipient van/.test(it)), "the tidy line");
});

test("a quick fix is applied and its clash is gone", async () => {
  await command("Problems: Focus on Problems View");
  const before = await until(async () => {
    const found = await problems();
    return found.length && found;
  }, "the list of problems");
  // From clash to clash, until one offers a fix.
  await command("View: Focus Active Editor Group");
  let mended = null;
  for (let nth = 0; nth <= before.length && !mended; nth += 1) {
    await page.keyboard.press("F8");
    await page.waitForTimeout(400);
    await page.keyboard.press("Escape");
    await page.keyboard.press("Control+.");
    const offered = await page.waitForSelector(".action-widget .monaco-list-row.action", { timeout: 4000 }).catch(() => null);
    if (!offered) continue;
    mended = (await text(".action-widget .monaco-list-row.action"))[0];
    await page.keyboard.press("Enter");
  }
  assert.ok(mended, `no fix was offered for any of: ${before.join(" | ")}`);
  // Gone, and still gone a second later: the list is empty for a moment while it is drawn anew.
  const gone = async () => {
    const left = await problems();
    return before.filter((it) => !left.includes(it));
  };
  await until(async () => {
    const first = await gone();
    if (!first.length) return false;
    await page.waitForTimeout(1000);
    const still = await gone();
    return first.some((it) => still.includes(it));
  }, `the end of a clash after \`${mended}\``);
});

test("the lens counts, and the plan is written into the text", async () => {
  await page.dblclick(".explorer-folders-view .monaco-list-row:has-text('planned.trunnion')");
  await until(async () => (await text(".tabs-container .tab.active")).some((it) => it.includes("planned.trunnion")), "the file");
  const lens = await until(async () => (await text(".codelens-decoration")).find((it) => it.includes("· plan")), "the lens");
  assert.match(lens, /\d+ clashes, \d+ open.* · plan/);
  await go(...placed("conversion easy_van_first", 3));
  await page.keyboard.press("Control+.");
  await until(async () => (await text(".action-widget .monaco-list-row.action")).some((it) => it.includes("plan: make easy van first whole")), "the action");
  const focused = async () => (await text(".action-widget .monaco-list-row.action.focused")).join();
  for (let nth = 0; nth < 40 && !(await focused()).includes("plan: make easy van first whole"); nth += 1) {
    await page.keyboard.press("ArrowDown");
    await page.waitForTimeout(50);
  }
  await page.keyboard.press("Enter");
  await until(async () => (await text(".notification-toast .notification-list-item-message")).some((it) => /changes, \d+ of parts/.test(it)), "what the plan does");
  await page.keyboard.press("Control+End");
  await until(async () => (await lines()).some((it) => it.includes("pair gearbox_controller")), "the plan in the text");
});
