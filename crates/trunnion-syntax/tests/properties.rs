//! What holds for every text.
#![allow(missing_docs, reason = "a test has no readers but its own")]

use proptest::prelude::*;
use trunnion_syntax::chunk::chunks;
use trunnion_syntax::form::{self, statements};
use trunnion_syntax::layout::tidy;
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{Atom, AtomKind, Block, Clause, Line, Span, SyntaxError, Tree};

/// Words, signs and figures in any order, so that most texts are nearly right.
const SOUP: &[&str] = &[
    " ",
    " ",
    " ",
    "  ",
    "\t",
    "\u{a0}",
    "\n",
    "\n",
    "\n",
    "\r\n",
    "\r",
    "\n\n",
    "a",
    "part",
    "gearbox",
    "use",
    "vehicle van",
    "kind",
    "is",
    "per",
    "per manual",
    "because \"x\"",
    "because",
    "to",
    "none",
    "no",
    "return",
    "take",
    "from",
    "{",
    "{",
    "}",
    "}",
    "[",
    "]",
    "[8]",
    "(",
    ")",
    ",",
    ",",
    ".",
    "+",
    "-",
    "–",
    "*",
    "×",
    "/",
    "±",
    "+/-",
    "=",
    "!=",
    "<=",
    "≥",
    ">",
    "<",
    "!",
    "12",
    "0.5",
    ".5",
    "1e9",
    "1e999",
    "0,5",
    "1,2,3",
    "1'450",
    "1 450 EUR",
    "3/4",
    "1 1/4",
    "1/0",
    "½",
    "1.450,00",
    "1.4.2",
    "2013-08",
    "2013-13",
    "14.08.2013",
    "04/2012",
    "10-20",
    "mm",
    "kg",
    "KW",
    "lbf ft",
    "ft lb",
    "%",
    "°C",
    "1/min",
    "€",
    "EUR",
    "M12",
    "M12 x 1.5",
    "x1.5",
    "G 1/4",
    "G",
    "NPT",
    "7/16-20 UNF",
    "UNF",
    "205/65R16",
    "205/65 R16 C 107/105T",
    "R16",
    "\"text\"",
    "\"",
    "\"a\\\"b\"",
    "“c”",
    "„",
    "//",
    "// note",
    "///",
    "/// doc",
    "\u{0}",
    "§",
    "\u{202e}",
    "\u{feff}",
    "é",
    "e\u{301}",
    "\u{85}",
    "\u{2028}",
    "face front is bell_22",
    "mass 86 kg",
    "wire a.B1[3] to b 0.5 mm2 YE/GN",
    "_",
    "\\",
    "^2",
    "Ω",
    "N·m",
    "#",
];

fn soup() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(SOUP), 0..40).prop_map(|it| it.concat())
}

/// Whole lines, so that blocks and layout are met with.
fn lines() -> impl Strategy<Value = String> {
    let line = prop::sample::select(
        &[
            "part a {",
            "  part b \"t\" is c {",
            "}",
            "  }",
            "face front is bell_22   per manual",
            "mass 3 kg per x",
            "  wait 3 days, new  per y // why",
            "/// doc",
            "  // note",
            "",
            "",
            "vehicle van { kind panel_van, rear driven }",
            "use \"x\"",
            "take gearbox,",
            "selector from breaker",
            "because \"y\"",
            "per z",
            "{",
            "needs a (b,",
            "c) > 3",
            "kind k is l {",
            "kind panel_van",
            "\u{feff}use \"y\"",
            "plug c { 1 x } plug d {",
            "} per m",
            "} , e",
            "(",
            "]",
        ][..],
    );
    let end = prop::sample::select(&["\n", "\n", "\n", "\r\n", "\r", " \n"][..]);
    prop::collection::vec((line, end).prop_map(|(line, end)| format!("{line}{end}")), 0..24)
        .prop_map(|it| it.concat())
}

/// Any bytes, as they reach the parser.
fn bytes() -> impl Strategy<Value = String> {
    prop::collection::vec(any::<u8>(), 0..200).prop_map(|it| String::from_utf8_lossy(&it).into_owned())
}

fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![3 => soup(), 3 => lines(), 1 => bytes(), 1 => "\\PC{0,60}"]
}

/// The lines without their places: a place is the one thing that reads `1..2`.
fn shape(lines: &[Line]) -> String {
    let whole = format!("{lines:?}");
    let mut out = String::with_capacity(whole.len());
    let mut rest = whole.as_str();
    while let Some(at) = rest.find("span: ") {
        out.push_str(&rest[..at]);
        rest = rest[at + 6..].trim_start_matches(|it: char| it.is_ascii_digit() || it == '.');
    }
    out + rest
}

fn spans(tree: &Tree) -> Vec<Span> {
    fn lines(all: &[Line], out: &mut Vec<Span>) {
        for line in all {
            out.push(line.span);
            line.clauses.iter().for_each(|it| clause(it, out));
        }
    }
    fn clause(it: &Clause, out: &mut Vec<Span>) {
        out.push(it.span);
        it.atoms.iter().for_each(|it| atom(it, out));
        if let Some(Block { lines: inner, span, .. }) = &it.block {
            out.push(*span);
            lines(inner, out);
        }
    }
    fn atom(it: &Atom, out: &mut Vec<Span>) {
        out.push(it.span);
        match &it.kind {
            AtomKind::Path(path) => {
                out.extend(path.parts.iter().map(|it| it.span));
                out.extend(path.index.iter().map(|it| it.span));
            }
            AtomKind::Group(clauses) => clauses.iter().for_each(|it| clause(it, out)),
            _ => {}
        }
    }
    let mut out = Vec::new();
    lines(&tree.lines, &mut out);
    out
}

fn error_spans(errors: &[SyntaxError]) -> impl Iterator<Item = Span> + '_ {
    errors.iter().flat_map(|it| [Some(it.span), it.mend.as_ref().map(|it| it.span)].into_iter().flatten())
}

fn all_statements(context: &str, lines: &[Line], errors: &mut Vec<SyntaxError>) -> usize {
    let found = statements(context, lines, errors);
    let inner = |errors: &mut Vec<SyntaxError>| {
        found
            .iter()
            .filter_map(|it| Some((it.form.block?, it.block?)))
            .map(|(context, block)| all_statements(context, &block.lines, errors))
            .sum::<usize>()
    };
    inner(errors) + found.len()
}

/// All that is not blank, threads and tyre markings aside.
fn ink(text: &str) -> String {
    text.chars().filter(|it| !it.is_whitespace() && *it != '\u{feff}').collect()
}

/// A thousand of each, or as many as PROPTEST_CASES asks for.
fn config() -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig { cases: asked.cases.max(1000), failure_persistence: None, ..asked }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn spans_are_inside_the_text_on_character_boundaries(text in any_text()) {
        let tree = parse(&text);
        let mut errors = tree.errors.clone();
        all_statements("file", &tree.lines, &mut errors);
        for span in spans(&tree).into_iter().chain(error_spans(&errors)) {
            prop_assert!(span.start <= span.end);
            prop_assert!(text.get(span.range()).is_some(), "{:?}", span);
        }
    }

    #[test]
    fn every_context_takes_every_line(text in soup()) {
        let tree = parse(&text);
        for context in form::contexts() {
            let mut errors = Vec::new();
            all_statements(context, &tree.lines, &mut errors);
            for span in error_spans(&errors) {
                prop_assert!(text.get(span.range()).is_some());
            }
            form::expected(context, &text);
        }
    }

    #[test]
    fn chunks_cover_the_text_and_read_as_the_whole(text in any_text()) {
        let all = chunks(&text);
        let mut end = 0;
        let mut apart = String::new();
        for chunk in &all {
            prop_assert_eq!(chunk.start, end);
            end = chunk.end;
            let piece = &text[chunk.start as usize..chunk.end as usize];
            let again = chunks(piece);
            prop_assert_eq!(again.len(), 1, "{:?}", piece);
            let shape = shape(&parse(piece).lines);
            let inner = &shape[1..shape.len() - 1];
            if !apart.is_empty() && !inner.is_empty() {
                apart.push_str(", ");
            }
            apart.push_str(inner);
        }
        prop_assert_eq!(end as usize, text.len());
        prop_assert_eq!(format!("[{apart}]"), shape(&parse(&text).lines));
    }

    #[test]
    fn layout_keeps_the_tree(text in any_text()) {
        let (before, after) = (parse(&text), parse(&tidy(&text)));
        prop_assert_eq!(shape(&before.lines), shape(&after.lines));
        let names = |it: &Tree| {
            let mut names: Vec<_> = it.errors.iter().map(|it| it.name).collect();
            names.sort_unstable();
            names
        };
        prop_assert_eq!(names(&before), names(&after));
    }

    #[test]
    fn layout_is_done_once(text in any_text()) {
        let once = tidy(&text);
        prop_assert_eq!(&tidy(&once), &once);
        prop_assert!(once.is_empty() || once.ends_with('\n') && !once.contains('\r'));
    }

    #[test]
    fn layout_loses_nothing(text in lines()) {
        prop_assert_eq!(ink(&tidy(&text)), ink(&text));
    }
}

#[test]
fn layout_loses_nothing_of_any_piece() {
    for piece in SOUP.iter().filter(|it| !it.contains('×') && !it.contains("R16")) {
        for text in [format!("a {piece} b"), format!("part a {{\n{piece}\n}}\n"), piece.repeat(2)] {
            assert_eq!(ink(&tidy(&text)), ink(&text), "{text:?}");
        }
    }
}

#[test]
fn hostile_texts_are_laid_out() {
    for text in ["{", "}", "[", "(", ")", ",", "\n", "\0", "\"", "{}", "a {\n", "a {\n}\n", "per x\n", "\r"] {
        let long = text.repeat(20_000);
        let once = tidy(&long);
        assert!(once.len() < 8 * long.len() + 20_000, "{text:?}");
        chunks(&long);
    }
    let line = format!("a {}\n", "b, ".repeat(350_000));
    assert_eq!(parse(&line).lines.len(), 1);
    let mut errors = Vec::new();
    statements("part", &parse(&line).lines, &mut errors);
}

#[test]
fn a_sign_that_belongs_to_nothing_parts_a_block_from_a_source() {
    let texts =
        ["port a { b } ± per c", "port a { b } . per c", "port a { b }\n± per c\n", "port a { b } per.. c"];
    for text in texts {
        let tree = parse(text);
        assert_eq!(tree.lines.len(), 2, "{text}");
        assert_eq!(shape(&parse(&tidy(text)).lines), shape(&tree.lines), "{text}");
    }
}

#[test]
fn a_blank_does_not_make_a_declaration_of_a_line() {
    for line in
        ["kind a is ", "kind a is", "kind a\tis\tb", "kind \"x\"is b", "kind a // is it {", "kind a // is "]
    {
        let text = format!("vehicle b {{\n{line}\n");
        let once = tidy(&text);
        assert_eq!(tidy(&once), once, "{line:?}");
        assert_eq!(chunks(&once).len(), chunks(&text).len(), "{line:?}");
    }
    assert_eq!(chunks("vehicle b {\nkind a // is it {\n").len(), 1);
    assert_eq!(chunks("vehicle b {\nkind a is c\n").len(), 2);
}
