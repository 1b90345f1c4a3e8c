//! Texts that nobody writes by hand: each is read, cut and laid out in a time that grows with its
//! length and no faster, and without running out of stack.
#![allow(missing_docs, reason = "a test has no readers but its own")]

use trunnion_syntax::chunk::chunks;
use trunnion_syntax::form::{expected, statements};
use trunnion_syntax::layout::tidy;
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{Line, SyntaxError};

fn count(context: &str, lines: &[Line], errors: &mut Vec<SyntaxError>) -> usize {
    let found = statements(context, lines, errors);
    let inner = found.iter().filter_map(|it| Some((it.form.block?, it.block?)));
    found.len() + inner.map(|(context, block)| count(context, &block.lines, errors)).sum::<usize>()
}

/// Reads, cuts and lays out, and says how many statements there are.
fn survives(text: &str) -> usize {
    let tree = parse(text);
    let mut errors = tree.errors.clone();
    let found = count("file", &tree.lines, &mut errors);
    assert!(errors.iter().all(|it| text.get(it.span.range()).is_some()));
    let pieces = chunks(text);
    assert_eq!(pieces.last().map(|it| it.end as usize), Some(text.len()));
    let once = tidy(text);
    let again = parse(&once);
    assert_eq!(again.lines.len(), tree.lines.len());
    assert!(once.len() <= 4 * text.len() + 100_000, "{} became {}", text.len(), once.len());
    found
}

#[test]
fn a_million_braces() {
    survives(&"{".repeat(1_000_000));
    survives(&"}".repeat(100_000));
    survives(&"{}".repeat(100_000));
    survives(&format!("{}{}", "{".repeat(100_000), "}".repeat(100_000)));
}

#[test]
fn a_million_brackets() {
    survives(&"[".repeat(1_000_000));
    survives(&"(".repeat(1_000_000));
    for (open, close) in [("[", "]"), ("(", ")"), ("a[", "]"), ("f(", ")"), ("(1, ", ")"), ("[(", ")]")] {
        survives(&open.repeat(50_000));
        survives(&close.repeat(50_000));
        survives(&format!("rule a {{ when {}1{} }}", open.repeat(50_000), close.repeat(50_000)));
    }
    survives(&"[(\n".repeat(50_000));
    survives(&"([\n".repeat(50_000));
}

#[test]
fn round_brackets_within_the_bound_nest_in_atoms() {
    let nested =
        |depth: usize| format!("rule a {{ when {}1 m{} < 2 m }}", "(".repeat(depth), ")".repeat(depth));
    assert!(parse(&nested(64)).errors.is_empty());
    survives(&nested(64));
    survives(&nested(65));
    survives(&format!("rule a {{ when {}1 }}", "f(1, ".repeat(100_000)));
    survives(&format!("rule a {{ when {}a }}", "not ".repeat(100_000)));
    survives(&format!("rule a {{ when a{} }}", " + a".repeat(100_000)));
}

#[test]
fn five_megabytes_on_one_line() {
    survives(&"a".repeat(5_000_000));
    survives(&format!("part a \"{}\" {{ }}", "x".repeat(5_000_000)));
    survives(&format!("part a {{ ratios {} }}", "4.31, ".repeat(830_000)));
}

#[test]
fn long_lists_on_one_line() {
    survives(&"a ".repeat(100_000));
    survives(&"1".repeat(500_000));
    survives(&format!("// {}", "x".repeat(500_000)));
    survives(&format!("conversion a {{ take {} from b }}", "gearbox, ".repeat(50_000)));
    survives(&format!("part a {{ {} }}", "mass 3 kg, ".repeat(50_000)));
    survives(&format!("family a {{ place {} }}", "wheel per x because \"y\" ".repeat(50_000)));
}

#[test]
fn marks_that_are_no_text() {
    survives(&"\0".repeat(100_000));
    survives(&"part a\0b {\0mass\0 3\0kg\0}\n".repeat(5_000));
    survives(&"\u{feff}".repeat(300_000));
    survives(&"\u{fffd}x ".repeat(200_000));
    survives(&"e\u{301}\u{301}\u{301} ".repeat(100_000));
    survives(&"\"".repeat(100_001));
    survives(&"“".repeat(300_000));
    survives(&"\\".repeat(100_000));
}

#[test]
fn every_line_end() {
    for end in ["\r", "\r\n", "\n", "\n\r", "\r\r\n", " \r"] {
        let text = format!("part a {{{end}  mass 3 kg{end}  wait 2 days{end}}}{end}{end}use \"x\"{end}");
        assert_eq!(survives(&text), 4, "{end:?}");
        assert!(!tidy(&text).contains('\r'));
        survives(&end.repeat(200_000));
        survives(&format!("a{end}").repeat(20_000));
        survives(&format!("a,{end}").repeat(20_000));
    }
}

#[test]
fn marks_that_turn_the_direction_of_writing() {
    let text = "part a \u{202e}\"gk 3 ssam\u{202c}\" { mass \u{2066}3 kg\u{2069} } // \u{202e}\n";
    assert!(parse(text).errors.iter().all(|it| it.name == "write/character"));
    assert_eq!(parse(text).errors.len(), 5);
    assert!(tidy(text).contains('\u{202e}'), "what is told is not taken out unasked");
    survives(&text.repeat(2_000));
    survives(&"\u{202e}".repeat(300_000));
}

#[test]
fn two_hundred_thousand_statements() {
    let parts = "part a {\n  mass 3 kg  per x\n  wait 3 days\n}\n".repeat(67_000);
    assert_eq!(survives(&parts), 201_000);
    assert_eq!(chunks(&parts).len(), 67_000);
}

#[test]
fn long_files() {
    let one = format!("part a {{\n{}}}\n", "  mass 3 kg  per x\n".repeat(20_000));
    assert_eq!(survives(&one), 20_001);
    assert_eq!(survives(&"use \"x\"\n".repeat(20_000)), 20_000);
    survives(&"vehicel van {\n".repeat(20_000));
    survives(&"/// x\n".repeat(50_000));
    survives(&"x\nper y\n// z\n".repeat(20_000));
}

#[test]
fn completion_after_anything() {
    for text in ["a ".repeat(20_000), "(".repeat(100_000), "take a, ".repeat(20_000), "{".repeat(100_000)] {
        for context in ["file", "part", "conversion"] {
            expected(context, &text);
        }
    }
}
