//! The rows of the laid-out text, and the column of their sources.

use std::ops::Range;

use crate::layout::gap;
use crate::parse::marking;
use crate::parse::nesting::Role;
use crate::token::{self, Spanned, Token};

/// The last column in which sources are aligned, counted from 0.
const LAST_COLUMN: usize = 72;
/// Blanks before a source and before a comment at the end of a row.
const APART: &str = "  ";

/// A row whose tokens are not yet put together.
#[derive(Default)]
pub(super) struct Row {
    pub indent: usize,
    /// Whether an empty line stands above it.
    pub blank: bool,
    /// How many square brackets are open where it begins.
    pub in_brackets: usize,
    /// Tokens by number.
    pub tokens: Vec<usize>,
    /// A comment at its end.
    pub comment: Option<String>,
    /// A comment that is the whole row.
    pub own_comment: Option<String>,
}

#[derive(Default)]
pub(super) struct Rows {
    done: Vec<Done>,
}

struct Done {
    row: Row,
    /// What stands in the row.
    text: String,
    /// The byte of the text at which a source at the end begins.
    per: Option<usize>,
    /// Whether the row opens a block that goes on below.
    opens: bool,
    /// Whether the row begins with the brace that closes one.
    closes: bool,
}

impl Rows {
    pub fn add(&mut self, row: Row, text: &str, tokens: &[Spanned], roles: &[Role]) {
        let brace = |nth: Option<&usize>, brace: Token| {
            nth.is_some_and(|it| tokens[*it].token == brace && roles[*it] == Role::Read)
        };
        let opens = brace(row.tokens.last(), Token::BraceOpen);
        let closes = brace(row.tokens.first(), Token::BraceClose);
        let (words, per) = match &row.own_comment {
            Some(comment) => (comment.clone(), None),
            None => put_together(&row, text, tokens, roles),
        };
        self.done.push(Done { row, text: words, per, opens, closes });
    }

    /// Takes back the last row, where it ends in what is read and not in a comment.
    pub fn reopen(&mut self, roles: &[Role]) -> Option<Row> {
        let is_read = |it: &Row| {
            it.comment.is_none()
                && it.tokens.last().is_some_and(|it| matches!(roles[*it], Role::Read | Role::GroupComma))
        };
        self.done.pop_if(|it| is_read(&it.row)).map(|it| it.row)
    }

    pub fn print(self) -> String {
        let columns = self.columns();
        let mut out = String::new();
        let mut after_open = true;
        for (row, column) in self.done.iter().zip(columns) {
            if row.row.blank && !after_open && !row.closes {
                out.push('\n');
            }
            let indent = row.row.indent * 2;
            out.extend(std::iter::repeat_n(' ', indent));
            match row.per {
                Some(per) => {
                    let (words, per) = row.text.split_at(per);
                    let words = words.trim_end_matches(' ');
                    out.push_str(words);
                    let width = indent + words.chars().count();
                    out.extend(std::iter::repeat_n(' ', column.saturating_sub(width).max(APART.len())));
                    out.push_str(per);
                }
                None => out.push_str(&row.text),
            }
            if let Some(comment) = &row.row.comment {
                if !row.text.is_empty() {
                    out.push_str(APART);
                }
                out.push_str(comment);
            }
            out.push('\n');
            after_open = row.opens;
        }
        out
    }

    /// The column in which each row's source stands; 0 where it stands right after its row.
    fn columns(&self) -> Vec<usize> {
        let mut columns = vec![0; self.done.len()];
        let mut start = 0;
        while start < self.done.len() {
            let group = self.neighbours(start);
            let end = |it: &Done| {
                it.per
                    .map_or(0, |per| it.row.indent * 2 + it.text[..per].trim_end_matches(' ').chars().count())
            };
            let column = self.done[group.clone()].iter().map(end).max().unwrap_or_default() + APART.len();
            if column <= LAST_COLUMN {
                columns[group.clone()].fill(column);
            }
            start = group.end;
        }
        columns
    }

    /// The rows with sources that directly follow one another in one block, from one on.
    fn neighbours(&self, start: usize) -> Range<usize> {
        let first = &self.done[start];
        let more = self.done[start + 1..].iter().take_while(|it| {
            first.per.is_some() && it.per.is_some() && !it.row.blank && it.row.indent == first.row.indent
        });
        start..start + 1 + more.count()
    }
}

/// The words of a row, and where a source at its end begins.
fn put_together(row: &Row, text: &str, tokens: &[Spanned], roles: &[Role]) -> (String, Option<usize>) {
    let mut words = String::new();
    let mut per = None;
    let source = source(row, text, tokens, roles);
    let mut in_brackets = row.in_brackets;
    let deep = row.tokens.iter().any(|it| roles[*it] == Role::Deep);
    for (at, nth) in row.tokens.iter().enumerate() {
        let token = tokens[*nth];
        if let Some(before) = at.checked_sub(1).map(|it| row.tokens[it])
            && gap::blank(text, (tokens[before], roles[before]), (token, roles[*nth]), in_brackets)
        {
            words.push(' ');
        }
        if source == Some(at) {
            per = Some(words.len());
        }
        match (token.token, roles[*nth]) {
            (Token::BracketOpen, Role::Read) => in_brackets += 1,
            (Token::BracketClose, Role::Read) => in_brackets = in_brackets.saturating_sub(1),
            _ => {}
        }
        words.push_str(&marking::shown(&text[token.span.range()], token.token));
    }
    if !deep && reads_same(&words, row, text, tokens) {
        (words, per)
    } else {
        (as_written(row, text, tokens), None)
    }
}

/// Whether the words give the tokens they are made from. A blank less or more may make one token
/// of two: `1/4NPT`.
fn reads_same(words: &str, row: &Row, text: &str, tokens: &[Spanned]) -> bool {
    let again = token::tokens(words);
    again.len() == row.tokens.len()
        && again.iter().zip(&row.tokens).all(|(new, old)| {
            let old = tokens[*old];
            let raw = &text[old.span.range()];
            new.token == old.token
                && marking::shown(&words[new.span.range()], new.token) == marking::shown(raw, old.token)
        })
}

/// The tokens of a row with what stands between them in the text.
fn as_written(row: &Row, text: &str, tokens: &[Spanned]) -> String {
    let mut words = String::new();
    let mut end: Option<u32> = None;
    for nth in &row.tokens {
        let token = tokens[*nth];
        if token.token == Token::Newline {
            continue;
        }
        if let Some(end) = end {
            let between = &text[end as usize..token.span.start as usize];
            words.push_str(&between.replace("\r\n", "\n").replace('\r', "\n"));
        }
        words.push_str(&text[token.span.range()]);
        end = Some(token.span.end);
    }
    words
}

/// The place in the row of the `per` whose source ends it.
fn source(row: &Row, text: &str, tokens: &[Spanned], roles: &[Role]) -> Option<usize> {
    let per = row.tokens.iter().rposition(|it| &text[tokens[*it].span.range()] == "per")?;
    let path = &row.tokens[per + 1..];
    let touching = path.windows(2).all(|it| tokens[it[0]].span.end == tokens[it[1]].span.start);
    let read = path.iter().all(|it| roles[*it] == Role::Read);
    let path: Vec<Token> = path.iter().map(|it| tokens[*it].token).collect();
    // `x.per` is a path, too, and `x[per` is a cavity that is not closed.
    let begins = per
        .checked_sub(1)
        .map(|it| row.tokens[it])
        .is_some_and(|it| tokens[it].token != Token::Dot && roles[it] != Role::Unclosed);
    (begins && touching && read && is_path(&path)).then_some(per)
}

/// Words with dots between, and perhaps something in square brackets.
fn is_path(tokens: &[Token]) -> bool {
    let bracket = tokens.iter().position(|it| *it == Token::BracketOpen).unwrap_or(tokens.len());
    let (words, cavity) = tokens.split_at(bracket);
    let names =
        words.chunks(2).all(|it| it[0] == Token::Word && it.get(1).is_none_or(|it| *it == Token::Dot));
    let closed = match cavity {
        [] => true,
        [_, inside @ .., Token::BracketClose] => !inside.contains(&Token::BracketClose),
        _ => false,
    };
    names && words.last() == Some(&Token::Word) && closed
}
