//! A tree without its places, to compare what two texts say.

use trunnion_syntax::tree::Tree;

/// The lines without their places: a place is the one thing that reads `1..2`.
pub fn of(tree: &Tree) -> String {
    let whole = format!("{:?}", tree.lines);
    let mut out = String::with_capacity(whole.len());
    let mut rest = whole.as_str();
    while let Some(at) = rest.find("span: ") {
        out.push_str(&rest[..at]);
        rest = rest[at + 6..].trim_start_matches(|it: char| it.is_ascii_digit() || it == '.');
    }
    out + rest
}

#[test]
fn places_do_not_count_but_words_do() {
    let of = |text: &str| of(&trunnion_syntax::parse::parse(text));
    assert_eq!(of("part a {  mass 3 kg }"), of("part a { mass 3 kg }"));
    assert_ne!(of("part a { mass 3 kg }"), of("part a { mass 3 lb }"));
}
