//! From tokens to the tree.
//!
//! There is a tree for every text. What cannot be read becomes one
//! [`SyntaxError`] and is passed over up to the end of the line or to the
//! brace that closes the block.

mod atoms;
mod figure;
mod grammar;
mod nesting;

use crate::token::{self, Spanned, Token};
use crate::tree::{SyntaxError, Tree};

/// Parses a text. Texts of 4 GiB and more must be refused by the caller.
pub fn parse(text: &str) -> Tree {
    let mut errors = Vec::new();
    let tokens = token::tokens(text);
    let tokens = nesting::balance(text, tokens, &mut errors);
    let lines = grammar::lines(text, &tokens, &mut errors);
    errors.sort_by_key(|it| (it.span, it.name));
    Tree { lines, errors }
}

/// The text of a token.
fn slice(text: &str, token: Spanned) -> &str {
    &text[token.span.range()]
}

fn error(name: &'static str, token: Spanned, message: impl Into<String>) -> SyntaxError {
    SyntaxError { name, message: message.into(), span: token.span, related: None, mend: None }
}

/// Whether a token opens, and what closes it.
fn closing(token: Token) -> Option<Token> {
    Some(match token {
        Token::BraceOpen => Token::BraceClose,
        Token::BracketOpen => Token::BracketClose,
        Token::ParenOpen => Token::ParenClose,
        _ => return None,
    })
}
