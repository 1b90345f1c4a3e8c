//! Cuts a text into its top-level statements without reading them.
//!
//! Each can then be parsed by itself, so that an edit in one leaves the others
//! alone. A statement whose closing brace is missing ends before the next line
//! that can only stand at the top. [`crate::parse::parse`] cuts by the same rule,
//! so that the pieces and the whole give the same lines.

use crate::token;

/// A piece of a text: one top-level statement with the comments directly above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chunk {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// Leading words that stand at the top of a file and nowhere else.
const TOP_ONLY: &[&str] = &[
    "basis",
    "connector",
    "conversion",
    "exchange",
    "family",
    "kind",
    "log",
    "medium",
    "module",
    "part",
    "pattern",
    "person",
    "private",
    "rule",
    "scheme",
    "source",
    "terminal",
    "use",
    "vehicle",
];

/// Whether an unindented line can only stand at the top, so that it ends an open block.
fn is_top_only(rest: &str) -> bool {
    let word = leading_word(rest);
    // In a vehicle `kind` leads a short line; at the top it declares, with a block or `is`.
    if matches!(word, "kind" | "terminal" | "medium") {
        let line = &rest[..rest.find(['\n', '\r']).unwrap_or(rest.len())];
        let declares = |it: &token::Spanned| {
            it.token == token::Token::BraceOpen
                || it.token == token::Token::Word && &line[it.span.range()] == "is"
        };
        return token::tokens(line).iter().any(declares);
    }
    TOP_ONLY.contains(&word)
}

/// The ASCII letters that a line begins with, where nothing goes on with the word.
fn leading_word(rest: &str) -> &str {
    let end = rest.bytes().take_while(u8::is_ascii_lowercase).count();
    let is_letter = |it: char| it.is_alphanumeric() || it == '_';
    let mut next = rest[end..].chars();
    let goes_on = match next.next() {
        Some('-' | '/') => next.next().is_some_and(is_letter),
        Some('.' | '[') => true,
        Some(it) => is_letter(it),
        None => false,
    };
    if goes_on { "" } else { &rest[..end] }
}

/// Whether a line goes on with the statement before it: `per`, `because` and `{` lead none.
fn leads_on(rest: &str) -> bool {
    rest.starts_with('{') || matches!(leading_word(rest), "per" | "because")
}

/// Cuts a text. The pieces cover it without gaps; there is at least one.
pub fn chunks(text: &str) -> Vec<Chunk> {
    let bytes = text.as_bytes();
    let mut chunks: Vec<Chunk> = Vec::new();
    let mut state = State::default();
    let mut seen_statement = false;
    // Where the comments directly above the next statement begin.
    let mut above: Option<usize> = None;
    let mut begin = 0;
    let mut start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    while start < bytes.len() {
        let body = past_blanks(text, start);
        let rest = &bytes[body..];
        match rest.first() {
            None | Some(b'\n' | b'\r') => above = None,
            Some(b'/') if rest.get(1) == Some(&b'/') => above = above.or(Some(start)),
            Some(_) => {
                if state.ends_before(&text[body..], body == start) {
                    if seen_statement {
                        let cut = above.unwrap_or(start);
                        chunks.push(Chunk { start: begin as u32, end: cut as u32 });
                        begin = cut;
                    }
                    state = State::default();
                }
                seen_statement = true;
                above = None;
                start = state.scan(text, body);
                continue;
            }
        }
        start = past_line(bytes, body);
    }
    chunks.push(Chunk { start: begin as u32, end: text.len() as u32 });
    chunks
}

/// Where the first thing stands that is no blank.
fn past_blanks(text: &str, start: usize) -> usize {
    let rest = &text[start..];
    start + rest.find(|it| !token::is_blank(it)).unwrap_or(rest.len())
}

/// Where the next line starts.
fn past_line(bytes: &[u8], from: usize) -> usize {
    match bytes[from..].iter().position(|it| matches!(it, b'\n' | b'\r')) {
        Some(at) if bytes[from + at] == b'\r' && bytes.get(from + at + 1) == Some(&b'\n') => from + at + 2,
        Some(at) => from + at + 1,
        None => bytes.len(),
    }
}

/// What the lines read so far leave open.
#[derive(Default)]
struct State {
    brace: u32,
    bracket: u32,
    /// Whether the last line with a statement ended in a comma.
    comma: bool,
}

impl State {
    /// Whether the statement ends before the line at the start of `rest`.
    fn ends_before(&self, rest: &str, unindented: bool) -> bool {
        let open = self.brace > 0 || self.bracket > 0 || self.comma;
        (!open && !leads_on(rest)) || (unindented && is_top_only(rest))
    }

    /// Reads the line that holds `at` from there on, and returns where the next one starts.
    fn scan(&mut self, text: &str, mut at: usize) -> usize {
        let (from, bytes) = (at, text.as_bytes());
        while let Some(it) = bytes.get(at).copied() {
            match it {
                b'\n' | b'\r' => break,
                b'"' => at = past_text(text, at),
                0xe2 if is_curled(bytes, at) => at = past_curled(text, at),
                b'/' if bytes.get(at + 1) == Some(&b'/') => break,
                b'{' => (self.brace, self.bracket) = (self.brace + 1, 0),
                b'}' => (self.brace, self.bracket) = (self.brace.saturating_sub(1), 0),
                b'(' | b'[' => self.bracket += 1,
                b')' | b']' => self.bracket = self.bracket.saturating_sub(1),
                _ => {}
            }
            at += 1;
        }
        let at = at.min(bytes.len());
        self.comma = text[from..at].trim_end_matches(token::is_blank).ends_with(',');
        past_line(bytes, at)
    }
}

/// Where the closing quote of a text stands, or the last byte before the end of the line or the
/// brace there.
fn past_text(text: &str, open: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = open + 1;
    loop {
        match bytes.get(at) {
            None | Some(b'\n' | b'\r') => return unclosed(text, open, at),
            Some(b'"') => return at,
            Some(b'\\') if !matches!(bytes.get(at + 1), None | Some(b'\n' | b'\r')) => at += 2,
            Some(_) => at += 1,
        }
    }
}

/// `“`, `”` or `„`.
fn is_curled(bytes: &[u8], at: usize) -> bool {
    bytes.get(at + 1) == Some(&0x80) && matches!(bytes.get(at + 2), Some(0x9c..=0x9e))
}

/// The last byte of a text without a closing quote in a line that ends at `end`.
fn unclosed(text: &str, open: usize, end: usize) -> usize {
    let (_, brace) = token::before_brace(&text[open..end]);
    brace.map_or(end, |it| open + it) - 1
}

/// The same of a text in curled quotes, `„` being none that closes.
fn past_curled(text: &str, open: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = open + 3;
    loop {
        match bytes.get(at) {
            None | Some(b'\n' | b'\r') => return unclosed(text, open, at),
            Some(b'"') => return at,
            Some(0xe2) if is_curled(bytes, at) && bytes[at + 2] != 0x9e => return at + 2,
            Some(_) => at += 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<&str> {
        chunks(text).into_iter().map(|it| &text[it.start as usize..it.end as usize]).collect()
    }

    #[test]
    fn one_piece_a_statement_with_its_comments() {
        let text = "// file\n\n/// a\npart a { face b }\n\n// c\npart c {\n  mass 1 kg\n}\nuse \"x\"\n";
        assert_eq!(
            cut(text),
            ["// file\n\n/// a\npart a { face b }\n\n", "// c\npart c {\n  mass 1 kg\n}\n", "use \"x\"\n"]
        );
        assert_eq!(cut("a\rb\r\nc"), ["a\r", "b\r\n", "c"]);
        assert_eq!(cut(""), [""]);
    }

    #[test]
    fn an_open_block_ends_before_the_next_top_line() {
        assert_eq!(cut("part a {\n  face b\n\npart c { }\n"), ["part a {\n  face b\n\n", "part c { }\n"]);
        assert_eq!(cut("part a {\n  // note\n// of c\npart c { }\n").len(), 2);
    }

    #[test]
    fn a_short_kind_line_ends_no_block() {
        assert_eq!(cut("vehicle van {\nkind panel_van\n}\n").len(), 1);
        assert_eq!(cut("vehicle van {\nkind a is b {\n}\n").len(), 2);
    }

    #[test]
    fn lines_go_on_after_a_comma_and_in_brackets() {
        let text = "source a \"{\" measured,\n// why\nby \"x\"\nuse \"y\"";
        assert_eq!(cut(text), ["source a \"{\" measured,\n// why\nby \"x\"\n", "use \"y\""]);
        assert_eq!(cut("a (1,\n 2)\nb").len(), 2);
        assert_eq!(cut("a \\\"{ c\n\"b").len(), 2);
        assert_eq!(cut("a \"{\nb\n}\nc").len(), 2);
    }

    #[test]
    fn per_because_and_a_brace_go_on_with_the_line_before() {
        assert_eq!(cut("part a\n{\n}\nuse \"b\"\n").len(), 2);
        assert_eq!(cut("use \"a\"\n  because \"b\"\nperson c { }\n").len(), 2);
    }

    #[test]
    fn braces_in_texts_and_comments_do_not_count() {
        assert_eq!(cut("a \"{\"\nb // {\nc “{”\nd „{“\ne").len(), 5);
        assert_eq!(cut("a } b\nc ) d {\n e\n}\nf").len(), 3);
    }
}
