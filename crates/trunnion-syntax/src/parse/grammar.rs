//! The grammar: lines of clauses of atoms, with blocks.

use chumsky::prelude::*;
use smol_str::SmolStr;

use crate::parse::{atoms, slice};
use crate::token::{Spanned, Token};
use crate::tree::{AtomKind, Block, Clause, Line, Span, SyntaxError};

/// What stands in a file or a block.
enum Element<'t> {
    Doc(Spanned),
    Line(Vec<Raw<'t>>),
}

/// A clause whose atoms are still tokens.
struct Raw<'t> {
    tokens: &'t [Spanned],
    comma: Option<Span>,
    block: Option<RawBlock<'t>>,
}

struct RawBlock<'t> {
    open: Span,
    close: Span,
    elements: Vec<Element<'t>>,
}

/// The lines of balanced tokens.
pub fn lines(text: &str, tokens: &[Spanned], errors: &mut Vec<SyntaxError>) -> Vec<Line> {
    match elements().parse(tokens).into_output() {
        Some(elements) => Build { text, errors }.lines(elements),
        None => {
            errors.push(SyntaxError {
                name: "write/statement",
                message: "This text could not be read.".to_owned(),
                span: Span::new(0, text.len() as u32),
                related: None,
                mend: None,
            });
            Vec::new()
        }
    }
}

/// Pairs being complete, these rules take every sequence of tokens.
fn elements<'t>() -> impl Parser<'t, &'t [Spanned], Vec<Element<'t>>> {
    let is = |wanted: Token| any().filter(move |it: &Spanned| it.token == wanted);
    recursive(move |elements| {
        let inner = recursive(move |inner| {
            let plain = any().filter(|it: &Spanned| !matches!(it.token, Token::ParenOpen | Token::ParenClose));
            let group = is(Token::ParenOpen).then(inner.repeated()).then(is(Token::ParenClose));
            plain.ignored().or(group.ignored())
        });
        let plain = any().filter(|it: &Spanned| {
            !matches!(
                it.token,
                Token::Newline
                    | Token::Doc
                    | Token::Comma
                    | Token::BraceOpen
                    | Token::BraceClose
                    | Token::ParenOpen
                    | Token::ParenClose
            )
        });
        let group = is(Token::ParenOpen).then(inner.repeated()).then(is(Token::ParenClose));
        let run = plain.ignored().or(group.ignored()).repeated().at_least(1).to_slice();
        let block = is(Token::BraceOpen).then(elements).then(is(Token::BraceClose)).map(
            |((open, elements), close): ((Spanned, Vec<Element<'t>>), Spanned)| RawBlock {
                open: open.span,
                close: close.span,
                elements,
            },
        );
        let clause = choice((
            run.then(block.clone().or_not()).map(|(tokens, block)| (tokens, block)),
            block.map(|block| (&[][..], Some(block))),
        ));
        let first = clause.clone().map(|(tokens, block)| Raw { tokens, comma: None, block });
        let rest = is(Token::Comma).then(clause.or_not()).map(|(comma, clause)| {
            let (tokens, block) = clause.unwrap_or((&[][..], None));
            Raw { tokens, comma: Some(comma.span), block }
        });
        let line = first.or_not().then(rest.repeated().collect::<Vec<_>>()).filter(
            |(first, rest): &(Option<Raw<'_>>, Vec<Raw<'_>>)| first.is_some() || !rest.is_empty(),
        );
        let line = line.map(|(first, rest)| {
            let mut clauses = Vec::with_capacity(rest.len() + 1);
            clauses.extend(first);
            clauses.extend(rest);
            Some(Element::Line(clauses))
        });
        let doc = is(Token::Doc).map(|it| Some(Element::Doc(it)));
        let newline = is(Token::Newline).map(|_| None);
        choice((newline, doc, line))
            .repeated()
            .collect::<Vec<_>>()
            .map(|all: Vec<Option<Element<'t>>>| all.into_iter().flatten().collect())
    })
}

struct Build<'a> {
    text: &'a str,
    errors: &'a mut Vec<SyntaxError>,
}

impl Build<'_> {
    fn lines(&mut self, elements: Vec<Element<'_>>) -> Vec<Line> {
        let mut lines = Vec::with_capacity(elements.len());
        let mut doc: Option<String> = None;
        for element in elements {
            match element {
                Element::Doc(token) => {
                    let words = slice(self.text, token).trim_start_matches('/');
                    let words = words.strip_prefix(' ').unwrap_or(words).trim_end();
                    match &mut doc {
                        Some(doc) => {
                            doc.push('\n');
                            doc.push_str(words);
                        }
                        None => doc = Some(words.to_owned()),
                    }
                }
                Element::Line(raw) => {
                    let line = self.line(raw, doc.take().map(SmolStr::from));
                    if let Some(line) = after_block(&mut lines, line) {
                        lines.push(line);
                    }
                }
            }
        }
        lines
    }

    fn line(&mut self, raw: Vec<Raw<'_>>, doc: Option<SmolStr>) -> Line {
        let count = raw.len();
        let mut clauses = Vec::with_capacity(count);
        for (nth, raw) in raw.into_iter().enumerate() {
            let empty = raw.tokens.is_empty() && raw.block.is_none();
            if let (true, Some(comma)) = (empty, raw.comma) {
                self.errors.push(SyntaxError {
                    name: "write/comma",
                    message: "Nothing follows this comma.".to_owned(),
                    span: comma,
                    related: None,
                    mend: Some(crate::tree::Mend {
                        title: "take it out".to_owned(),
                        span: comma,
                        text: String::new(),
                    }),
                });
                if nth + 1 == count && count > 1 {
                    continue;
                }
            }
            clauses.push(self.clause(raw));
        }
        let span = match (clauses.first(), clauses.last()) {
            (Some(first), Some(last)) => Clause::span(first).to(last.span),
            _ => Span::default(),
        };
        Line { clauses, doc, span }
    }

    fn clause(&mut self, raw: Raw<'_>) -> Clause {
        let atoms = atoms::atoms(self.text, raw.tokens, self.errors);
        let block = raw.block.map(|it| Block {
            lines: self.lines(it.elements),
            span: it.open.to(it.close),
            closed: it.close.start < it.close.end,
        });
        let first = atoms.first().map(|it| it.span);
        let last = block.as_ref().map(|it| it.span).or(atoms.last().map(|it| it.span));
        let at = raw.comma.map_or(Span::default(), |it| Span::new(it.end, it.end));
        let start = first.or(block.as_ref().map(|it| it.span)).unwrap_or(at);
        Clause { span: start.to(last.unwrap_or(start)), atoms, block }
    }
}

/// `per` and `because` after a closing brace belong to the statement before the block.
fn after_block(lines: &mut [Line], mut line: Line) -> Option<Line> {
    let leads = |clause: &Clause| match clause.atoms.first().map(|it| &it.kind) {
        Some(AtomKind::Path(path)) => path.word().is_some_and(|it| it == "per" || it == "because"),
        _ => false,
    };
    let before = lines.last_mut().and_then(|it| Some((it.clauses.last_mut()?, &mut it.span)));
    match (before, line.clauses.as_mut_slice()) {
        (Some((before, span)), [only]) if before.block.is_some() && only.block.is_none() && leads(only) => {
            before.atoms.append(&mut only.atoms);
            before.span = before.span.to(line.span);
            *span = span.to(line.span);
            None
        }
        _ => Some(line),
    }
}

impl Clause {
    fn span(&self) -> Span {
        self.span
    }
}
