// The VS Code extension: it is packaged, the package is opened and looked into, and what was packaged is
// activated with a stand-in for the editor's own module, so that it starts the real server.
//
// Run from editors/vscode, whose packages it uses: `npm test`. The server is the program named in
// TRUNNION_BIN, else target/debug/trunnion.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import Module, { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { inflateRawSync } from "node:zlib";
import { standIn } from "./vscode_stand_in.mjs";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const EXTENSION = join(ROOT, "editors/vscode");
const BINARY = resolve(process.env.TRUNNION_BIN ?? join(ROOT, "target/debug/trunnion"));
const PATIENCE = 30_000;

let folder;
let packed;

before(() => {
  folder = mkdtempSync(join(tmpdir(), "trunnion-vscode-"));
  const run = spawnSync("npm", ["run", "--silent", "package"], { cwd: EXTENSION, encoding: "utf8", timeout: 120_000 });
  assert.equal(run.status, 0, `npm run package:\n${run.stdout}\n${run.stderr}`);
  packed = unzip(readFileSync(join(EXTENSION, "trunnion.vsix")));
  for (const [name, content] of packed) {
    const path = join(folder, name);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, content);
  }
});

after(() => rmSync(folder, { recursive: true, force: true }));

/** The files of a zip archive: name → bytes. */
function unzip(bytes) {
  const files = new Map();
  let end = bytes.length - 22;
  while (bytes.readUInt32LE(end) !== 0x06054b50) end -= 1;
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left -= 1) {
    const [method, size, nameLength] = [bytes.readUInt16LE(at + 10), bytes.readUInt32LE(at + 20), bytes.readUInt16LE(at + 28)];
    const name = bytes.toString("utf8", at + 46, at + 46 + nameLength);
    const local = bytes.readUInt32LE(at + 42);
    const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
    const content = bytes.subarray(start, start + size);
    files.set(name, method === 8 ? inflateRawSync(content) : content);
    at += 46 + nameLength + bytes.readUInt16LE(at + 30) + bytes.readUInt16LE(at + 32);
  }
  return files;
}

async function until(ready, what) {
  const end = Date.now() + PATIENCE;
  for (;;) {
    const value = ready();
    if (value) return value;
    if (Date.now() > end) assert.fail(`${what} did not come in ${PATIENCE / 1000} s`);
    await new Promise((next) => setTimeout(next, 50));
  }
}

test("the package holds what it names, and nothing else", () => {
  const names = [...packed.keys()].filter((it) => !/LICENSE/.test(it)).sort();
  assert.deepEqual(names, [
    "[Content_Types].xml", "extension.vsixmanifest", "extension/dist/extension.js", "extension/dist/trunnion.tmLanguage.json",
    "extension/language-configuration.json", "extension/package.json", "extension/readme.md",
  ]);
  const manifest = JSON.parse(packed.get("extension/package.json"));
  const named = [manifest.main, ...manifest.contributes.languages.map((it) => it.configuration), ...manifest.contributes.grammars.map((it) => it.path)];
  for (const path of named) assert.ok(packed.has(join("extension", path)), `${path} is named and not packed`);
  assert.deepEqual(manifest.contributes.languages[0].extensions, [".trunnion"]);
  assert.equal(packed.get("extension/dist/trunnion.tmLanguage.json").toString(), readFileSync(join(ROOT, "grammar/trunnion.tmLanguage.json"), "utf8"));
  assert.ok(manifest.contributes.configuration.properties["trunnion.server.path"]);
});

test("the language configuration can be read, and its patterns do what they should", () => {
  const read = JSON.parse(packed.get("extension/language-configuration.json"));
  assert.equal(read.comments.lineComment, "//");
  const words = "torque limit 400 Nm, km/h, loose/end 0.5 mm² YE/GN".match(new RegExp(read.wordPattern, "gu"));
  assert.deepEqual(words, ["torque", "limit", "Nm", "km/h", "loose/end", "mm²", "YE/GN"]);
  const [doc] = read.onEnterRules.map((it) => new RegExp(it.beforeText));
  assert.ok(doc.test("  /// what it is"));
  for (const line of ["  // a comment", "//// a row", "///", "part p {"]) assert.ok(!doc.test(line), line);
  const more = new RegExp(read.indentationRules.increaseIndentPattern);
  for (const line of ["part p {", 'part p "a // b" is k {', "  plug B1 is s {"]) assert.ok(more.test(line), line);
  for (const line of ["// part {", "/// {", "face a { bore 3 mm }", 'use "a{"', "built 2012-04"]) assert.ok(!more.test(line), line);
});

test("the lock file names no registry and no package outside it", () => {
  const lock = JSON.parse(readFileSync(join(EXTENSION, "package-lock.json"), "utf8"));
  for (const [name, it] of Object.entries(lock.packages)) assert.equal(it.resolved, undefined, `${name} is resolved to an address`);
});

/** Loads the packed extension with a stand-in for the module `vscode`. */
function load(vscode) {
  const path = join(folder, "extension/dist/extension.js");
  const ordinary = Module._load;
  Module._load = (name, ...rest) => (name === "vscode" ? vscode : ordinary(name, ...rest));
  try {
    const require = createRequire(path);
    delete require.cache[path];
    return require(path);
  } finally {
    Module._load = ordinary;
  }
}

test("what is packed starts the real server, which finds the clash of the example", { timeout: 120_000 }, async () => {
  assert.ok(existsSync(BINARY), `no server at ${BINARY}: build it, or name one in TRUNNION_BIN`);
  const workspace = join(folder, "easy_van");
  cpSync(join(ROOT, "examples/easy_van"), workspace, { recursive: true });
  const file = join(workspace, "first_written/easy_van.trunnion");
  const editor = standIn({
    workspace: pathToFileURL(workspace).href,
    settings: { "trunnion.server.path": BINARY },
    documents: [{ uri: pathToFileURL(file).href, languageId: "trunnion", version: 1, text: readFileSync(file, "utf8") }],
  });
  const extension = load(editor.vscode);
  const context = { subscriptions: [] };
  try {
    await extension.activate(context);
    assert.deepEqual(editor.told, [], "the editor was told of an error");
    const clashes = await until(() => {
      const found = (editor.diagnostics.get(pathToFileURL(file).href) ?? []).filter((it) => it.severity === 0);
      return found.length && found;
    }, "a clash");
    assert.ok(clashes.every((it) => it.message.length > 10));
    assert.ok(editor.commands.has("trunnion.restart"));
    // A restart ends one server and begins another.
    editor.diagnostics.clear();
    await editor.commands.get("trunnion.restart")();
    await until(() => editor.diagnostics.get(pathToFileURL(file).href)?.length, "the diagnostics after a restart");
  } finally {
    await extension.deactivate();
    for (const it of context.subscriptions) it.dispose();
  }
});

test("a lens and an action plan the conversion, and the plan is applied as an edit", { timeout: 120_000 }, async () => {
  const file = join(folder, "easy_van_plan/first_written/easy_van.trunnion");
  cpSync(join(ROOT, "examples/easy_van"), join(folder, "easy_van_plan"), { recursive: true });
  const uri = pathToFileURL(file).href;
  const text = readFileSync(file, "utf8");
  const editor = standIn({
    workspace: pathToFileURL(join(folder, "easy_van_plan")).href,
    settings: { "trunnion.server.path": BINARY },
    documents: [{ uri, languageId: "trunnion", version: 1, text }],
  });
  const extension = load(editor.vscode);
  const context = { subscriptions: [] };
  try {
    await extension.activate(context);
    const { CancellationTokenSource, Range } = editor.vscode;
    const { token } = new CancellationTokenSource();
    const [document] = editor.open;
    const provider = await until(() => editor.providers.lens, "the provider of lenses");
    const lenses = await provider.provideCodeLenses(document, token);
    assert.equal(lenses.length, 1);
    assert.match(lenses[0].command.title, /^\d+ clashes, \d+ open.* · plan$/);
    const line = text.split("\n").findIndex((it) => it.startsWith("conversion "));
    assert.equal(lenses[0].range.start.line, line);
    const actions = await editor.providers.action.provideCodeActions(document, new Range(line, 4, line, 4), { diagnostics: [], triggerKind: 1 }, token);
    const action = actions.find((it) => it.title === "plan: make easy van first whole");
    assert.ok(action, `only: ${actions.map((it) => it.title)}`);
    assert.deepEqual(action.command.arguments, lenses[0].command.arguments);
    // The client has registered the server's command under its own name.
    const { command, arguments: given } = action.command;
    assert.ok(editor.commands.has(command), `no command ${command}`);
    await editor.commands.get(command)(...given);
    const [[to, edits]] = (await until(() => editor.applied[0], "the edit")).entries;
    assert.equal(to, uri);
    const lines = text.split("\n");
    // Each comes with its annotation, which is none.
    for (const [{ range, newText }] of [...edits].reverse()) {
      assert.equal(range.start.character + range.end.character, 0, "an edit that is not of whole lines");
      lines.splice(range.start.line, range.end.line - range.start.line, ...newText.split("\n").slice(0, -1));
    }
    assert.ok(lines.includes("  replace flywheel with flexplate_used"), lines.join("\n"));
    assert.ok(lines.includes("  budget 2600 EUR"));
    assert.ok(editor.progress.includes("plan: make easy van first whole"), `shown: ${editor.progress}`);
    const told = await until(() => [...editor.messages, ...editor.told][0], "what the plan does");
    assert.match(told, /changes, \d+ of parts.* costs 120 EUR/s);
  } finally {
    await extension.deactivate();
    for (const it of context.subscriptions) it.dispose();
  }
});

test("a server that is not there is told in words that help", { timeout: 60_000 }, async () => {
  const editor = standIn({ workspace: pathToFileURL(folder).href, settings: { "trunnion.server.path": join(folder, "no-such-program") }, documents: [] });
  const extension = load(editor.vscode);
  await extension.activate({ subscriptions: [] });
  const told = await until(() => editor.told.find((it) => it.includes("trunnion.server.path")), "a message");
  assert.match(told, /no-such-program lsp/);
  await extension.deactivate();
});
