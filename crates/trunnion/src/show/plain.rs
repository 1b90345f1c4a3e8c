//! Text of a specification as it may go to a terminal.

use std::borrow::Cow;

use trunnion_syntax::token::is_direction_mark;

/// The text without characters that would steer the terminal, turn the direction of writing or
/// break a line where the language sees none. Each becomes a mark of as many bytes, so that
/// places stay right. Line ends and tabulators stay.
pub fn plain(text: &str) -> Cow<'_, str> {
    if text.chars().any(|it| mark(it).is_some()) {
        Cow::Owned(text.chars().map(|it| mark(it).unwrap_or(it)).collect())
    } else {
        Cow::Borrowed(text)
    }
}

fn mark(it: char) -> Option<char> {
    Some(match it {
        '\n' | '\r' | '\t' => return None,
        // Blanks to the language, line ends to terminals.
        '\u{b}' | '\u{c}' => ' ',
        '\0'..='\u{1f}' | '\u{7f}' => '?',
        '\u{80}'..='\u{9f}' => '·',
        '\u{2028}' | '\u{2029}' => '\u{fffd}',
        it if is_direction_mark(it) => '\u{fffd}',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_shown_as_a_mark_of_the_same_length() {
        assert_eq!(plain("a\u{1b}[2Jb\tc\r\n"), "a?[2Jb\tc\r\n");
        assert_eq!(plain("ok µ"), "ok µ");
        for it in ('\0'..=char::MAX).filter(|it| mark(*it).is_some()) {
            assert_eq!(plain(&it.to_string()).len(), it.len_utf8(), "{it:?}");
        }
    }
}
