// The TextMate grammar, run by the engine that editors use.
//
// Run from editors/vscode, whose packages it uses: `npm test`.

import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, relative } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { GRAMMAR, make, readForms } from "../../editors/textmate/make.mjs";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const require = createRequire(join(ROOT, "editors/vscode/package.json"));
const { INITIAL, Registry, parseRawGrammar } = require("vscode-textmate");
const oniguruma = require("vscode-oniguruma");

const FORMS = readFileSync(join(ROOT, "crates/trunnion-syntax/src/forms.txt"), "utf8");
const UNITS = readFileSync(join(ROOT, "crates/trunnion-syntax/src/unit.rs"), "utf8");
const WRITTEN = readFileSync(GRAMMAR, "utf8");

await oniguruma.loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")).buffer);
const registry = new Registry({
  onigLib: Promise.resolve({
    createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
    createOnigString: (text) => new oniguruma.OnigString(text),
  }),
  loadGrammar: async () => parseRawGrammar(WRITTEN, GRAMMAR),
});
const grammar = await registry.loadGrammar("source.trunnion");

/** Every token of a text that is not blank: the piece, its innermost scope that says what it is, its line and column. */
function scopes(text) {
  let stack = INITIAL;
  const tokens = [];
  for (const [nth, line] of text.split("\n").entries()) {
    const result = grammar.tokenizeLine(line, stack, 2000);
    assert.equal(result.stoppedEarly, false, `too slow: ${line}`);
    stack = result.ruleStack;
    let at = 0;
    for (const token of result.tokens) {
      assert.equal(token.startIndex, at, `a gap in: ${line}`);
      at = token.endIndex;
      const piece = line.slice(token.startIndex, token.endIndex).trim();
      const own = token.scopes.filter((it) => it !== "source.trunnion" && !it.startsWith("meta."));
      if (piece) tokens.push([piece, (own.at(-1) ?? "").replace(/\.trunnion$/, ""), nth + 1, token.startIndex]);
    }
    assert.ok(at >= line.length, `the end of the line is left out: ${line}`);
  }
  return { tokens, depth: stack.depth };
}

/** Checks that these words, in this order, have these scopes; words between them are passed over. */
function expect(text, wanted) {
  const { tokens } = scopes(text);
  let at = 0;
  for (const [word, scope] of wanted) {
    const found = tokens.findIndex(([piece], nth) => nth >= at && piece === word);
    assert.ok(found >= 0, `no token \`${word}\` in ${JSON.stringify(tokens)}`);
    assert.equal(tokens[found][1], scope, `\`${word}\` in \`${text}\``);
    at = found + 1;
  }
}

function files(folder, ending) {
  return readdirSync(join(ROOT, folder), { recursive: true })
    .filter((it) => it.endsWith(ending))
    .map((it) => join(ROOT, folder, it));
}

test("the grammar is what the table of forms gives", () => {
  const made = `${JSON.stringify(make(FORMS, UNITS), null, 2)}\n`;
  assert.ok(made === WRITTEN, "run: node editors/textmate/make.mjs");
});

test("every leading word of the table is a keyword where it leads, in its own group", () => {
  // How a block of each group is opened.
  const opened = {
    file: "", family: "family a {", kind: "kind a {", pattern: "pattern a {", connector: "connector a {",
    part: "part a {", plug: "part a { plug B is c {", loom: "loom a {", work: "work a {", rule: "rule a {",
    vehicle: "vehicle a {", conversion: "conversion a {", log: "log of a {", facts: "basis {",
  };
  let count = 0;
  for (const [group, forms] of readForms(FORMS)) {
    assert.ok(group in opened, `how is a block of ${group} opened?`);
    for (const form of forms) {
      const lead = form.head[0].word;
      if (!lead) continue;
      const rest = form.head.slice(1).map((it) => it.word ?? (it.type === "text" ? '"x"' : it.type === "fig" ? "1 mm" : "x"));
      const text = [opened[group], [lead, ...rest].join(" ")].join("\n");
      expect(text, [...(group === "file" ? [] : [["{", "punctuation.section.block.begin"]]), [lead, `keyword.control.${lead}`]]);
      count += 1;
    }
  }
  assert.ok(count > 120, `only ${count} forms`);
});

test("comments and documentation", () => {
  expect("// a\n/// b\n//// c", [
    ["// a", "comment.line.double-slash"], ["/// b", "comment.line.documentation"], ["//// c", "comment.line.double-slash"],
  ]);
  expect('use "a//b" // c', [["a//b", "string.quoted.double"], ["// c", "comment.line.double-slash"]]);
});

test("declarations and their names", () => {
  expect('source bench "Measured" measured 2026-02-11', [
    ["source", "keyword.control.source"], ["bench", "entity.name.type.source"], ["Measured", "string.quoted.double"],
    ["measured", "constant.language.standing"], ["2026-02-11", "constant.numeric.date"],
  ]);
  expect('part auto_six "six" is automatic_gearbox fills gearbox {\n}', [
    ["part", "keyword.control.part"], ["auto_six", "entity.name.type.part"], ["is", "keyword.other.modifier"],
    ["automatic_gearbox", ""], ["fills", "keyword.other.modifier"], ["gearbox", ""], ["}", "punctuation.section.block.end"],
  ]);
  expect("measure torque limit \"t\" in Nm, tool \"plate\" to 2 mm, from maker", [
    ["measure", "keyword.control.measure"], ["torque limit", "entity.name.type.measure"], ["in", "keyword.other.modifier"],
    ["Nm", "keyword.other.unit"], ["tool", "keyword.other.modifier"], ["to", "keyword.other.modifier"], ["from", "keyword.other.modifier"],
  ]);
  expect("family a {\n  place engine, line is engine in bay\n  place 4 of wheel is wheel\n}", [
    ["place", "keyword.control.place"], ["engine", "entity.name.type.place"], ["line", "entity.name.type.place"],
    ["is", "keyword.other.modifier"], ["engine", ""], ["4", "constant.numeric"], ["of", "keyword.other.modifier"], ["wheel", "entity.name.type.place"],
  ]);
});

test("words are words only where they lead", () => {
  expect("conversion c {\n  take gearbox, work, part from line\n}", [
    ["take", "keyword.control.take"], ["gearbox", ""], ["work", ""], ["part", ""], ["from", "keyword.other.modifier"], ["line", ""],
  ]);
  // In a part `torque` is half of a measure's name; in a work it leads.
  expect('part p {\n  torque limit 400 Nm\n}\nwork w {\n  torque "bolts" 48 Nm\n}', [
    ["torque limit", "support.type.property-name"], ["torque", "keyword.control.torque"],
  ]);
  expect("vehicle v {\n  line.length 3 mm\n}", [["line", "variable.other.object"], ["length", "variable.other.member"]]);
  expect("vehicle v { rear driven, built 2015-09, gearbox automatic, price 1450 EUR }", [
    ["rear", "constant.language"], ["driven", "keyword.control.driven"], ["built", "keyword.control.built"],
    ["gearbox", "support.type.property-name"], ["automatic", ""], ["price", "keyword.control.price"],
  ]);
});

test("figures, units, dates, threads and tyres in every form of writing", () => {
  for (const [written, number, unit] of [
    ["400 Nm", "400", "Nm"], ["0.5 mm2", "0.5", "mm2"], ["0,5 mm²", "0,5", "mm²"], ["1 1/4 in", "1 1/4", "in"], ["½ in", "½", "in"],
    ["3000 1/min", "3000", "1/min"], ["35 lbf ft", "35", "lbf ft"], ["12V", "12", "V"], ["500 kbit/s", "500", "kbit/s"], ["20 °C", "20", "°C"],
    ["1'450 EUR", "1'450", "EUR"], ["2 %", "2", "%"], ["120 Ω", "120", "Ω"], [".5 mm", ".5", "mm"], ["5 weeks", "5", "weeks"],
  ]) {
    expect(`part p {\n  size ${written}\n}`, [["size", "support.type.property-name"], [number, "constant.numeric"], [unit, "keyword.other.unit"]]);
  }
  for (const date of ["2013-08", "2013-08-14", "04/2012", "14.08.2013", "14/08/2013"]) {
    expect(`vehicle v {\n  built ${date}\n}`, [[date, "constant.numeric.date"]]);
  }
  for (const thread of ["M12x1.5", "M12 x 1.5", "M12", "G 1/4", "1/4 NPT", "7/16-20 UNF"]) {
    expect(`pattern p {\n  thread ${thread} male\n}`, [["thread", "keyword.control.thread"], [thread, "constant.numeric.thread"], ["male", "keyword.other.modifier"]]);
  }
  for (const tyre of ["205/65 R16", "205/65R16", "205/65R16C 107/105T"]) {
    expect(`vehicle v {\n  tyre ${tyre}  per bench\n}`, [[tyre, "constant.numeric.tyre"], ["per", "keyword.other.source"], ["bench", "variable.other.source"]]);
  }
  expect("part blade_15 is M12_bolt", [["blade_15", "entity.name.type.part"], ["M12_bolt", ""]]);
  expect("vehicle v {\n  propshaft.gap 1386 mm ± 2 mm\n}", [["±", "keyword.operator.tolerance"]]);
});

test("wires: paths, cavities and colours", () => {
  expect("loom l {\n  wire van.B1[8] to S7 0.35 mm2 YE/GN by cabin, bay\n}", [
    ["van", "variable.other.object"], [".", "punctuation.accessor"], ["B1", "variable.other.member"],
    ["[", "punctuation.section.brackets.begin"], ["8", "constant.numeric.cavity"], ["]", "punctuation.section.brackets.end"],
    ["to", "keyword.other.modifier"], ["S7", ""], ["0.35", "constant.numeric"], ["mm2", "keyword.other.unit"],
    ["YE/GN", "support.constant.color"], ["by", "keyword.other.modifier"], ["cabin", ""], ["bay", ""],
  ]);
  expect("part p {\n  plug B1 is shell { 14 can_high drive, 1 supply 12 V draw 20 A, 5 empty }  per manual\n}", [
    ["B1", "entity.name.type.plug"], ["14", "constant.numeric.cavity"], ["can_high", "support.type.role"], ["drive", ""],
    ["1", "constant.numeric.cavity"], ["supply", "support.type.role"], ["12", "constant.numeric"], ["V", "keyword.other.unit"],
    ["draw", "keyword.other.modifier"], ["5", "constant.numeric.cavity"], ["empty", "keyword.control.empty"],
    ["per", "keyword.other.source"], ["manual", "variable.other.source"],
  ]);
});

test("checks, conditions, questions, logs, none", () => {
  expect('conversion c {\n  accept loose/end gearbox.breather because "x" by "M. O."\n}', [
    ["accept", "keyword.control.accept"], ["loose/end", "support.function.check"], ["gearbox", "variable.other.object"],
    ["because", "keyword.other.reason"], ["by", "keyword.other.modifier"],
  ]);
  expect("part p {\n  needs final_drive.ratio = 3.69 within 2 % per club\n  fluid none\n}", [
    ["needs", "keyword.control.needs"], ["final_drive", "variable.other.object"], ["=", "keyword.operator.comparison"],
    ["within", "keyword.operator.word"], ["per", "keyword.other.source"], ["fluid", "support.type.property-name"], ["none", "constant.language.none"],
  ]);
  expect('kind k {\n  asks chain pull_out "x", tool "gauge" to 0.1 mm, before no return\n}', [
    ["asks", "keyword.control.asks"], ["chain", "storage.type.end"], ["pull_out", "variable.other.end"],
    ["tool", "keyword.other.modifier"], ["before", "keyword.other.modifier"], ["no return", "constant.language.gate"],
  ]);
  expect("log of van {\n  2026-03-02 measured propshaft.length 1418 mm\n}", [
    ["2026-03-02", "constant.numeric.date"], ["measured", "keyword.control.measured"], ["propshaft", "variable.other.object"],
  ]);
});

test("a half-typed block ends at the next declaration, an open text at its line", () => {
  const { tokens, depth } = scopes('part broken {\n  face x is y {\n    holes 3 on\nvehicle next is Dunlin {\n  built 2012-04\n}\nuse "open\nuse "b"');
  const scope = (word) => tokens.find(([piece]) => piece === word)?.[1];
  assert.equal(scope("vehicle"), "keyword.control.vehicle");
  assert.equal(scope("next"), "entity.name.type.vehicle");
  assert.equal(scope("built"), "keyword.control.built");
  assert.equal(tokens.filter(([piece, it]) => piece === "use" && it === "keyword.control.use").length, 2);
  assert.equal(depth, scopes("").depth);
});

test("all examples and shipped files end as they began, and nothing is mistaken", () => {
  const all = [...files("examples", ".trunnion"), ...files("crates", ".trunnion")];
  assert.ok(all.length > 10, `only ${all.length} files`);
  const known = new Set();
  const root = scopes("").depth;
  for (const file of all) {
    const name = relative(ROOT, file);
    const { tokens, depth } = scopes(readFileSync(file, "utf8"));
    assert.equal(depth, root, `${name} does not end at the top`);
    for (const [piece, scope, line, column] of tokens) {
      known.add(scope);
      if (scope.startsWith("comment")) assert.ok(piece.startsWith("//"), `${name}:${line}: ${piece}`);
      // What is left plain is a name of something, never a figure, a mark or a declaration's leading word.
      if (scope === "") assert.match(piece, /^[\p{L}_(][\p{L}\p{M}\p{N}_() /-]*$|^[()]+$/u, `${name}:${line}: \`${piece}\` is left plain`);
      const leads = column === 0 && /^(part|module|vehicle|conversion|family|kind|source|use|pattern|work|rule)$/.test(piece);
      if (leads) assert.equal(scope, `keyword.control.${piece}`, `${name}:${line}`);
    }
  }
  for (const scope of ["support.constant.color", "constant.numeric.tyre", "constant.numeric.thread", "support.function.check"]) {
    assert.ok(known.has(scope), `no ${scope} in any example`);
  }
});
