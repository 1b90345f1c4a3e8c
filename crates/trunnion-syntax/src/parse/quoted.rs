//! Text in quotes.

use smol_str::SmolStr;

use crate::parse::{Errors, error};
use crate::token::Spanned;
use crate::tree::Span;

/// The text between straight quotes, with `\"`, `\\` and `\n` read.
pub(super) fn straight(raw: &str, token: Spanned, before: Option<Spanned>, errors: &mut Errors) -> SmolStr {
    let body = &raw[1..];
    let closed = is_closed(body);
    if let Some(before) = before.filter(|it| it.token.is_number() && it.span.end == token.span.start) {
        let sign = Span::new(token.span.start, token.span.start + 1);
        errors.tell(
            error("write/unit", Spanned { span: before.span.to(sign), ..token }, "An inch is written `in`.")
                .with_mend("write in", sign, " in"),
        );
    } else if !closed {
        let end = Span::new(token.span.end, token.span.end);
        let told = error("write/text", token, "This text is not closed: a `\"` is missing.");
        errors.tell(told.with_mend("close the text", end, "\""));
    }
    let body = if closed { &body[..body.len() - 1] } else { body };
    if body.contains('\\') { unescaped(body) } else { body.into() }
}

/// Whether it ends in a quote that no backslash takes away.
fn is_closed(body: &str) -> bool {
    match body.strip_suffix('"') {
        Some(inner) => inner.bytes().rev().take_while(|it| *it == b'\\').count().is_multiple_of(2),
        None => false,
    }
}

fn unescaped(body: &str) -> SmolStr {
    let mut out = String::with_capacity(body.len());
    let mut chars = body.chars();
    while let Some(it) = chars.next() {
        match it {
            '\\' => match chars.next() {
                Some('n') => out.push('\n'),
                Some(other @ ('"' | '\\')) => out.push(other),
                // Any other backslash stands for itself: `C:\photos`.
                Some(other) => out.extend(['\\', other]),
                None => out.push('\\'),
            },
            it => out.push(it),
        }
    }
    out.into()
}

/// The text between curled quotes; the straight ones are asked for.
pub(super) fn curled(raw: &str, token: Spanned, errors: &mut Errors) -> SmolStr {
    let mut body = raw.chars();
    body.next();
    let body = body.as_str().trim_end_matches(['"', '“', '”']);
    let right = format!("\"{}\"", body.replace('\\', "\\\\"));
    let told = error("write/text", token, "Text stands in straight quotes: `\"`.");
    errors.tell(told.with_mend("write straight quotes", token.span, right));
    body.into()
}

/// Text without quotes that can be nothing else, such as a version `1.4.2`.
pub(super) fn bare(raw: &str, token: Spanned, errors: &mut Errors) -> SmolStr {
    let right = format!("\"{raw}\"");
    errors.tell(error("write/text", token, format!("This is written as text: `{right}`.")).written(&right));
    raw.into()
}

#[cfg(test)]
mod tests {
    use crate::parse::parse;
    use crate::tree::AtomKind;

    fn read(text: &str) -> (String, Vec<(&'static str, Option<String>)>) {
        let tree = parse(text);
        let atoms = &tree.lines[0].clauses[0].atoms;
        let Some(AtomKind::Text(read)) = atoms.last().map(|it| &it.kind) else { panic!("{atoms:?}") };
        let told = tree.errors.into_iter().map(|it| (it.name, it.mend.map(|it| it.text))).collect();
        (read.to_string(), told)
    }

    #[test]
    fn escapes_are_read() {
        assert_eq!(read(r#""a \"b\" \\ c\nd""#), ("a \"b\" \\ c\nd".into(), vec![]));
        assert_eq!(read(r#""C:\photos""#), (r"C:\photos".into(), vec![]));
        assert_eq!(read("\"\""), (String::new(), vec![]));
    }

    #[test]
    fn a_missing_quote_is_told_once() {
        assert_eq!(read("\"open"), ("open".into(), vec![("write/text", Some("\"".into()))]));
        assert_eq!(read("\""), (String::new(), vec![("write/text", Some("\"".into()))]));
        assert_eq!(read("\"a\\\""), ("a\"".into(), vec![("write/text", Some("\"".into()))]));
        assert_eq!(read("\"a\\"), ("a\\".into(), vec![("write/text", Some("\"".into()))]));
    }

    #[test]
    fn curled_quotes_versions_and_inches_are_mended() {
        assert_eq!(read("“a b”"), ("a b".into(), vec![("write/text", Some("\"a b\"".into()))]));
        assert_eq!(read("1.4.2"), ("1.4.2".into(), vec![("write/text", Some("\"1.4.2\"".into()))]));
        assert_eq!(read("3/4\" hose").1, [("write/unit", Some(" in".into()))]);
    }

    #[test]
    fn direction_marks_are_told() {
        let (text, told) = read("\"a \u{202e}b\"");
        assert_eq!(text, "a \u{202e}b");
        assert_eq!(told, [("write/character", Some(String::new()))]);
    }
}
