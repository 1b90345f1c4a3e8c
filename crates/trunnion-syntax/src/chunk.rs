//! Cuts a text into its top-level statements without reading them.
//!
//! Each can then be parsed by itself, so that an edit in one leaves the others
//! alone. A statement whose closing brace is missing ends before the next line
//! that can only stand at the top.

/// A piece of a text: one top-level statement with the comments above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chunk {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// Leading words that stand at the top of a file and nowhere else.
const TOP_ONLY: &[&str] = &[
    "basis", "connector", "conversion", "exchange", "family", "kind", "log", "medium", "module", "part",
    "pattern", "person", "private", "rule", "scheme", "source", "terminal", "use", "vehicle",
];

/// Leading words at the top that may also stand in a block at the start of a line; with
/// these, an unindented line does not end an open block.
fn is_top_only(line: &str) -> bool {
    let word = line.split(|it: char| !it.is_alphanumeric() && it != '_').next().unwrap_or_default();
    // In a vehicle `kind` leads a short line; at the top it declares, with a block or `is`.
    if word == "kind" || word == "terminal" || word == "medium" {
        return line.contains('{') || line.contains(" is ");
    }
    TOP_ONLY.contains(&word)
}

/// Cuts a text. The pieces cover it without gaps; there is at least one.
pub fn chunks(text: &str) -> Vec<Chunk> {
    let mut chunks: Vec<Chunk> = Vec::new();
    let mut depth = 0_i64;
    let mut comma = false;
    let mut seen_statement = false;
    // Where the comments directly above the next statement begin.
    let mut above: Option<usize> = None;
    let mut begin = 0;
    for (start, line) in lines(text) {
        let body = line.trim_start_matches([' ', '\t', '\u{a0}']);
        let content = body.trim_end_matches(['\n', '\r', ' ', '\t']);
        if content.is_empty() {
            if depth <= 0 {
                above = None;
            }
            continue;
        }
        let comment_only = content.starts_with("//");
        let unindented = body.len() == line.len();
        let continued = comma || leads_on(content);
        let at_top = (depth <= 0 && !continued) || (unindented && !comment_only && is_top_only(content));
        if comment_only {
            if depth <= 0 && !comma && above.is_none() {
                above = Some(start);
            }
            continue;
        }
        if at_top {
            if seen_statement {
                let cut = above.unwrap_or(start);
                chunks.push(Chunk { start: begin as u32, end: cut as u32 });
                begin = cut;
            }
            seen_statement = true;
            depth = 0;
        }
        above = None;
        let (change, ends_in_comma) = scan(content);
        depth += change;
        comma = ends_in_comma;
    }
    chunks.push(Chunk { start: begin as u32, end: text.len() as u32 });
    chunks
}

/// Whether a line goes on with the statement before it: `per` and `because` lead none.
fn leads_on(line: &str) -> bool {
    ["per ", "because "].iter().any(|it| line.starts_with(it))
}

/// The lines with their line ends, and where each starts.
fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut start = 0;
    std::iter::from_fn(move || {
        let rest = text.get(start..).filter(|it| !it.is_empty())?;
        let bytes = rest.as_bytes();
        let end = match bytes.iter().position(|it| *it == b'\n' || *it == b'\r') {
            Some(at) if bytes[at] == b'\r' && bytes.get(at + 1) == Some(&b'\n') => at + 2,
            Some(at) => at + 1,
            None => rest.len(),
        };
        let line = (start, &rest[..end]);
        start += end;
        Some(line)
    })
}

/// How much deeper the line leaves the braces and brackets, and whether it goes on.
fn scan(line: &str) -> (i64, bool) {
    let bytes = line.as_bytes();
    let (mut depth, mut last, mut at) = (0, b' ', 0);
    while at < bytes.len() {
        match bytes[at] {
            b'"' => {
                at += 1;
                while at < bytes.len() && bytes[at] != b'"' {
                    at += if bytes[at] == b'\\' { 2 } else { 1 };
                }
                last = b'"';
            }
            b'/' if bytes.get(at + 1) == Some(&b'/') => break,
            it => {
                match it {
                    b'{' | b'(' | b'[' => depth += 1,
                    b'}' | b')' | b']' => depth -= 1,
                    _ => {}
                }
                if it != b' ' && it != b'\t' {
                    last = it;
                }
            }
        }
        at += 1;
    }
    (depth, last == b',')
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
            [
                "// file\n\n/// a\npart a { face b }\n\n",
                "// c\npart c {\n  mass 1 kg\n}\n",
                "use \"x\"\n"
            ]
        );
    }

    #[test]
    fn an_open_block_ends_before_the_next_top_line() {
        assert_eq!(cut("part a {\n  face b\n\npart c { }\n"), ["part a {\n  face b\n\n", "part c { }\n"]);
    }

    #[test]
    fn lines_go_on_after_a_comma_and_in_brackets() {
        assert_eq!(cut("source a \"{\" measured,\nby \"x\"\nuse \"y\""), ["source a \"{\" measured,\nby \"x\"\n", "use \"y\""]);
        assert_eq!(cut(""), [""]);
    }
}
