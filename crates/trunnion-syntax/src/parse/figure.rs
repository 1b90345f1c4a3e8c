//! Figures: a number with its unit, a tolerance, a range.

use smol_str::SmolStr;

use crate::parse::atoms::Atoms;
use crate::parse::error;
use crate::token::{Spanned, Token};
use crate::tree::{Atom, AtomKind, Figure, Measure, Mend, Span};
use crate::unit;

/// Reads a figure; the next token is a number or a minus directly before one.
pub fn figure(reader: &mut Atoms<'_>) -> Atom {
    let value = measure(reader);
    let start = value.span;
    let figure = if reader.is(0, Token::PlusMinus) && is_number(reader, 1) {
        reader.at += 1;
        let tolerance = measure(reader);
        Figure::Tolerance { value, plus: tolerance.clone(), minus: tolerance }
    } else if reader.is(0, Token::Plus)
        && is_number(reader, 1)
        && touching(reader, 0)
        && let Some((plus, minus)) = plus_and_minus(reader)
    {
        Figure::Tolerance { value, plus, minus }
    } else if is_word(reader, 0, "to") && is_number(reader, 1) {
        reader.at += 1;
        let to = measure(reader);
        Figure::Range { from: value, to }
    } else {
        Figure::Exact(value)
    };
    let end = reader.tokens[reader.at - 1].span;
    Atom { kind: AtomKind::Figure(figure), span: start.to(end) }
}

/// `+2 -1 mm`: each sign touches its number.
fn plus_and_minus(reader: &mut Atoms<'_>) -> Option<(Measure, Measure)> {
    let before = reader.at;
    reader.at += 1;
    let mut plus = measure(reader);
    if !(reader.is(0, Token::Minus) && is_number(reader, 1) && touching(reader, 0)) {
        reader.at = before;
        return None;
    }
    reader.at += 1;
    let minus = measure(reader);
    plus.unit = plus.unit.or_else(|| minus.unit.clone());
    Some((plus, minus))
}

fn touching(reader: &Atoms<'_>, ahead: usize) -> bool {
    match (reader.peek_at(ahead), reader.peek_at(ahead + 1)) {
        (Some(a), Some(b)) => a.span.end == b.span.start,
        _ => false,
    }
}

fn is_number(reader: &Atoms<'_>, ahead: usize) -> bool {
    let number = |it: Spanned| {
        matches!(it.token, Token::Number | Token::Fraction | Token::DecimalComma | Token::Thousands)
    };
    match reader.peek_at(ahead) {
        Some(it) if it.token == Token::Minus => {
            reader.peek_at(ahead + 1).is_some_and(number) && touching(reader, ahead)
        }
        Some(it) => number(it),
        None => false,
    }
}

fn is_word(reader: &Atoms<'_>, ahead: usize, word: &str) -> bool {
    reader.peek_at(ahead).is_some_and(|it| it.token == Token::Word && reader.slice(it) == word)
}

fn measure(reader: &mut Atoms<'_>) -> Measure {
    let mut span = reader.peek().map(|it| it.span).unwrap_or_default();
    let negative = reader.is(0, Token::Minus);
    if negative {
        reader.at += 1;
    }
    let number = number(reader);
    let token = reader.tokens[reader.at - 1];
    span = span.to(token.span);
    let unit = unit(reader, &mut span);
    Measure { number: if negative { -number } else { number }, unit, span }
}

fn number(reader: &mut Atoms<'_>) -> f64 {
    let Some(token) = reader.peek() else { return 0.0 };
    reader.at += 1;
    let raw = reader.slice(token);
    match token.token {
        Token::Fraction => fraction(raw).unwrap_or_else(|| {
            reader.errors.push(error("write/number", token, "This fraction divides by zero."));
            0.0
        }),
        Token::DecimalComma => {
            let right = raw.replace(',', ".");
            mend(reader, "write/decimal-comma", token, &right, "Decimals are written with a point");
            right.parse().unwrap_or_default()
        }
        Token::Thousands => {
            let right = if raw.contains(',') {
                raw.replace('.', "").replace(',', ".")
            } else {
                raw.replace('\'', "")
            };
            mend(reader, "write/number", token, &right, "Numbers are written without marks between the thousands");
            right.parse().unwrap_or_default()
        }
        _ => {
            let value: f64 = raw.parse().unwrap_or_default();
            thousands_apart(reader, token).unwrap_or(value)
        }
    }
}

/// `1 450 EUR`: a blank between the thousands.
fn thousands_apart(reader: &mut Atoms<'_>, token: Spanned) -> Option<f64> {
    let next = reader.peek()?;
    let (first, second) = (reader.slice(token), reader.slice(next));
    let digits = |it: &str| it.bytes().all(|it| it.is_ascii_digit());
    if next.token != Token::Number || second.len() != 3 || !digits(second) || first.len() > 3 || !digits(first) {
        return None;
    }
    let unit_follows = reader.peek_at(1).is_some_and(|it| it.token == Token::Word && unit::is_unit(reader.slice(it)));
    if !unit_follows {
        return None;
    }
    reader.at += 1;
    let right = format!("{first}{second}");
    let whole = Spanned { span: token.span.to(next.span), ..token };
    mend(reader, "write/number", whole, &right, "Numbers are written without marks between the thousands");
    right.parse().ok()
}

fn fraction(raw: &str) -> Option<f64> {
    const SIGNS: &[(char, f64)] = &[
        ('½', 0.5),
        ('¼', 0.25),
        ('¾', 0.75),
        ('⅛', 0.125),
        ('⅜', 0.375),
        ('⅝', 0.625),
        ('⅞', 0.875),
    ];
    if let Some((sign, part)) = SIGNS.iter().find(|(sign, _)| raw.ends_with(*sign)) {
        let whole = raw.trim_end_matches(*sign);
        return Some(whole.parse().unwrap_or(0.0) + part);
    }
    let (whole, part) = match raw.split_once([' ', '\t']) {
        Some((whole, part)) => (whole.parse().ok()?, part.trim()),
        None => (0.0, raw),
    };
    let (top, bottom) = part.split_once('/')?;
    let (top, bottom): (f64, f64) = (top.parse().ok()?, bottom.parse().ok()?);
    (bottom != 0.0).then(|| whole + top / bottom)
}

fn mend(reader: &mut Atoms<'_>, name: &'static str, token: Spanned, right: &str, rule: &str) {
    let mut told = error(name, token, format!("{rule}: `{right}`."));
    told.mend = Some(Mend { title: format!("write {right}"), span: token.span, text: right.to_owned() });
    reader.errors.push(told);
}

fn unit(reader: &mut Atoms<'_>, span: &mut Span) -> Option<SmolStr> {
    let first = reader.peek()?;
    if first.token == Token::PerMinute {
        reader.at += 1;
        *span = span.to(first.span);
        return Some("1/min".into());
    }
    if first.token != Token::Word {
        return None;
    }
    let word = reader.slice(first);
    if let Some(second) = reader.peek_at(1).filter(|it| it.token == Token::Word)
        && unit::is_pair(word, reader.slice(second))
    {
        reader.at += 2;
        *span = span.to(second.span);
        return Some(format!("{word} {}", reader.slice(second)).into());
    }
    // A path such as `m.x` is not a unit.
    let path = reader.peek_at(1).is_some_and(|it| {
        matches!(it.token, Token::Dot | Token::BracketOpen) && it.span.start == first.span.end
    });
    if path {
        return None;
    }
    if unit::is_unit(word) {
        reader.at += 1;
        *span = span.to(first.span);
        return Some(word.into());
    }
    let right = unit::mended(word)?;
    reader.at += 1;
    *span = span.to(first.span);
    mend(reader, "write/unit", first, right, "This unit is written another way");
    Some(right.into())
}
