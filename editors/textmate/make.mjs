// Makes grammar/trunnion.tmLanguage.json from the table of statement forms and the list of units.
//
//   node editors/textmate/make.mjs           writes the grammar
//   node editors/textmate/make.mjs --check   fails where the grammar is not what the table gives
//
// A statement may begin at the start of a line, after `{` and after a comma; only there is a leading
// word a keyword. What follows a leading word in braces is coloured by the group of forms that may
// stand there. A block that is never closed ends at the next declaration at the start of a line, so
// that a half-typed file keeps its colours.

import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { dirname, join } from "node:path";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const FORMS = join(ROOT, "crates/trunnion-syntax/src/forms.txt");
const UNITS = join(ROOT, "crates/trunnion-syntax/src/unit.rs");
export const GRAMMAR = join(ROOT, "grammar/trunnion.tmLanguage.json");

// ---- the table of forms ----

/** The groups of forms: name → list of { head, options, block }, a piece being { word } or { slot, type }. */
export function readForms(text) {
  const groups = new Map();
  let forms = null;
  for (const raw of text.split("\n")) {
    const line = raw.trim();
    if (!line || line.startsWith("#")) continue;
    const group = /^\[(\w+)\]$/.exec(line);
    if (group) {
      forms = [];
      groups.set(group[1], forms);
      continue;
    }
    const form = { head: [], options: [], block: null };
    let option = null;
    for (let word of line.split(" ;")[0].trim().split(/\s+/)) {
      if (word.startsWith("[")) {
        option = [];
        word = word.slice(1);
      }
      const ends = word.endsWith("]");
      word = word.replace(/\]$/, "");
      const block = /^\{(\w+)\}$/.exec(word);
      if (block) {
        form.block = block[1];
        continue;
      }
      const slot = /^<(\w+):(\w+)>$/.exec(word);
      (option ?? form.head).push(slot ? { slot: slot[1], type: slot[2] } : { word });
      if (ends) {
        form.options.push(option);
        option = null;
      }
    }
    forms.push(form);
  }
  return groups;
}

/** The spellings of units: single words, two-word forms, currencies, and spellings that are mended. */
export function readUnits(source) {
  const list = (name) => {
    const found = new RegExp(`const ${name}: [^=]*= &\\[([\\s\\S]*?)\\n?\\];`).exec(source);
    if (!found) throw new Error(`unit.rs has no list ${name}`);
    return [...found[1].matchAll(/"([^"]*)"/g)].map((it) => it[1]);
  };
  const twos = (all) => all.flatMap((it, nth) => (nth % 2 ? [] : [[it, all[nth + 1]]]));
  return {
    words: [...list("WORDS"), ...list("CURRENCIES")].filter((it) => it !== "1/min"),
    pairs: twos(list("PAIRS")),
    sloppy: twos(list("SLOPPY")).map(([written]) => written),
  };
}

// ---- pieces of patterns ----

const escaped = (text) => text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
const oneOf = (words) =>
  [...new Set(words)].sort((a, b) => b.length - a.length || (a < b ? -1 : 1)).map(escaped).join("|");

const BLANK = "[[:blank:]]";
const WORD = "[\\p{L}_][\\p{L}\\p{M}\\p{N}_]*(?:[-/][\\p{L}\\p{N}_][\\p{L}\\p{M}\\p{N}_]*)*";
// A word ends here: nothing that would lengthen it, or make it the head of a path, follows.
const END = "(?![\\p{L}\\p{M}\\p{N}_\\[(]|\\.[\\p{L}_]|[-/][\\p{L}\\p{N}_])";
const NO_WORD_BEFORE = "(?<![\\p{L}\\p{M}\\p{N}_.])";
const STOP = `(?=${BLANK}*(?:$|[,}{]|//))`;
const SOURCE_WORDS = ["per", "because"];
const BOUNDS = `at${BLANK}+most|at${BLANK}+least|about`;
const GATES = `buying|no${BLANK}+return|power|road`;
// IEC 60757, code letters for colours; the same list as the form matcher's.
const COLOURS = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ", "GD", "SR"];
const CLASSES = ["face", "plug", "port", "mount", "link", "opening", "signal", "chain"];
const FLAGS = ["new", "used", "reproduction", "remanufactured", "sealed", "shielded", "twisted"];
const CONDITION_WORDS = ["and", "or", "not", "within", "is", "sends", "hears", "has", "fitted"];

/**
 * The start of a statement: of a line, after `{`, or after a comma where no list goes on.
 * A list goes on where a word stands alone (unless `alone`) or before a word that comes after a list
 * (but for `afterWords`), and where a word of `options` comes first.
 */
function atStart(inner, { afterWords = [], alone = false, options = [] } = {}) {
  const goesOn = LIST_WORDS.filter((it) => !afterWords.includes(it));
  const stop = alone ? "" : `${BLANK}*(?:$|[,}]|//)|`;
  const after = goesOn.length ? `${BLANK}+(?!${BOUNDS})(?:${oneOf(goesOn)})${END}` : "(?!)";
  const first = options.length ? `(?!(?:${oneOf(options)})${END})` : "";
  const list = `${first}(?!${WORD}(?:\\.${WORD})*(?:${stop}${after}))`;
  return `(?:^\\x{feff}?${BLANK}*|(?<=\\{)${BLANK}*|(?<=,)${BLANK}*${list})${inner}`;
}
// Words that come after a list of names; a word before one of them goes on with the list.
const LIST_WORDS = [
  ...SOURCE_WORDS, "from", "with", "by", "for", "to", "is", "prefer", "in", "of", "on", "at", "both",
  "carrying", "through", "tool", "takes", "good", "before",
];

const optionWords = (forms) => forms.flatMap((it) => it.options.map((option) => option[0].word)).filter(Boolean);
const rule = (match, captures) => ({
  match,
  captures: Object.fromEntries(captures.map((it, nth) => [nth + 1, it]).filter(([, it]) => it).map(([nth, it]) => [nth, typeof it === "string" ? { name: it } : it])),
});
const include = (name) => ({ include: `#${name}` });

// ---- the grammar ----

export function make(formsText, unitsText) {
  const groups = readForms(formsText);
  const units = readUnits(unitsText);
  const leads = (group) => new Set(groups.get(group).map((it) => it.head[0].word).filter(Boolean));
  const inner = new Set([...groups.keys()].filter((it) => it !== "file").flatMap((it) => [...leads(it)]));
  const topOnly = [...leads("file")].filter((it) => !inner.has(it));
  const guard = `^(?=(?:${oneOf(topOnly)})${BLANK}+["\\p{L}])`;

  const repository = { ...sharedRules(units) };
  for (const [group, forms] of groups) {
    repository[`in-${group}`] = { patterns: statementRules(group, forms) };
    repository[`modifiers-${group}`] = { patterns: modifierRules(forms) };
    repository[`block-${group}`] = {
      name: "meta.block.trunnion",
      begin: "\\{",
      end: `\\}|${guard}`,
      beginCaptures: { 0: { name: "punctuation.section.block.begin.trunnion" } },
      endCaptures: { 0: { name: "punctuation.section.block.end.trunnion" } },
      patterns: [include(`in-${group}`), include("block-facts"), include("values")],
    };
  }

  function statementRules(group, forms) {
    const rules = [include("comments")];
    const byLead = new Map();
    for (const form of forms) {
      const lead = form.head[0].word;
      if (lead) byLead.set(lead, [...(byLead.get(lead) ?? []), form]);
      else {
        const second = form.head[1];
        if (second?.word) {
          // `2026-03-05 done …`, `rear driven`, `5 empty`
          const first = {
            date: ["\\d{4}-\\d{1,2}(?:-\\d{1,2})?", "constant.numeric.date.trunnion"],
            num: ["\\d+", "constant.numeric.cavity.trunnion"],
            word: [WORD, "constant.language.trunnion"],
          }[form.head[0].type];
          if (!first) continue;
          rules.push(rule(atStart(`(${first[0]})${BLANK}+(${second.word})${END}`, { afterWords: [second.word] }), [
            first[1],
            `keyword.control.${second.word}.trunnion`,
          ]));
        } else if (second?.type === "role") {
          rules.push(rule(`(?:^|(?<=[{,]))${BLANK}*(\\d+)${BLANK}+(${WORD})${END}`, [
            "constant.numeric.cavity.trunnion",
            "support.type.role.trunnion",
          ]));
        }
      }
    }
    for (const [lead, own] of byLead) rules.push(...leadRules(group, lead, own));
    const slots = forms.filter((it) => !it.head[0].word).map((it) => it.head[0]);
    if (slots.some((it) => it.type === "flag")) {
      rules.push(rule(atStart(`(${oneOf(FLAGS)})${END}`, { alone: true, afterWords: LIST_WORDS }), ["constant.language.flag.trunnion"]));
    }
    if (slots.some((it) => it.slot === "flag" && it.type === "word")) {
      rules.push(rule(atStart(`(${WORD})${END}${STOP}`, { alone: true }), ["constant.language.flag.trunnion"]));
    }
    if (slots.some((it) => it.type === "words")) rules.push(...factRules(forms));
    rules.push(include(`modifiers-${group}`));
    return rules;
  }

  function leadRules(group, lead, forms) {
    const scope = `keyword.control.${lead}.trunnion`;
    const afterWords = forms.flatMap((it) => [
      it.head[1]?.word,
      ...(it.head.length === 1 ? optionWords([it]) : []),
    ]).filter(Boolean);
    const alone = forms.some((it) => it.head.length === 1);
    const start = (more) => atStart(`(${lead})${END}${more}`, { afterWords, alone });
    const options = oneOf([...SOURCE_WORDS, ...optionWords(forms)]);
    const second = forms[0].head[1];
    const names = forms.some((it) => it.head.some((piece) => piece.slot === "names" && piece.type === "names"));
    const entity = `entity.name.type.${lead}.trunnion`;
    const block = forms.find((it) => it.block)?.block;
    const rules = [];

    if (block) {
      const named = second?.slot === "name" ? `(?:${BLANK}+(${WORD})${END})?` : "";
      rules.push({
        begin: start(named),
        end: `(?<=\\})|(?=\\})|(?<!,)$|${guard}`,
        beginCaptures: { 1: { name: scope }, ...(named && { 2: { name: entity } }) },
        patterns: [include(`block-${block}`), include(`in-${group}`), include("values")],
      });
    } else if (second?.type === "gate") {
      rules.push(rule(start(`(?:${BLANK}+(${GATES})${END})?`), [scope, "constant.language.gate.trunnion"]));
    } else if (lead === "accept") {
      rules.push(rule(start(`(?:${BLANK}+(${WORD})${END})?`), [scope, "support.function.check.trunnion"]));
    } else if (second?.type === "words" && second.slot === "name") {
      // A name of several words, up to its title, its figure or its first modifier.
      rules.push(rule(start(`${BLANK}+(${WORD}(?:${BLANK}+(?!(?:${options})${END})${WORD})*)${END}`), [scope, entity]));
      rules.push(rule(start(""), [scope]));
    } else if (names && (group === "family" || group === "conversion")) {
      const list = `(${WORD}(?:${BLANK}*,${BLANK}*${WORD})*)${END}`;
      const listed = { patterns: [{ name: entity, match: WORD }, include("punctuation")] };
      if (forms.some((it) => it.head[1]?.type === "num")) {
        rules.push(rule(start(`${BLANK}+(\\d+)${BLANK}+(of)${BLANK}+${list}`), [
          scope, "constant.numeric.trunnion", "keyword.other.modifier.trunnion", listed,
        ]));
      }
      rules.push(rule(start(`${BLANK}+${list}`), [scope, listed]));
      rules.push(rule(start(""), [scope]));
    } else if (second?.slot === "name" && second.type === "name") {
      rules.push(rule(start(`(?:${BLANK}+(${WORD})${END})?`), [scope, entity]));
    } else {
      rules.push(rule(start(""), [scope]));
    }
    return rules;
  }

  /** Facts: measure words, then a value. */
  function factRules(forms) {
    const options = [...LIST_WORDS, ...optionWords(forms)];
    const taken = oneOf([...options, "none"]);
    const words = `(?!M\\d|(?:${oneOf(LIST_WORDS)})${END})${WORD}(?:${BLANK}+(?!(?:${taken})${END})${WORD}){0,5}?`;
    const fact = "support.type.property-name.trunnion";
    return [
      rule(atStart(`(${words})${END}(?=${BLANK}+(?:${BOUNDS}|is${BLANK}|none${END}|[\\d.½¼¾±"“”„+]))`, { options }), [fact]),
      rule(atStart(`((?!M\\d|(?:${oneOf(LIST_WORDS)})${END})${WORD})(?=${BLANK}+(?!(?:${taken})${END})${WORD})`, { options }), [fact]),
    ];
  }

  function modifierRules(forms) {
    const words = new Set();
    const types = new Set();
    for (const form of forms) {
      for (const piece of [...form.head.slice(1), ...form.options.flat()]) {
        if (piece.word) words.add(piece.word);
      }
      for (const piece of [...form.head, ...form.options.flat()]) types.add(piece.type);
    }
    words.add("to");
    words.delete("none");
    const rules = [include("sources")];
    if (types.has("gate")) {
      rules.push(rule(`${NO_WORD_BEFORE}(before)${BLANK}+(${GATES})${END}`, [
        "keyword.other.modifier.trunnion", "constant.language.gate.trunnion",
      ]));
    }
    if (types.has("unit")) {
      rules.push(rule(`${NO_WORD_BEFORE}(in)${BLANK}+(${unitWords(units)})${END}`, [
        "keyword.other.modifier.trunnion", "keyword.other.unit.trunnion",
      ]));
    }
    if (types.has("asked")) {
      const options = oneOf([...SOURCE_WORDS, ...optionWords(forms)]);
      rules.push(rule(`(?:(?<=asks)|(?<=,))${BLANK}*(${oneOf(CLASSES)})${BLANK}+((?!(?:${options})${END})${WORD})${END}`, [
        "storage.type.end.trunnion", "variable.other.end.trunnion",
      ]));
      rules.push(rule(`(?:(?<=asks)|(?<=,))${BLANK}*((?!(?:${options})${END})${WORD}(?:${BLANK}+(?!(?:${options})${END})${WORD})*)${END}`, [
        "support.type.property-name.trunnion",
      ]));
    }
    if (types.has("standing")) {
      rules.push(rule(`${NO_WORD_BEFORE}(measured|documented|reported|assumed)${END}`, ["constant.language.standing.trunnion"]));
    }
    if (types.has("colour")) {
      const one = oneOf(COLOURS);
      rules.push(rule(`${NO_WORD_BEFORE}((?:${one})(?:/(?:${one}))*)${END}(?=${BLANK}*(?:$|[,}]|//|[\\d]|(?:by|per|because|long)${END}))`, [
        "support.constant.color.trunnion",
      ]));
    }
    if (types.has("expr")) {
      rules.push(rule(`${NO_WORD_BEFORE}(${oneOf(CONDITION_WORDS.filter((it) => !words.has(it)))})${END}`, ["keyword.operator.word.trunnion"]));
    }
    if (types.has("bound") || types.has("vals")) {
      rules.push(rule(`${NO_WORD_BEFORE}(${BOUNDS})${END}`, ["keyword.operator.word.trunnion"]));
    }
    rules.push(rule(`${NO_WORD_BEFORE}(${oneOf([...words])})${END}`, ["keyword.other.modifier.trunnion"]));
    return rules;
  }

  return {
    information_for_contributors: "Made by editors/textmate/make.mjs from the table of statement forms. Change the table or the maker, not this file.",
    name: "Trunnion",
    scopeName: "source.trunnion",
    fileTypes: ["trunnion"],
    patterns: [include("in-file"), include("block-facts"), include("values")],
    repository,
  };
}

function unitWords(units) {
  return [
    ...units.pairs.map(([a, b]) => `${escaped(a)}${BLANK}+${escaped(b)}`),
    oneOf([...units.words, ...units.sloppy]),
  ].join("|");
}

/** What looks the same wherever it stands. */
function sharedRules(units) {
  const digits = "\\d{1,3}(?:['’]\\d{3})+(?:\\.\\d+)?|\\d+(?:[.,]\\d+)*(?:[eE][+-]?\\d+)?|\\.\\d+";
  const fraction = `(?:\\d+${BLANK}+)?\\d+/\\d+|(?:\\d+${BLANK}*)?[½¼¾⅛⅜⅝⅞]`;
  const unitEnd = "(?![\\p{L}\\p{M}\\p{N}_²³·]|[-/][\\p{L}\\p{N}_])";
  const text = (name, begin, end) => ({
    name,
    begin,
    end: `${end}|$`,
    beginCaptures: { 0: { name: "punctuation.definition.string.begin.trunnion" } },
    endCaptures: { 0: { name: "punctuation.definition.string.end.trunnion" } },
    patterns: [{ name: "constant.character.escape.trunnion", match: "\\\\." }],
  });
  return {
    comments: {
      patterns: [
        { name: "comment.line.documentation.trunnion", match: "///(?!/).*$" },
        { name: "comment.line.double-slash.trunnion", match: "//.*$" },
      ],
    },
    texts: {
      patterns: [
        text("string.quoted.double.trunnion", '"', '"'),
        text("string.quoted.other.trunnion", "[“”„]", "[“”]"),
      ],
    },
    sources: {
      patterns: [
        rule(`${NO_WORD_BEFORE}(per)(?:${BLANK}+(${WORD}(?:\\.${WORD})*))?(?![\\p{L}\\p{N}_.\\[(])`, [
          "keyword.other.source.trunnion", "variable.other.source.trunnion",
        ]),
        rule(`${NO_WORD_BEFORE}(because)${END}`, ["keyword.other.reason.trunnion"]),
      ],
    },
    figures: {
      patterns: [
        {
          name: "constant.numeric.tyre.trunnion",
          match: `(?<![\\p{L}\\p{N}_.])\\d{3}/\\d{2}${BLANK}*Z?R${BLANK}*\\d{2}(?:${BLANK}*C${END})?(?:${BLANK}+\\d{2,3}(?:/\\d{2,3})?${BLANK}?[A-Z]${END})?`,
        },
        {
          name: "constant.numeric.thread.trunnion",
          match: `${NO_WORD_BEFORE}(?:M\\d+(?:[.,]\\d+)?(?:${BLANK}*[x×X]${BLANK}*\\d+(?:[.,]\\d+)?)?|(?:Rc|Rp|G|R)${BLANK}*(?:\\d+${BLANK}+)?\\d+/\\d+|(?:\\d+${BLANK}+)?\\d+/\\d+${BLANK}+NPTF?|(?:\\d+${BLANK}+)?\\d+(?:/\\d+)?-\\d+${BLANK}+(?:UNEF|UNF|UNC|UNS|UN))(?![\\p{L}\\p{N}_])`,
        },
        {
          name: "constant.numeric.date.trunnion",
          match: "(?<![\\p{L}\\p{N}_.])(?:\\d{4}-\\d{1,2}(?:-\\d{1,2})?|\\d{1,2}/\\d{1,2}/(?:19|20)\\d{2}|\\d{1,2}\\.\\d{1,2}\\.(?:19|20)\\d{2}|\\d{1,2}/(?:19|20)\\d{2}|(?:19|20)\\d{2}/(?:0\\d|1\\d)(?:/\\d{2})?)(?![\\p{L}\\p{N}_])",
        },
        rule(`(?<![\\p{L}\\p{N}_.])((?:${fraction}|${digits}))(?:${BLANK}*(1/min|${unitWords(units)})${unitEnd})?`, [
          "constant.numeric.trunnion", "keyword.other.unit.trunnion",
        ]),
      ],
    },
    paths: {
      patterns: [
        {
          name: "meta.path.trunnion",
          match: `${NO_WORD_BEFORE}${WORD}(?:\\.${WORD}|\\[${BLANK}*\\d+${BLANK}*\\])+`,
          captures: {
            0: {
              patterns: [
                rule(`(\\.)(${WORD})`, ["punctuation.accessor.trunnion", "variable.other.member.trunnion"]),
                rule(`(\\[)${BLANK}*(\\d+)${BLANK}*(\\])`, [
                  "punctuation.section.brackets.begin.trunnion",
                  "constant.numeric.cavity.trunnion",
                  "punctuation.section.brackets.end.trunnion",
                ]),
                { name: "variable.other.object.trunnion", match: WORD },
              ],
            },
          },
        },
        rule(`(${WORD})(?=\\()`, ["entity.name.function.trunnion"]),
      ],
    },
    punctuation: { patterns: [{ name: "punctuation.separator.comma.trunnion", match: "," }] },
    operators: {
      patterns: [
        { name: "keyword.operator.tolerance.trunnion", match: "±|\\+/-|\\+-" },
        { name: "keyword.operator.comparison.trunnion", match: "==|!=|<=|>=|[=<>≤≥≠]" },
        { name: "keyword.operator.arithmetic.trunnion", match: "[-+*/×−–]" },
      ],
    },
    values: {
      patterns: [
        include("comments"),
        include("texts"),
        include("sources"),
        rule(`${NO_WORD_BEFORE}(none)${END}`, ["constant.language.none.trunnion"]),
        include("paths"),
        include("figures"),
        include("punctuation"),
        include("operators"),
        // Any other word is a name of something: plain.
        { match: WORD },
      ],
    },
  };
}

if (process.argv[1] && fileURLToPath(import.meta.url) === process.argv[1]) {
  const made = `${JSON.stringify(make(readFileSync(FORMS, "utf8"), readFileSync(UNITS, "utf8")), null, 2)}\n`;
  if (process.argv.includes("--check")) {
    if (readFileSync(GRAMMAR, "utf8") !== made) {
      console.error("grammar/trunnion.tmLanguage.json is not what the table of forms gives: run node editors/textmate/make.mjs");
      process.exit(1);
    }
  } else {
    writeFileSync(GRAMMAR, made);
  }
}
