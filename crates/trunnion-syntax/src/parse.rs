//! From tokens to the tree.
//!
//! There is a tree for every text. What cannot be read becomes one
//! [`SyntaxError`] and is passed over up to the end of the line or to the
//! brace that closes the block.

mod atoms;
mod date;
mod figure;
mod grammar;
pub(crate) mod marking;
pub(crate) mod nesting;
mod quoted;

use crate::token::{self, Spanned};
use crate::tree::{Mend, Span, SyntaxError, Tree};

/// How many errors are told for one text; after that, one more says that there are others.
const MOST_TOLD: usize = 1000;

/// Parses a text. Texts of 4 GiB and more must be refused by the caller: spans are `u32`.
///
/// Never fails and never panics. A text of several top-level statements gives the same lines as
/// its [chunks](crate::chunk::chunks) do one by one.
pub fn parse(text: &str) -> Tree {
    let mut errors = Errors::default();
    let tokens = token::tokens(text);
    let paired = nesting::pair(text, &tokens, &mut errors);
    let tokens = nesting::read(&tokens, &paired);
    let lines = grammar::lines(text, &tokens, &mut errors);
    let mut errors = errors.told;
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

impl SyntaxError {
    /// The same, with the mend that puts `text` in place of `span`.
    fn with_mend(mut self, title: impl Into<String>, span: Span, text: impl Into<String>) -> Self {
        self.mend = Some(Mend { title: title.into(), span, text: text.into() });
        self
    }

    /// The same, with the mend that takes the place out.
    fn taken_out(self) -> Self {
        let span = self.span;
        self.with_mend("take it out", span, "")
    }

    /// The same, with the mend that writes it right.
    fn written(self, right: &str) -> Self {
        let span = self.span;
        self.with_mend(format!("write {right}"), span, right)
    }
}

/// What could not be read so far.
#[derive(Default)]
pub(crate) struct Errors {
    told: Vec<SyntaxError>,
}

impl Errors {
    fn tell(&mut self, error: SyntaxError) {
        match self.told.len() {
            0..MOST_TOLD => self.told.push(error),
            MOST_TOLD => self.told.push(SyntaxError {
                name: "write/statement",
                message: "More than a thousand places above cannot be read; the rest is not listed."
                    .to_owned(),
                span: error.span,
                related: None,
                mend: None,
            }),
            _ => {}
        }
    }

    /// Tells of a stray token; where the same was told of the one before it, that is widened.
    fn tell_row(&mut self, text: &str, error: SyntaxError) {
        let blank = |it: &str| it.chars().all(|it| it.is_whitespace() && it != '\n' && it != '\r');
        match self.told.last_mut() {
            Some(last)
                if last.name == error.name
                    && last.message == error.message
                    && last.span.end <= error.span.start
                    && blank(&text[last.span.end as usize..error.span.start as usize]) =>
            {
                last.span.end = error.span.end;
                if let Some(mend) = &mut last.mend {
                    mend.span.end = error.span.end;
                }
            }
            _ => self.tell(error),
        }
    }

    /// How many there are, to go [back](Self::back) to.
    fn mark(&self) -> usize {
        self.told.len()
    }

    /// Forgets what was told since.
    fn back(&mut self, mark: usize) {
        self.told.truncate(mark);
    }
}
