//! Threads and tyre markings in their one form.

use std::borrow::Cow;

use smol_str::SmolStr;

use crate::token::Token;

/// A token in its one form.
pub(crate) fn shown(raw: &str, token: Token) -> Cow<'_, str> {
    match token {
        Token::Thread => Cow::Owned(thread(raw).into()),
        Token::Tyre => Cow::Owned(tyre(raw).into()),
        Token::Fraction => Cow::Owned(blanks_once(raw)),
        _ => Cow::Borrowed(raw),
    }
}

/// Whether a thread is just `M` and a number, so that it may be meant as a name.
pub(super) fn is_plain(raw: &str) -> bool {
    raw.strip_prefix('M').is_some_and(|it| it.bytes().all(|it| it.is_ascii_digit()))
}

/// The one form of a thread: `M12x1.5`, `G1/4`, `1/4 NPT`, `7/16-20 UNF`.
pub(crate) fn thread(raw: &str) -> SmolStr {
    if raw.starts_with('M') {
        return raw
            .chars()
            .filter(|it| !it.is_whitespace())
            .map(|it| match it {
                '×' | 'X' => 'x',
                ',' => '.',
                it => it,
            })
            .collect();
    }
    if raw.starts_with(['G', 'R']) {
        let letters = raw.chars().take_while(|it| it.is_alphabetic()).count();
        let size = blanks_once(&raw[letters..]);
        return format!("{}{size}", &raw[..letters]).into();
    }
    blanks_once(raw).into()
}

/// The one form of a tyre marking: `205/65 R16`, `205/65 R16C 107/105T`.
pub(crate) fn tyre(raw: &str) -> SmolStr {
    let raw: String = raw.chars().filter(|it| !it.is_whitespace()).collect();
    let Some(at) = raw.find(['R', 'Z']) else { return raw.into() };
    let (size, rest) = raw.split_at(at);
    // Construction letters and the two figures of the rim, all ASCII.
    let letters = rest.bytes().take_while(u8::is_ascii_alphabetic).count();
    let rim = (letters + 2).min(rest.len());
    let commercial = usize::from(rest[rim..].starts_with('C'));
    let (rim, load) = rest.split_at(rim + commercial);
    if load.is_empty() { format!("{size} {rim}").into() } else { format!("{size} {rim} {load}").into() }
}

fn blanks_once(raw: &str) -> String {
    raw.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::parse;
    use crate::tree::AtomKind;

    #[test]
    fn every_way_of_writing_has_one_form() {
        for (text, right) in [
            ("M12", "M12"),
            ("M12 x 1.5", "M12x1.5"),
            ("M12×1,5", "M12x1.5"),
            ("M12X1.5", "M12x1.5"),
            ("G 1/4", "G1/4"),
            ("G 1  1/4", "G1 1/4"),
            ("Rc1/8", "Rc1/8"),
            ("1/4  NPT", "1/4 NPT"),
            ("7/16-20  UNF", "7/16-20 UNF"),
            ("205/65R16", "205/65 R16"),
            ("205/65 R 16 C 107/105T", "205/65 R16C 107/105T"),
            ("205/65 ZR16 98 W", "205/65 ZR16 98W"),
        ] {
            let tree = parse(text);
            assert!(tree.errors.is_empty(), "{text}: {:?}", tree.errors);
            assert_eq!(tree.lines[0].clauses[0].atoms.len(), 1, "{text}");
            match &tree.lines[0].clauses[0].atoms[0].kind {
                AtomKind::Thread(it) => {
                    assert_eq!(it, right);
                    assert_eq!(thread(it), *it);
                }
                AtomKind::Tyre(it) => {
                    assert_eq!(it, right);
                    assert_eq!(tyre(it), *it);
                }
                other => panic!("{text}: {other:?}"),
            }
        }
    }
}
