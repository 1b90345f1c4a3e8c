//! Figures: a number with its unit, a tolerance, a range.

use smol_str::SmolStr;

use crate::parse::atoms::Atoms;
use crate::parse::error;
use crate::token::{Spanned, Token};
use crate::tree::{Atom, AtomKind, Figure, Measure, Span};
use crate::unit;

/// Reads a figure; the next token is a number, a minus directly before one, or a sign of money.
pub(super) fn figure(reader: &mut Atoms<'_>) -> Atom {
    let mut value = measure(reader);
    let start = value.span;
    let figure = if reader.is(0, Token::PlusMinus) && is_number(reader, 1) {
        reader.at += 1;
        let mut tolerance = measure(reader);
        share_with_tolerance(&mut value, &mut tolerance);
        Figure::Tolerance { value, plus: tolerance.clone(), minus: tolerance }
    } else if let Some((mut plus, mut minus)) = plus_and_minus(reader) {
        share_unit(&mut plus, &mut minus);
        share_with_tolerance(&mut value, &mut minus);
        share_with_tolerance(&mut value, &mut plus);
        Figure::Tolerance { value, plus, minus }
    } else if is_word(reader, 0, "to") && is_signed(reader, 1) {
        reader.at += 1;
        let mut to = measure(reader);
        share_unit(&mut value, &mut to);
        Figure::Range { from: value, to }
    } else if let Some(mut to) = after_dash(reader, value.span).or_else(|| after_dots(reader, value.span)) {
        share_unit(&mut value, &mut to);
        Figure::Range { from: value, to }
    } else {
        Figure::Exact(value)
    };
    let end = reader.tokens[reader.at - 1].span;
    Atom { kind: AtomKind::Figure(figure), span: start.to(end) }
}

/// Where one of two figures names no unit it has that of the other.
fn share_unit(a: &mut Measure, b: &mut Measure) {
    match (&a.unit, &b.unit) {
        (None, Some(unit)) => a.unit = Some(unit.clone()),
        (Some(unit), None) => b.unit = Some(unit.clone()),
        _ => {}
    }
}

/// `3.69 ± 2 %`: a tolerance in per cent is a share of its figure, which stays a bare number.
fn share_with_tolerance(value: &mut Measure, tolerance: &mut Measure) {
    let share = tolerance.unit.as_ref().is_some_and(|it| it == "%" || it == "‰");
    if !(share && value.unit.is_none()) {
        share_unit(value, tolerance);
    }
}

/// `+2 -1 mm`: each sign touches its number.
fn plus_and_minus(reader: &mut Atoms<'_>) -> Option<(Measure, Measure)> {
    if !(reader.is(0, Token::Plus) && is_number(reader, 1) && reader.touching(0)) {
        return None;
    }
    let (before, told) = (reader.at, reader.errors.mark());
    reader.at += 1;
    let plus = measure(reader);
    if !(reader.is(0, Token::Minus) && is_number(reader, 1) && reader.touching(0)) {
        reader.at = before;
        reader.errors.back(told);
        return None;
    }
    reader.at += 1;
    Some((plus, measure(reader)))
}

/// `10-20 mm`: a range, though it is written with `to`.
fn after_dash(reader: &mut Atoms<'_>, from: Span) -> Option<Measure> {
    let dash = reader.peek().filter(|it| it.token == Token::Minus && it.span.start == from.end)?;
    if !(is_number(reader, 1) && reader.touching(0)) {
        return None;
    }
    reader.at += 1;
    let to = measure(reader);
    let told = error("write/number", dash, "A range is written with `to`; a minus has blanks on both sides.");
    reader.errors.tell(told.with_mend("write to", dash.span, " to "));
    Some(to)
}

/// `10.5..15 V`: a range, though it is written with `to`.
fn after_dots(reader: &mut Atoms<'_>, from: Span) -> Option<Measure> {
    let first = reader.peek()?;
    let mut dots = 0;
    while reader.is(dots, Token::Dot) && (dots == 0 || reader.touching(dots - 1)) {
        dots += 1;
    }
    let next = reader.peek_at(dots).filter(|it| it.token.is_number())?;
    // `..15` reads as a dot and `.15`.
    let joined = dots > 0 && reader.touching(dots - 1) && reader.slice(next).starts_with('.');
    if !(2..=3).contains(&(dots + usize::from(joined))) {
        return None;
    }
    reader.at += dots;
    let start = next.span.start + u32::from(joined);
    let to = if joined { measure_after(reader, 1) } else { measure(reader) };
    let dots = Spanned { span: Span::new(first.span.start, start), ..first };
    let told = error("write/number", dots, "A range is written with `to`.");
    reader.errors.tell(told.with_mend("write to", Span::new(from.end, start), " to "));
    Some(to)
}

fn is_number(reader: &Atoms<'_>, ahead: usize) -> bool {
    reader.peek_at(ahead).is_some_and(|it| it.token.is_number())
}

/// A number, perhaps with a sign.
fn is_signed(reader: &Atoms<'_>, ahead: usize) -> bool {
    let minus = reader.is(ahead, Token::Minus) && reader.touching(ahead);
    is_number(reader, ahead + usize::from(minus))
}

fn is_word(reader: &Atoms<'_>, ahead: usize, word: &str) -> bool {
    reader.peek_at(ahead).is_some_and(|it| it.token == Token::Word && reader.slice(it) == word)
}

/// Whether a sign of money comes next, before its number.
pub(super) fn is_money_sign(reader: &Atoms<'_>) -> bool {
    is_number(reader, 1) && ["€", "£", "EUR", "GBP", "USD"].iter().any(|it| is_word(reader, 0, it))
}

fn measure(reader: &mut Atoms<'_>) -> Measure {
    measure_after(reader, 0)
}

/// A measure whose number begins so many bytes into its token.
fn measure_after(reader: &mut Atoms<'_>, skipped: usize) -> Measure {
    let first = reader.peek();
    let mut span = first.map(|it| it.span).unwrap_or_default();
    let money = first.filter(|it| it.token == Token::Word);
    let negative = reader.is(0, Token::Minus);
    reader.at += usize::from(negative || money.is_some());
    span.start += skipped as u32;
    let number = number(reader, skipped);
    span = span.to(reader.tokens[reader.at - 1].span);
    let unit = match money {
        Some(sign) => Some(money_first(reader, sign, span)),
        None => unit(reader, &mut span),
    };
    Measure { number: if negative { -number } else { number }, unit, span }
}

/// `€ 1450`: the unit stands after the number.
fn money_first(reader: &mut Atoms<'_>, sign: Spanned, span: Span) -> SmolStr {
    let code = reader.slice(sign);
    let code = unit::mended(code).unwrap_or(code);
    let number = &reader.text[sign.span.end as usize..span.end as usize];
    let right = format!("{} {code}", number.trim());
    let told = error(
        "write/unit",
        Spanned { span, ..sign },
        format!("The unit stands after the number: `{right}`."),
    );
    reader.errors.tell(told.written(&right));
    code.into()
}

fn number(reader: &mut Atoms<'_>, skipped: usize) -> f64 {
    let Some(token) = reader.peek() else { return 0.0 };
    reader.at += 1;
    let raw = &reader.slice(token)[skipped..];
    let value = match token.token {
        Token::Fraction => fraction(raw).unwrap_or_else(|| {
            reader.errors.tell(error("write/number", token, "This fraction divides by zero."));
            0.0
        }),
        Token::DecimalComma => {
            let right = raw.replace(',', ".");
            let told = match raw.split_once(',') {
                Some((whole, part)) if part.len() == 3 && !whole.starts_with('0') => format!(
                    "Decimals are written with a point: `{right}`. If thousands are meant, write `{whole}{part}`."
                ),
                _ => format!("Decimals are written with a point: `{right}`."),
            };
            reader.errors.tell(error("write/decimal-comma", token, told).written(&right));
            right.parse().unwrap_or_default()
        }
        Token::NumberRow => {
            let right = raw.replace(',', ", ");
            let told = format!("Decimals have a point, and a list has blanks after its commas: `{right}`.");
            reader.errors.tell(error("write/number", token, told).written(&right));
            raw.split(',').next().and_then(|it| it.parse().ok()).unwrap_or_default()
        }
        Token::Thousands => without_marks(reader, token, raw),
        _ if skipped > 0 => raw.parse().unwrap_or_default(),
        _ => match thousands_apart(reader, token) {
            Some(value) => value,
            None => raw.parse().unwrap_or_default(),
        },
    };
    if value.is_finite() {
        return value;
    }
    reader.errors.tell(error("write/number", token, "This number is too large."));
    f64::MAX
}

/// `1'450`, `1.450,00`, `1,450.00`: the last of `.` and `,` marks the decimals.
fn without_marks(reader: &mut Atoms<'_>, token: Spanned, raw: &str) -> f64 {
    if let Some(right) = raw.strip_suffix(['-', '–', '—']) {
        let right = right.trim_end_matches(['-', '–', '—', ',', '.']);
        let told = format!("A whole amount is written without a dash: `{right}`.");
        reader.errors.tell(error("write/number", token, told).written(right));
        return right.parse().unwrap_or_default();
    }
    let right = match (raw.rfind(','), raw.rfind('.')) {
        (Some(comma), Some(point)) if comma > point => raw.replace('.', "").replace(',', "."),
        (Some(_), _) => raw.replace(',', ""),
        _ => raw.replace(['\'', '’'], ""),
    };
    let told = format!("Numbers are written without marks between the thousands: `{right}`.");
    reader.errors.tell(error("write/number", token, told).written(&right));
    right.parse().unwrap_or_default()
}

/// `1 450 EUR`: blanks between the thousands, where a unit follows.
fn thousands_apart(reader: &mut Atoms<'_>, token: Spanned) -> Option<f64> {
    let digits = |raw: &str| raw.bytes().all(|it| it.is_ascii_digit());
    let first = reader.slice(token);
    if first.len() > 3 || !digits(first) || !is_number(reader, 0) {
        return None;
    }
    let mut right = first.to_owned();
    let mut ahead = 0;
    while let Some(next) = reader.peek_at(ahead).filter(|it| it.token == Token::Number) {
        let raw = reader.slice(next);
        if raw.len() != 3 || !digits(raw) {
            return None;
        }
        right.push_str(raw);
        ahead += 1;
    }
    let unit = reader.peek_at(ahead).filter(|it| it.token == Token::Word).map(|it| reader.slice(it));
    if ahead == 0 || !unit.is_some_and(|it| unit::is_unit(it) || unit::mended(it).is_some()) {
        return None;
    }
    reader.at += ahead;
    let span = token.span.to(reader.tokens[reader.at - 1].span);
    let told = format!("Numbers are written without blanks between the thousands: `{right}`.");
    reader.errors.tell(error("write/number", Spanned { span, ..token }, told).written(&right));
    right.parse().ok()
}

fn fraction(raw: &str) -> Option<f64> {
    const SIGNS: &[(char, f64)] =
        &[('½', 0.5), ('¼', 0.25), ('¾', 0.75), ('⅛', 0.125), ('⅜', 0.375), ('⅝', 0.625), ('⅞', 0.875)];
    if let Some((sign, part)) = SIGNS.iter().find(|(sign, _)| raw.ends_with(*sign)) {
        let whole = raw.trim_end_matches(*sign).trim_end();
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

fn unit(reader: &mut Atoms<'_>, span: &mut Span) -> Option<SmolStr> {
    let first = reader.peek()?;
    if first.token == Token::PerMinute {
        reader.at += 1;
        *span = span.to(first.span);
        return Some("1/min".into());
    }
    if first.token == Token::Text && first.span.start == span.end && reader.slice(first).trim_end() == "\"" {
        return Some(inch(reader, first, span));
    }
    if first.token != Token::Word || begins_path(reader) {
        return None;
    }
    let word = reader.slice(first);
    if let Some(second) = reader.peek_at(1).filter(|it| it.token == Token::Word) {
        let next = reader.slice(second);
        let mended = unit::mended_pair(word, next);
        if mended.is_some() || unit::is_pair(word, next) {
            reader.at += 2;
            *span = span.to(second.span);
            let pair = Spanned { span: first.span.to(second.span), ..first };
            return Some(match mended {
                Some(right) => mend(reader, pair, right),
                None => format!("{word} {next}").into(),
            });
        }
    }
    if unit::is_unit(word) {
        reader.at += 1;
        *span = span.to(first.span);
        return Some(word.into());
    }
    let right = unit::mended(word)?;
    reader.at += 1;
    *span = span.to(first.span);
    Some(mend(reader, first, right))
}

/// `3/4"` at the end of a line.
fn inch(reader: &mut Atoms<'_>, quote: Spanned, span: &mut Span) -> SmolStr {
    reader.at += 1;
    let sign = Span::new(quote.span.start, quote.span.start + 1);
    *span = span.to(sign);
    let told = error("write/unit", Spanned { span: *span, ..quote }, "An inch is written `in`.");
    reader.errors.tell(told.with_mend("write in", sign, " in"));
    "in".into()
}

fn mend(reader: &mut Atoms<'_>, token: Spanned, right: &str) -> SmolStr {
    let told = error("write/unit", token, format!("This unit is written `{right}`."));
    // `3/4inch`: the mend parts the unit from its number.
    let touches =
        token.span.start > 0 && reader.text.as_bytes()[token.span.start as usize - 1].is_ascii_digit();
    let text = if touches { format!(" {right}") } else { right.to_owned() };
    reader.errors.tell(told.with_mend(format!("write {right}"), token.span, text));
    right.into()
}

/// A path such as `m.x` or `B1[8]` is not a unit.
fn begins_path(reader: &Atoms<'_>) -> bool {
    reader.touching(0)
        && (reader.is(1, Token::BracketOpen)
            || reader.is(1, Token::Dot) && reader.touching(1) && reader.is(2, Token::Word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::parse;

    fn shown(it: &Measure) -> String {
        match &it.unit {
            Some(unit) => format!("{} {unit}", it.number),
            None => it.number.to_string(),
        }
    }

    /// The atoms shortly, and what is told with its mend.
    fn read(text: &str) -> (Vec<String>, Vec<(&'static str, String)>) {
        let tree = parse(text);
        let atom = |it: &Atom| match &it.kind {
            AtomKind::Figure(Figure::Exact(it)) => shown(it),
            AtomKind::Figure(Figure::Tolerance { value, plus, minus }) => {
                format!("{} +{} -{}", shown(value), shown(plus), shown(minus))
            }
            AtomKind::Figure(Figure::Range { from, to }) => format!("{}..{}", shown(from), shown(to)),
            AtomKind::Path(it) => it.to_string(),
            other => format!("{other:?}"),
        };
        let atoms = tree.lines.iter().flat_map(|it| &it.clauses).flat_map(|it| &it.atoms).map(atom).collect();
        let mend = |it: SyntaxError| match it.mend {
            Some(mend) => {
                let mut text = text.to_owned();
                text.replace_range(mend.span.range(), &mend.text);
                (it.name, text)
            }
            None => (it.name, String::new()),
        };
        (atoms, tree.errors.into_iter().map(mend).collect())
    }
    use crate::tree::SyntaxError;

    fn silent(text: &str, atoms: &[&str]) {
        let (read, errors) = read(text);
        assert_eq!(read, atoms, "{text}");
        assert!(errors.is_empty(), "{text}: {errors:?}");
    }

    /// Read as if it were written right, and mended to that.
    fn mended(text: &str, atom: &str, name: &str, right: &str) {
        let (atoms, errors) = read(text);
        assert_eq!(atoms, [atom], "{text}");
        assert_eq!(errors, [(name, right.to_owned())], "{text}");
        let (again, errors) = read(right);
        assert_eq!(again, [atom], "{right}");
        assert!(errors.is_empty(), "{right}: {errors:?}");
    }

    #[test]
    fn figures_have_units() {
        silent("86 kg", &["86 kg"]);
        silent("12V", &["12 V"]);
        silent("1 1/4 in", &["1.25 in"]);
        silent("1½ in", &["1.5 in"]);
        silent("400 lbf ft", &["400 lbf ft"]);
        silent("3000 1/min", &["3000 1/min"]);
        silent("5.2 l/100km", &["5.2 l/100km"]);
        silent("-40 °C", &["-40 °C"]);
        silent("1e-3 m", &["0.001 m"]);
        silent("1.450", &["1.45"]);
    }

    #[test]
    fn a_number_before_another_word_stays_bare() {
        silent("14 can_high drive", &["14", "can_high", "drive"]);
        silent("holes 6 on 76 mm", &["holes", "6", "on", "76 mm"]);
        silent("4 of wheel", &["4", "of", "wheel"]);
        silent("3 m.x", &["3", "m.x"]);
        silent("8 V[3]", &["8", "V[3]"]);
    }

    #[test]
    fn tolerances_and_ranges_share_their_unit() {
        silent("1420 mm ± 5 mm", &["1420 mm +5 mm -5 mm"]);
        silent("1420 ±5 mm", &["1420 mm +5 mm -5 mm"]);
        silent("1420 mm +/- 5", &["1420 mm +5 mm -5 mm"]);
        silent("44 mm +2 -1 mm", &["44 mm +2 mm -1 mm"]);
        silent("3.69 ± 2 %", &["3.69 +2 % -2 %"]);
        silent("50 % ± 2 %", &["50 % +2 % -2 %"]);
        silent("3.65 to 3.72", &["3.65..3.72"]);
        silent("3 to 5 mm", &["3 mm..5 mm"]);
        silent("-40 to -10 °C", &["-40 °C..-10 °C"]);
        silent("3 mm to cabin", &["3 mm", "to", "cabin"]);
    }

    #[test]
    fn a_sum_is_no_tolerance() {
        silent("a + 2 - 1", &["a", "Op(Plus)", "2", "Op(Minus)", "1"]);
        assert_eq!(read("3 KW +2 KW").1.len(), 2);
    }

    #[test]
    fn other_ways_of_writing_are_mended() {
        mended("0,5 mm2", "0.5 mm2", "write/decimal-comma", "0.5 mm2");
        mended("1'450 EUR", "1450 EUR", "write/number", "1450 EUR");
        mended("1 450 EUR", "1450 EUR", "write/number", "1450 EUR");
        mended("1 450 000 EUR", "1450000 EUR", "write/number", "1450000 EUR");
        mended("1.450,50 EUR", "1450.5 EUR", "write/number", "1450.50 EUR");
        mended("1,450.50 EUR", "1450.5 EUR", "write/number", "1450.50 EUR");
        mended("10-20 mm", "10 mm..20 mm", "write/number", "10 to 20 mm");
        mended("10.5..15 V", "10.5 V..15 V", "write/number", "10.5 to 15 V");
        mended("10...15 V", "10 V..15 V", "write/number", "10 to 15 V");
        mended("10.5 .. 15 V", "10.5 V..15 V", "write/number", "10.5 to 15 V");
        mended("310,- EUR", "310 EUR", "write/number", "310 EUR");
        mended("310.– EUR", "310 EUR", "write/number", "310 EUR");
        mended("40 C", "40 °C", "write/unit", "40 °C");
        mended("x 1450 €".trim_start_matches("x "), "1450 EUR", "write/unit", "1450 EUR");
        mended("8 KW", "8 kW", "write/unit", "8 kW");
        mended("8KW", "8 kW", "write/unit", "8 kW");
        mended("90 kmh", "90 km/h", "write/unit", "90 km/h");
        mended("3/4\"", "0.75 in", "write/unit", "3/4 in");
        mended("40 ft lb", "40 lbf ft", "write/unit", "40 lbf ft");
        mended("2 mm^2", "2 mm2", "write/unit", "2 mm2");
        mended("5 l/100 km", "5 l/100km", "write/unit", "5 l/100km");
    }

    #[test]
    fn money_may_stand_first() {
        let (atoms, errors) = read("price €1450");
        assert_eq!(atoms, ["price", "1450 EUR"]);
        assert_eq!(errors, [("write/unit", "price 1450 EUR".to_owned())]);
    }

    #[test]
    fn a_comma_before_three_figures_may_be_thousands() {
        let tree = parse("1,450 EUR");
        assert!(tree.errors[0].message.contains("`1450`"), "{}", tree.errors[0].message);
    }

    #[test]
    fn rows_without_blanks_are_told_once() {
        assert_eq!(read("ratios 4,31,2").1, [("write/number", "ratios 4, 31, 2".to_owned())]);
    }

    #[test]
    fn numbers_out_of_reach_are_told() {
        assert_eq!(read("1e999 mm").1, [("write/number", String::new())]);
        assert_eq!(read("1/0 in").1, [("write/number", String::new())]);
    }
}
