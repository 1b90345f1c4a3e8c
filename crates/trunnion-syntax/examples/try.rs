//! Prints what cannot be read in files: for trying things out while the language grows.
#![allow(clippy::print_stdout)]
use trunnion_syntax::{form, parse};
fn walk(
    context: &str,
    lines: &[trunnion_syntax::tree::Line],
    errors: &mut Vec<trunnion_syntax::tree::SyntaxError>,
    n: &mut usize,
) {
    for s in form::statements(context, lines, errors) {
        *n += 1;
        if let (Some(b), Some(c)) = (s.block, s.form.block) {
            walk(c, &b.lines, errors, n);
        }
    }
}
fn main() {
    for path in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&path).expect("readable");
        let tree = parse::parse(&text);
        let mut errors = tree.errors.clone();
        let mut n = 0;
        walk("file", &tree.lines, &mut errors, &mut n);
        println!("{path}: {n} statements, {} errors", errors.len());
        for e in errors {
            let line = text[..e.span.start as usize].matches('\n').count() + 1;
            println!(
                "  {line}: {} {} [{}]",
                e.name,
                e.message,
                &text[e.span.range()].chars().take(60).collect::<String>().replace('\n', "⏎")
            );
        }
    }
}
