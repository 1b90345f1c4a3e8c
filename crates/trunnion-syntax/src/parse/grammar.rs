//! The grammar: lines of clauses of atoms, with blocks.

use chumsky::prelude::*;
use smol_str::SmolStr;

use crate::parse::{Errors, atoms, error, slice};
use crate::token::{Spanned, Token};
use crate::tree::{Block, Clause, Line, Span};

/// What stands in a file or a block.
enum Element<'t> {
    Doc(Spanned),
    Line {
        clauses: Vec<Raw<'t>>,
        /// Whether it begins on the line on which the one before ends.
        follows: bool,
    },
}

/// A clause whose atoms are still tokens.
struct Raw<'t> {
    comma: Option<Span>,
    tokens: &'t [Spanned],
    block: Option<RawBlock<'t>>,
}

struct RawBlock<'t> {
    open: Span,
    close: Span,
    elements: Vec<Element<'t>>,
}

/// The lines of tokens whose pairs are complete.
pub(super) fn lines(text: &str, tokens: &[Spanned], errors: &mut Errors) -> Vec<Line> {
    match elements().parse(tokens).into_output() {
        Some(elements) => Build { text, errors }.lines(elements),
        None => {
            let whole = Spanned { token: Token::Unknown, span: Span::new(0, text.len() as u32) };
            errors.tell(error("write/statement", whole, "This text could not be read."));
            Vec::new()
        }
    }
}

/// Pairs being complete, these rules take every sequence of tokens.
fn elements<'t>() -> impl Parser<'t, &'t [Spanned], Vec<Element<'t>>> {
    let is = |wanted: Token| any().filter(move |it: &Spanned| it.token == wanted);
    recursive(move |elements| {
        let atom = any().filter(|it: &Spanned| {
            !matches!(
                it.token,
                Token::Newline | Token::Doc | Token::Comma | Token::BraceOpen | Token::BraceClose
            )
        });
        let atoms = atom.repeated().to_slice();
        let block = is(Token::BraceOpen).then(elements).then(is(Token::BraceClose)).map(
            |((open, elements), close): ((Spanned, Vec<Element<'t>>), Spanned)| RawBlock {
                open: open.span,
                close: close.span,
                elements,
            },
        );
        let clause = atoms.then(block.or_not());
        let first = clause
            .clone()
            .map(|(tokens, block)| Raw { comma: None, tokens, block })
            .filter(|it: &Raw<'t>| !it.tokens.is_empty() || it.block.is_some());
        let next = is(Token::Comma).then(clause).map(|(comma, (tokens, block))| Raw {
            comma: Some(comma.span),
            tokens,
            block,
        });
        let line = first.or(next.clone()).then(next.repeated().collect::<Vec<_>>()).map(
            |(first, mut rest): (Raw<'t>, Vec<Raw<'t>>)| {
                rest.insert(0, first);
                Element::Line { clauses: rest, follows: false }
            },
        );
        let doc = is(Token::Doc).map(Element::Doc);
        let newlines = is(Token::Newline).repeated();
        let element = newlines.count().then(choice((line, doc))).map(|(count, element)| match element {
            Element::Line { clauses, .. } => Element::Line { clauses, follows: count == 0 },
            doc => doc,
        });
        element.repeated().collect().then_ignore(newlines)
    })
}

struct Build<'a> {
    text: &'a str,
    errors: &'a mut Errors,
}

impl Build<'_> {
    fn lines(&mut self, elements: Vec<Element<'_>>) -> Vec<Line> {
        let mut lines = Vec::with_capacity(elements.len());
        let mut doc: Option<String> = None;
        for element in elements {
            match element {
                Element::Doc(token) => {
                    let words = &slice(self.text, token)[3..];
                    let words = words.strip_prefix(' ').unwrap_or(words).trim_end();
                    match &mut doc {
                        Some(doc) => {
                            doc.push('\n');
                            doc.push_str(words);
                        }
                        None => doc = Some(words.to_owned()),
                    }
                }
                Element::Line { clauses, follows } => {
                    let goes_on = follows && clauses.first().is_some_and(|it| self.leads_on(it.tokens));
                    let line = self.line(clauses, doc.take().map(SmolStr::from));
                    match lines.last_mut() {
                        Some(above) if goes_on && ends_with_block(above) => join(above, line),
                        _ => lines.push(line),
                    }
                }
            }
        }
        lines
    }

    /// `per` and `because` directly after a closing brace belong to the statement before the
    /// block, unless they begin a path.
    fn leads_on(&self, tokens: &[Spanned]) -> bool {
        let Some((first, rest)) = tokens.split_first() else { return false };
        let path = rest.first().is_some_and(|it| {
            matches!(it.token, Token::Dot | Token::BracketOpen) && it.span.start == first.span.end
        });
        !path && matches!(slice(self.text, *first), "per" | "because")
    }

    fn line(&mut self, raw: Vec<Raw<'_>>, doc: Option<SmolStr>) -> Line {
        let count = raw.len();
        let mut clauses = Vec::with_capacity(count);
        for (nth, raw) in raw.into_iter().enumerate() {
            match raw.comma {
                Some(comma) if raw.tokens.is_empty() && raw.block.is_none() => {
                    self.lonely(comma, "Nothing stands after this comma.");
                    if nth + 1 == count && nth > 0 {
                        continue;
                    }
                }
                Some(comma) if nth == 0 => self.lonely(comma, "Nothing stands before this comma."),
                _ => {}
            }
            clauses.push(self.clause(raw));
        }
        let span = match (clauses.first(), clauses.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::default(),
        };
        Line { clauses, doc, span }
    }

    /// Tells of a comma that parts nothing. Commas in a row are one cause.
    fn lonely(&mut self, comma: Span, told: &str) {
        let place = Spanned { token: Token::Comma, span: comma };
        self.errors.tell_row(self.text, error("write/comma", place, told).taken_out());
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
        // Where nothing can be read, the place after the comma or that of the tokens.
        let tokens = raw.tokens.first().map(|it| it.span);
        let at = raw.comma.map(|it| Span::new(it.end, it.end)).or(tokens).unwrap_or_default();
        let start = first.or(block.as_ref().map(|it| it.span)).unwrap_or(at);
        Clause { span: start.to(last.unwrap_or(start)), atoms, block }
    }
}

fn ends_with_block(line: &Line) -> bool {
    line.clauses.last().is_some_and(|it| it.block.is_some())
}

/// Adds a line to the one above, whose last clause has a block: the first clause to that clause.
fn join(above: &mut Line, line: Line) {
    let mut clauses = line.clauses.into_iter();
    if let (Some(last), Some(first)) = (above.clauses.last_mut(), clauses.next()) {
        last.atoms.extend(first.atoms);
        last.span = last.span.to(first.span);
        // A second block has no place there: it is kept as a clause, and told where it is read.
        if let Some(block) = first.block {
            let span = block.span;
            above.clauses.push(Clause { atoms: Vec::new(), block: Some(block), span });
        }
    }
    above.clauses.extend(clauses);
    above.span = above.span.to(line.span);
}
