//! Makes braces and brackets pair, before the grammar sees them.
//!
//! Every text then has a tree, whatever is missing in it: what is not closed
//! is closed, what closes nothing is left out, and each is told once. Square
//! and round brackets end with their line; nesting has a bound.

use crate::parse::{closing, error};
use crate::token::{Spanned, Token};
use crate::tree::{Mend, Span, SyntaxError};

/// How deep blocks may nest.
const DEEPEST: usize = 64;

/// The tokens with all pairs complete, and without comments that belong to no statement
/// and characters that belong to nothing. Newlines in brackets and after commas are left out.
pub fn balance(text: &str, tokens: Vec<Spanned>, errors: &mut Vec<SyntaxError>) -> Vec<Spanned> {
    let mut out: Vec<Spanned> = Vec::with_capacity(tokens.len() + 4);
    let mut open: Vec<Spanned> = Vec::new();
    let mut told_deep = false;
    let mut skipping = 0_usize;
    for (nth, token) in tokens.iter().copied().enumerate() {
        if skipping > 0 {
            match token.token {
                Token::BraceOpen => skipping += 1,
                Token::BraceClose => skipping -= 1,
                _ => {}
            }
            continue;
        }
        match token.token {
            Token::Comment => {}
            Token::Unknown => errors.push(unknown(text, token)),
            Token::Newline => {
                // A bracket that the line leaves open: round ones may go on, square ones not.
                while let Some(last) = open.last().copied() {
                    if last.token != Token::BracketOpen {
                        break;
                    }
                    open.pop();
                    errors.push(error("write/bracket", last, "This bracket is not closed on its line: `]` is missing."));
                    out.push(closed(Token::BracketClose, token.span.start));
                }
                let in_round = open.last().is_some_and(|it| it.token == Token::ParenOpen);
                let after_comma = out.last().is_some_and(|it| it.token == Token::Comma);
                if !in_round && !after_comma && !leads_on(text, &tokens[nth + 1..]) {
                    out.push(token);
                }
            }
            Token::BraceOpen | Token::BracketOpen | Token::ParenOpen => {
                if open.len() >= DEEPEST {
                    if !told_deep {
                        told_deep = true;
                        errors.push(error(
                            "write/brace",
                            token,
                            format!("Blocks nest deeper than {DEEPEST} here; what is inside is not read."),
                        ));
                    }
                    if token.token == Token::BraceOpen {
                        skipping = 1;
                    }
                    continue;
                }
                open.push(token);
                out.push(token);
            }
            Token::BraceClose | Token::BracketClose | Token::ParenClose => {
                close(token, &mut open, &mut out, errors);
            }
            _ => out.push(token),
        }
    }
    let end = text.len() as u32;
    for last in open.into_iter().rev() {
        let closes = closing(last.token).unwrap_or(Token::BraceClose);
        let mut told = error("write/brace", last, match closes {
            Token::BraceClose => "This block is not closed: `}` is missing.",
            Token::ParenClose => "This bracket is not closed: `)` is missing.",
            _ => "This bracket is not closed: `]` is missing.",
        });
        if closes == Token::BraceClose {
            let at = text.trim_end().len() as u32;
            told.mend = Some(Mend {
                title: "close the block".to_owned(),
                span: Span::new(at, at),
                text: "\n}".to_owned(),
            });
        } else {
            told.name = "write/bracket";
        }
        errors.push(told);
        out.push(closed(closes, end));
    }
    out
}

/// Whether the next line goes on with the statement: it begins with `per` or `because`.
fn leads_on(text: &str, rest: &[Spanned]) -> bool {
    let next = rest.iter().find(|it| !matches!(it.token, Token::Newline | Token::Comment));
    next.is_some_and(|it| it.token == Token::Word && matches!(&text[it.span.range()], "per" | "because"))
}

/// A token that stands for a missing closing one: it has no length.
fn closed(token: Token, at: u32) -> Spanned {
    Spanned { token, span: Span::new(at, at) }
}

fn close(token: Spanned, open: &mut Vec<Spanned>, out: &mut Vec<Spanned>, errors: &mut Vec<SyntaxError>) {
    let opens = |it: &Spanned| closing(it.token) == Some(token.token);
    let matches = match token.token {
        Token::BraceClose => open.iter().any(opens),
        _ => open.last().is_some_and(opens),
    };
    if !matches {
        let mut told = error("write/brace", token, "This closes nothing: there is no open block here.");
        if token.token != Token::BraceClose {
            told.name = "write/bracket";
            told.message = "This closes nothing: there is no open bracket here.".to_owned();
        }
        told.mend = Some(Mend { title: "take it out".to_owned(), span: token.span, text: String::new() });
        errors.push(told);
        return;
    }
    while let Some(last) = open.pop() {
        let closes = closing(last.token).unwrap_or(token.token);
        if closes == token.token {
            out.push(token);
            return;
        }
        errors.push(error("write/bracket", last, "This bracket is not closed."));
        out.push(closed(closes, token.span.start));
    }
}

fn unknown(text: &str, token: Spanned) -> SyntaxError {
    let strange = &text[token.span.range()];
    let mut told = error("write/character", token, character(strange));
    told.mend = Some(Mend { title: "take it out".to_owned(), span: token.span, text: String::new() });
    told
}

fn character(strange: &str) -> String {
    let first = strange.chars().next().unwrap_or('\u{fffd}');
    match first {
        '\0' => "A NUL character stands here; it belongs to nothing.".to_owned(),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' => {
            "An invisible direction mark stands here; it can make text look other than it is.".to_owned()
        }
        '\u{feff}' => "A byte order mark stands here; it belongs to nothing.".to_owned(),
        '\u{fffd}' => "Bytes that are not UTF-8 stand here; save the file as UTF-8.".to_owned(),
        it if it.is_control() => format!("A control character (U+{:04X}) stands here.", it as u32),
        it => format!("`{it}` belongs to nothing here."),
    }
}
