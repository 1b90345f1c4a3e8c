//! Where a blank stands between two tokens of a row.

use crate::parse::nesting::Role;
use crate::token::{Spanned, Token};

/// Whether a blank stands between two tokens. Where a blank has a meaning, or the meaning cannot
/// be known, it stays as it is.
pub(super) fn blank(text: &str, before: (Spanned, Role), next: (Spanned, Role), in_brackets: usize) -> bool {
    use Token::*;
    let as_written = before.0.span.end != next.0.span.start;
    let kept = |it: Role| !matches!(it, Role::Read | Role::GroupComma);
    if kept(before.1) || kept(next.1) {
        return as_written;
    }
    match (before.0.token, next.0.token) {
        // Only the outermost square brackets are read; inside, a blank is part of the name.
        (BracketOpen, _) | (_, BracketClose) if in_brackets == 1 => false,
        _ if in_brackets > 0 => as_written,
        (_, Comma | GroupComma | ParenClose) | (ParenOpen, _) => false,
        (Comma | GroupComma | BraceOpen | BraceClose, _) | (_, BraceOpen | BraceClose) => true,
        (Dot | Plus | Minus, _) | (_, Dot | Plus | Minus | BracketOpen | ParenOpen) => as_written,
        // `unit.5` is a path.
        (_, Number) if text[next.0.span.range()].starts_with('.') => as_written,
        // `3/4"` is an inch.
        (before, Text) if before.is_number() => as_written,
        _ => true,
    }
}
