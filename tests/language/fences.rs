//! The fenced blocks of a Markdown page.

/// One fenced block.
pub struct Fence {
    /// What stands after the three backticks: `trunnion part`, `console`.
    pub info: String,
    /// Its lines.
    pub text: String,
    /// The line after the opening fence, from 1.
    pub line: usize,
}

/// The fenced blocks of a page, in order.
pub fn fences(page: &str) -> Vec<Fence> {
    let mut found = Vec::new();
    let mut open: Option<Fence> = None;
    for (nth, line) in page.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(info)) => {
                open = Some(Fence { info: info.trim().to_owned(), text: String::new(), line: nth + 2 });
            }
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some(fence), None) => {
                fence.text.push_str(line);
                fence.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    found
}

#[test]
fn blocks_are_found_with_their_place() {
    let found = fences("a\n```trunnion part\nmass 3 kg\n```\nb\n```\nc\n```\n");
    assert_eq!(found.len(), 2);
    assert_eq!(
        (found[0].info.as_str(), found[0].text.as_str(), found[0].line),
        ("trunnion part", "mass 3 kg\n", 3)
    );
    assert_eq!(found[1].info, "");
}
