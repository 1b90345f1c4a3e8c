//! The atoms of a clause: paths, figures, dates, text, operators, groups.

use smol_str::SmolStr;

use crate::parse::{error, figure, slice};
use crate::token::{Spanned, Token};
use crate::tree::{At, Atom, AtomKind, Clause, Date, Mend, Op, Path, Span, SyntaxError};

/// Reads the tokens of a clause, brackets being complete.
pub fn atoms(text: &str, tokens: &[Spanned], errors: &mut Vec<SyntaxError>) -> Vec<Atom> {
    let mut reader = Atoms { text, tokens, at: 0, errors };
    let mut atoms = Vec::with_capacity(tokens.len());
    while let Some(token) = reader.peek() {
        let before = reader.at;
        if let Some(atom) = reader.atom(token, atoms.last()) {
            atoms.push(atom);
        }
        debug_assert!(reader.at > before);
    }
    atoms
}

/// Tokens being read.
pub(super) struct Atoms<'a> {
    pub text: &'a str,
    pub tokens: &'a [Spanned],
    pub at: usize,
    pub errors: &'a mut Vec<SyntaxError>,
}

impl<'a> Atoms<'a> {
    pub fn peek(&self) -> Option<Spanned> {
        self.tokens.get(self.at).copied()
    }

    pub fn peek_at(&self, ahead: usize) -> Option<Spanned> {
        self.tokens.get(self.at + ahead).copied()
    }

    pub fn is(&self, ahead: usize, token: Token) -> bool {
        self.peek_at(ahead).is_some_and(|it| it.token == token)
    }

    pub fn slice(&self, token: Spanned) -> &'a str {
        slice(self.text, token)
    }

    fn atom(&mut self, token: Spanned, before: Option<&Atom>) -> Option<Atom> {
        let kind = match token.token {
            Token::Word => return Some(self.path()),
            Token::Number | Token::Fraction | Token::DecimalComma | Token::Thousands => {
                return Some(figure::figure(self));
            }
            Token::Minus if self.negative(token, before) => return Some(figure::figure(self)),
            Token::Date | Token::OtherDate => {
                self.at += 1;
                return Some(self.date(token));
            }
            Token::Text => {
                self.at += 1;
                AtomKind::Text(self.quoted(token))
            }
            Token::Thread => {
                self.at += 1;
                AtomKind::Thread(thread(self.slice(token)))
            }
            Token::Tyre => {
                self.at += 1;
                AtomKind::Tyre(tyre(self.slice(token)))
            }
            Token::ParenOpen => return Some(self.group()),
            Token::Plus => self.op(Op::Plus),
            Token::Minus => self.op(Op::Minus),
            Token::Times => self.op(Op::Times),
            Token::Over => self.op(Op::Over),
            Token::Equal => self.op(Op::Equal),
            Token::Unequal => self.op(Op::Unequal),
            Token::Less => self.op(Op::Less),
            Token::AtMost => self.op(Op::AtMost),
            Token::More => self.op(Op::More),
            Token::AtLeast => self.op(Op::AtLeast),
            _ => {
                self.at += 1;
                let what = self.slice(token);
                if !what.is_empty() {
                    self.errors.push(error("write/character", token, format!("`{what}` belongs to nothing here.")));
                }
                return None;
            }
        };
        Some(Atom { kind, span: token.span })
    }

    fn op(&mut self, op: Op) -> AtomKind {
        self.at += 1;
        AtomKind::Op(op)
    }

    /// `-40 °C` where no operand stands before it with a blank on both sides of the sign.
    fn negative(&self, token: Spanned, before: Option<&Atom>) -> bool {
        let Some(next) = self.peek_at(1) else { return false };
        let number = matches!(next.token, Token::Number | Token::DecimalComma | Token::Fraction);
        let touching = next.span.start == token.span.end;
        let operand = before.is_some_and(|it| !matches!(it.kind, AtomKind::Op(_)) && it.span.end == token.span.start);
        number && touching && !operand
    }

    fn path(&mut self) -> Atom {
        let mut parts: Vec<At<SmolStr>> = Vec::with_capacity(1);
        let mut span = Span::default();
        while let Some(token) = self.peek() {
            parts.push(At { value: self.slice(token).into(), span: token.span });
            span = if parts.len() == 1 { token.span } else { span.to(token.span) };
            self.at += 1;
            let dot = self.peek().filter(|it| it.token == Token::Dot && it.span.start == span.end);
            let Some(dot) = dot else { break };
            match self.peek_at(1) {
                Some(next) if next.span.start == dot.span.end && matches!(next.token, Token::Word | Token::Thread | Token::Number) => {
                    self.at += 1;
                }
                _ => {
                    self.at += 1;
                    span = span.to(dot.span);
                    self.errors.push(error("write/path", dot, "A name is missing after this dot."));
                    break;
                }
            }
        }
        let index = self.index(&mut span);
        Atom { kind: AtomKind::Path(Path { parts, index }), span }
    }

    /// `[8]` directly after a path.
    fn index(&mut self, span: &mut Span) -> Option<At<SmolStr>> {
        let open = self.peek().filter(|it| it.token == Token::BracketOpen && it.span.start == span.end)?;
        self.at += 1;
        let mut inside: Option<Span> = None;
        while let Some(token) = self.peek() {
            self.at += 1;
            if token.token == Token::BracketClose {
                *span = span.to(token.span);
                break;
            }
            inside = Some(inside.map_or(token.span, |it| it.to(token.span)));
        }
        if inside.is_none() {
            self.errors.push(error("write/path", open, "The number of the cavity is missing in these brackets."));
        }
        inside.map(|span| At { value: self.text[span.range()].into(), span })
    }

    fn group(&mut self) -> Atom {
        let open = self.tokens[self.at];
        self.at += 1;
        let start = self.at;
        let mut depth = 1;
        while let Some(token) = self.peek() {
            match token.token {
                Token::ParenOpen => depth += 1,
                Token::ParenClose => depth -= 1,
                _ => {}
            }
            if depth == 0 {
                break;
            }
            self.at += 1;
        }
        let inside = &self.tokens[start..self.at];
        let close = self.peek().map_or(open.span, |it| it.span);
        self.at += 1;
        let mut clauses = Vec::new();
        let mut depth = 0;
        let parts = inside.split(|it| {
            match it.token {
                Token::ParenOpen => depth += 1,
                Token::ParenClose => depth -= 1,
                _ => {}
            }
            depth == 0 && it.token == Token::Comma
        });
        for part in parts {
            let atoms = atoms(self.text, part, self.errors);
            let span = match (atoms.first(), atoms.last()) {
                (Some(first), Some(last)) => first.span.to(last.span),
                _ => Span::new(open.span.end, open.span.end),
            };
            clauses.push(Clause { atoms, block: None, span });
        }
        Atom { kind: AtomKind::Group(clauses), span: open.span.to(close) }
    }

    /// The text between quotes, escapes read.
    fn quoted(&mut self, token: Spanned) -> SmolStr {
        let raw = self.slice(token);
        let body = &raw[1..];
        let closed = body.ends_with('"') && {
            let slashes = body[..body.len() - 1].bytes().rev().take_while(|it| *it == b'\\').count();
            slashes % 2 == 0
        };
        if !closed {
            let mut told = error("write/text", token, "This text is not closed: a `\"` is missing.");
            let end = Span::new(token.span.end, token.span.end);
            told.mend = Some(Mend { title: "close the text".to_owned(), span: end, text: "\"".to_owned() });
            self.errors.push(told);
        }
        if let Some(mark) = body.chars().find(|it| is_direction_mark(*it)) {
            let _ = mark;
            self.errors.push(error(
                "write/character",
                token,
                "An invisible direction mark stands in this text; it can make it look other than it is.",
            ));
        }
        let body = if closed { &body[..body.len() - 1] } else { body };
        if !body.contains('\\') {
            return body.into();
        }
        let mut out = String::with_capacity(body.len());
        let mut chars = body.chars();
        while let Some(it) = chars.next() {
            match it {
                '\\' => match chars.next() {
                    Some('n') => out.push('\n'),
                    Some(other) => out.push(other),
                    None => {}
                },
                it => out.push(it),
            }
        }
        out.into()
    }

    fn date(&mut self, token: Spanned) -> Atom {
        let raw = self.slice(token);
        let numbers: Vec<u32> = raw.split(['-', '/', '.']).filter_map(|it| it.parse().ok()).collect();
        let year_first = raw.as_bytes().get(4).is_some_and(|it| !it.is_ascii_digit());
        let (year, month, day) = match (numbers.as_slice(), year_first) {
            ([year, month], true) => (*year, *month, None),
            ([year, month, day], true) => (*year, *month, Some(*day)),
            ([month, year], false) => (*year, *month, None),
            ([day, month, year], false) => (*year, *month, Some(*day)),
            _ => (1, 1, None),
        };
        let most = if (1..=12).contains(&month) { days_in(year, month) } else { 31 };
        let date = Date {
            year: year.clamp(1, 9999) as u16,
            month: month.clamp(1, 12) as u8,
            day: day.map(|it| it.clamp(1, most) as u8),
        };
        let possible = (1..=12).contains(&month) && year > 0 && day.is_none_or(|it| (1..=most).contains(&it));
        if !possible {
            let why = if !(1..=12).contains(&month) {
                format!("There is no month {month}.")
            } else {
                format!("{year:04}-{month:02} has no day {}.", day.unwrap_or_default())
            };
            self.errors.push(error("write/date", token, why));
        } else if raw != date.to_string() {
            let mut told = error("write/date", token, format!("A date is written year first: `{date}`."));
            told.mend = Some(Mend { title: format!("write {date}"), span: token.span, text: date.to_string() });
            self.errors.push(told);
        }
        Atom { kind: AtomKind::Date(date), span: token.span }
    }
}

pub(super) fn is_direction_mark(it: char) -> bool {
    matches!(it, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}')
}

/// How many days a month has.
fn days_in(year: u32, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
}

/// The one form of a thread: `M12x1.5`, `G1/4`, `1/4 NPT`, `7/16-20 UNF`.
pub fn thread(raw: &str) -> SmolStr {
    let raw = raw.replace(['×', 'X'], "x").replace(',', ".");
    if raw.starts_with('M') {
        return raw.split_whitespace().collect::<String>().into();
    }
    if raw.starts_with(['G', 'R']) {
        let letters = raw.chars().take_while(|it| it.is_alphabetic()).count();
        return format!("{}{}", &raw[..letters], raw[letters..].trim()).into();
    }
    raw.split_whitespace().collect::<Vec<_>>().join(" ").into()
}

/// The one form of a tyre marking: `205/65 R16C 107/105T`.
pub fn tyre(raw: &str) -> SmolStr {
    let raw: String = raw.split_whitespace().collect();
    let Some(at) = raw.find(['R', 'Z']) else { return raw.into() };
    let (size, rest) = raw.split_at(at);
    let letters = rest.chars().take_while(|it| it.is_alphabetic()).count();
    let rim = letters + 2;
    let c = usize::from(rest[rim..].starts_with('C'));
    let (rim, load) = rest.split_at(rim + c);
    if load.is_empty() { format!("{size} {rim}").into() } else { format!("{size} {rim} {load}").into() }
}
