//! An expression worked by itself, without a vehicle: what the shell's calculator asks.
//!
//! `3 m + 2 in`, `100 km/h in mph`, `road_speed(3000 rpm, 0.68, 3.69, 2050 mm) <= 130 km/h`.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::function;
use trunnion_syntax::expr::{Expr, ExprKind, expression};
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{Atom, AtomKind, Figure, Measure, Op, Path, Span, SyntaxError, Tree};

use crate::lower::reader::made;
use crate::worded::{sign, text};
use crate::worth::{Names, Nonsense, Step, Trail, Truth, Worth, alike, compared, signature, working, worth};

/// What an expression comes to, with its arithmetic.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What it comes to.
    pub result: Outcome,
    /// The handbook functions on the way, innermost first.
    pub steps: Vec<Step>,
    /// The expression's own arithmetic with the numbers put in, one line each.
    pub formula: Vec<String>,
    /// How much room a comparison leaves.
    pub margin: Option<String>,
    /// What was read another way than it was written.
    pub notes: Vec<String>,
}

/// What an expression comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A figure.
    Quantity {
        /// Itself.
        value: Quantity,
        /// As it is shown.
        text: String,
    },
    /// A word or a date, as it is shown.
    Word(String),
    /// Whether a condition holds.
    Truth(Truth),
}

/// Why an expression has no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// One sentence.
    pub message: String,
    /// Where in the expression.
    pub span: Span,
    /// What would be right.
    pub hint: Option<String>,
    /// What was read another way than it was written.
    pub notes: Vec<String>,
}

/// Works an expression; ` in UNIT` at its end shows the result in that unit.
///
/// # Errors
/// It cannot be read, or makes no sense; the place is in the text as given.
pub fn calc(written: &str) -> Result<Answer, Trouble> {
    let tree = parse(written);
    let notes: Vec<String> = tree.errors.iter().filter_map(note).collect();
    let told =
        |it: Nonsense| Trouble { message: it.message, span: it.span, hint: it.hint, notes: notes.clone() };
    let mut answer = work(written, &tree).map_err(told)?;
    answer.notes = notes;
    Ok(answer)
}

/// What is said of a place that is read another way than it is written.
fn note(error: &SyntaxError) -> Option<String> {
    error.mend.as_ref().map(|_| error.message.clone())
}

fn nonsense(message: impl Into<String>, span: Span, hint: Option<String>) -> Nonsense {
    Nonsense { message: message.into(), span, hint, mend: None }
}

fn work(written: &str, tree: &Tree) -> Result<Answer, Nonsense> {
    // What belongs to nothing is not passed over: it may have been meant as a sign.
    let fatal = |it: &&SyntaxError| it.mend.is_none() || it.name == "write/character";
    if let Some(error) = tree.errors.iter().find(fatal) {
        return Err(nonsense(error.message.trim_end_matches('.'), error.span, None));
    }
    let whole = Span::new(0, written.len() as u32);
    let clauses: Vec<_> = tree.lines.iter().flat_map(|it| &it.clauses).collect();
    let atoms = match clauses.as_slice() {
        [only] if only.block.is_none() => only.atoms.iter().collect::<Vec<_>>(),
        [] => return Err(nonsense("nothing is written to be worked out", whole, None)),
        [_, second, ..] => {
            return Err(nonsense("one expression is wanted, and this begins a second", second.span, None));
        }
        [only] => return Err(nonsense("no braces belong to an expression", only.span, None)),
    };
    let (atoms, unit) = shown_in(&atoms)?;
    if let Some(told) = loose_unit(written, atoms) {
        return Err(told);
    }
    let expr = expression(atoms, whole).map_err(|error| {
        nonsense(error.message.trim_end_matches('.'), error.span, inch_before(atoms, error.span))
    })?;
    let mut trail = Trail::default();
    let mut answer = Answer {
        result: Outcome::Truth(Truth::Open),
        steps: Vec::new(),
        formula: Vec::new(),
        margin: None,
        notes: Vec::new(),
    };
    match &expr.kind {
        ExprKind::And(..) | ExprKind::Or(..) | ExprKind::Not(_) | ExprKind::Compare { .. } => {
            if let Some((_, at)) = unit {
                return Err(nonsense("whether something holds has no unit", at, None));
            }
            answer.result = Outcome::Truth(truth(&expr, &mut answer, &mut trail));
        }
        _ => match worth(&expr, &Bare, &mut trail) {
            Worth::Quantity(it) => {
                answer.result = match &unit {
                    Some((symbol, at)) => {
                        let value =
                            it.shown_in(symbol).map_err(|why| nonsense(why.to_string(), *at, None))?;
                        Outcome::Quantity { value, text: six_digits(&value.display()) }
                    }
                    None => Outcome::Quantity { value: it, text: it.display() },
                };
                answer.formula.extend(arithmetic(&expr));
            }
            other => answer.result = Outcome::Word(other.display()),
        },
    }
    if let Some(it) = trail.nonsense {
        return Err(it);
    }
    answer.steps = trail.steps;
    Ok(answer)
}

type Unit = (String, Span);

/// Takes `in UNIT` off the end.
fn shown_in<'a, 't>(atoms: &'a [&'t Atom]) -> Result<(&'a [&'t Atom], Option<Unit>), Nonsense> {
    let word = |it: &Atom| match &it.kind {
        AtomKind::Path(path) => path.word().cloned(),
        _ => None,
    };
    let is_in = |it: &Atom| word(it).is_some_and(|it| it == "in");
    // `… in in`: the last one is the inch.
    let upto = match atoms {
        [before @ .., a, b] if is_in(a) && is_in(b) => before.len() + 1,
        _ => atoms.len(),
    };
    let Some(at) = atoms[..upto].iter().rposition(|it| is_in(it)).filter(|it| *it > 0) else {
        return Ok((atoms, None));
    };
    let (before, after) = (&atoms[..at], &atoms[at + 1..]);
    let span = after.iter().map(|it| it.span).reduce(Span::to).unwrap_or(atoms[at].span);
    let words: Option<Vec<String>> = after.iter().map(|it| word(it).map(|it| it.to_string())).collect();
    let symbol = words.map(|it| it.join(" ")).filter(|it| !it.is_empty());
    let symbol = symbol.ok_or_else(|| nonsense("after `in` a unit is wanted", span, None))?;
    match trunnion_handbook::quantity::unit(&symbol) {
        Some(_) => Ok((before, Some((symbol, span)))),
        None => Err(no_unit(&symbol, span)),
    }
}

/// A text in which each number with decimals has six digits that count at most: a figure that was
/// stated in one unit and is shown in another has no end of them.
fn six_digits(text: &str) -> String {
    let is_digit = |it: char| it.is_ascii_digit() || it == '.';
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find(is_digit) {
        let end = rest[start..].find(|it| !is_digit(it)).map_or(rest.len(), |it| it + start);
        out.push_str(&rest[..start]);
        out.push_str(&six_of(&rest[start..end]));
        rest = &rest[end..];
    }
    out.push_str(rest);
    out
}

fn six_of(number: &str) -> String {
    let Some((whole, decimals)) = number.split_once('.') else { return number.to_owned() };
    // Zeros before the first digit that counts do not count.
    let zeros = decimals.bytes().take_while(|it| *it == b'0').count();
    let keep = if whole == "0" { zeros + 6 } else { 6_usize.saturating_sub(whole.len()) };
    match number.parse::<f64>() {
        Ok(it) if decimals.len() > keep => {
            let text = format!("{it:.keep$}");
            if keep == 0 { text } else { text.trim_end_matches('0').trim_end_matches('.').to_owned() }
        }
        _ => number.to_owned(),
    }
}

/// That a word is no unit, with the one that was meant.
fn no_unit(word: &str, span: Span) -> Nonsense {
    let known: Vec<String> = trunnion_syntax::unit::all().collect();
    let meant = trunnion_syntax::unit::mended(word).map(str::to_owned);
    let meant = meant.or_else(|| crate::name::nearest(word, known.iter().map(String::as_str)));
    let parted = word.split_once(['/', '-']).filter(|(unit, _)| trunnion_syntax::unit::is_unit(unit));
    let hint = match parted {
        Some((unit, rest)) => {
            let sign = &word[unit.len()..=unit.len()];
            Some(format!("with blanks it is a sign: `{unit} {sign} {rest}`"))
        }
        None => meant.map(|it| format!("`{it}` is one")),
    };
    nonsense(format!("`{word}` is no unit that is known here"), span, hint)
}

/// A word that stands behind a figure where a unit would.
fn loose_unit(written: &str, atoms: &[&Atom]) -> Option<Nonsense> {
    for pair in atoms.windows(2) {
        let AtomKind::Figure(Figure::Exact(Measure { unit: None, .. })) = &pair[0].kind else { continue };
        let AtomKind::Path(_) = &pair[1].kind else { continue };
        let word = &written[pair[1].span.range()];
        if !matches!(word, "and" | "or" | "within") {
            return Some(no_unit(word, pair[1].span));
        }
    }
    atoms.iter().find_map(|atom| match &atom.kind {
        AtomKind::Group(clauses) => clauses.iter().find_map(|it| {
            let inner: Vec<&Atom> = it.atoms.iter().collect();
            loose_unit(written, &inner)
        }),
        _ => None,
    })
}

/// `2 * 3 in mm`: what was meant to lead the unit was read as inches.
fn inch_before(atoms: &[&Atom], at: Span) -> Option<String> {
    let before = atoms.iter().take_while(|it| it.span.end <= at.start).last()?;
    let inch = matches!(&before.kind, AtomKind::Figure(Figure::Exact(Measure { unit: Some(unit), .. })) if unit == "in");
    inch.then(|| {
        "`in` was read as inches; put brackets around what stands before it: `( … ) in UNIT`".to_owned()
    })
}

/// The arithmetic of an expression with the numbers put in; nothing for a call alone, whose step
/// says it.
fn arithmetic(expr: &Expr) -> Option<String> {
    working(expr, &|it| worth(it, &Bare, &mut Trail::default()))
}

/// Whether a condition holds, with its arithmetic.
fn truth(expr: &Expr, answer: &mut Answer, trail: &mut Trail) -> Truth {
    match &expr.kind {
        ExprKind::And(a, b) => match (truth(a, answer, trail), truth(b, answer, trail)) {
            (Truth::No, _) | (_, Truth::No) => Truth::No,
            (Truth::Yes, Truth::Yes) => Truth::Yes,
            _ => Truth::Open,
        },
        ExprKind::Or(a, b) => match (truth(a, answer, trail), truth(b, answer, trail)) {
            (Truth::Yes, _) | (_, Truth::Yes) => Truth::Yes,
            (Truth::No, Truth::No) => Truth::No,
            _ => Truth::Open,
        },
        ExprKind::Not(inner) => truth(inner, answer, trail).flip(),
        ExprKind::Compare { op, left, right, within } => {
            let (a, b) = (worth(left, &Bare, trail), worth(right, &Bare, trail));
            let tolerance = match within.as_ref().map(|(it, at)| (made(it), *at)) {
                Some((Ok(it), _)) => Some(it),
                Some((Err(why), at)) => {
                    trail.tell(why.to_string(), at, None);
                    return Truth::Open;
                }
                None => None,
            };
            answer.formula.extend([left, right].into_iter().filter_map(|it| arithmetic(it)));
            compare(*op, (&a, &b), tolerance, expr.span, answer, trail)
        }
        _ => {
            trail.tell(format!("`{}` is no comparison", text(expr)), expr.span, None);
            Truth::Open
        }
    }
}

fn compare(
    op: Op,
    (a, b): (&Worth, &Worth),
    tolerance: Option<Quantity>,
    span: Span,
    answer: &mut Answer,
    trail: &mut Trail,
) -> Truth {
    match (a, b) {
        (Worth::Missing, _) | (_, Worth::Missing) => Truth::Open,
        (Worth::Quantity(a), Worth::Quantity(b)) => match compared(op, a, b, tolerance.as_ref()) {
            Ok(it) => {
                answer.formula.push(it.formula);
                answer.margin = it.margin;
                it.truth
            }
            Err(why) => {
                trail.tell(why, span, None);
                Truth::Open
            }
        },
        (a, b) => {
            let (left, right) = (a.display(), b.display());
            answer.formula.push(format!("{left} {} {right}", sign(op)));
            alike(op, a, b).unwrap_or_else(|| {
                trail.tell(format!("`{left}` and `{right}` cannot be put in order"), span, None);
                Truth::Open
            })
        }
    }
}

/// No names at all.
struct Bare;

impl Names for Bare {
    fn path(&self, path: &Path, span: Span, trail: &mut Trail) -> Worth {
        let name = path.word().map(ToString::to_string).unwrap_or_default();
        if let Some(function) = function(&name) {
            let hint = format!("it is called `{}`", signature(function));
            return trail.tell(
                format!("`{name}` is a handbook function and needs its values"),
                span,
                Some(hint),
            );
        }
        let message = format!("`{path}` stands for nothing here, where there is no vehicle");
        trail.tell(message, span, Some("put the figure in its place".to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(written: &str) -> String {
        match calc(written) {
            Ok(it) => match it.result {
                Outcome::Quantity { text, .. } => text,
                Outcome::Word(it) => it,
                Outcome::Truth(it) => format!("{it:?}"),
            },
            Err(it) => panic!("{written}: {it:?}"),
        }
    }

    fn told(written: &str) -> (String, String, Option<String>) {
        let it = calc(written).map(|it| it.result).expect_err(written);
        (it.message, written[it.span.range()].to_owned(), it.hint)
    }

    /// Lengths by the definition of the inch, 25.4 mm; speeds by that of the mile, 1609.344 m.
    #[test]
    fn sums_and_units() {
        for (written, right) in [
            ("3 m + 2 in", "3.051 m"),
            ("100 km/h in mph", "62.1371 mph"),
            ("2 in in mm", "50.8 mm"),
            ("(3 m + 2 in) in mm", "3051 mm"),
            ("20 °C in °F", "68 °F"),
            ("12 V / 2 A", "6 Ω"),
            ("2 * (1 + 2)", "6"),
            ("3.65 to 3.72 * 2", "7.3 to 7.44"),
            ("100 mm ± 1 mm + 5 mm", "104 to 106 mm"),
            ("250 lbf ft in Nm", "338.954 Nm"),
            ("98 Nm in lbf ft", "72.2811 lbf ft"),
            ("0,5 mm2 * 2", "1 mm²"),
            ("1420 mm ± 5 mm in in", "55.9055 in ± 0.19685 in"),
            ("100000 km in mi", "62137.1 mi"),
            ("1 mm in km", "0.000001 km"),
        ] {
            assert_eq!(shown(written), right, "{written}");
        }
    }

    #[test]
    fn comparisons_hold_or_not_or_cannot_be_told() {
        for (written, right) in [
            ("3 m < 12 ft", "Yes"),
            ("1 in = 25.4 mm", "Yes"),
            ("3.65 to 3.72 < 3.7", "Open"),
            ("4.28 = 3.69 within 2 %", "No"),
            ("1 < 2 and not 2 < 1", "Yes"),
            ("2013-08 < 2013-09", "Yes"),
            ("M12 = M12x1.5", "No"),
            // ISO 261: the coarse pitch of M12 is 1.75 mm.
            ("M12 = M12x1.75", "Yes"),
            ("M12 != M14", "Yes"),
        ] {
            assert_eq!(shown(written), right, "{written}");
        }
        let it = calc("4.28 = 3.69 within 2 %").unwrap();
        assert_eq!(it.formula, ["(4.28 − 3.69) / 3.69 = 16.0 % high; allowed 2 %"]);
    }

    #[test]
    fn functions_nest_and_leave_their_steps() {
        let it = calc("road_speed(3000 rpm, 0.88, 3.69, rolling_circumference(672 mm)) in mph").unwrap();
        let names: Vec<&str> = it.steps.iter().map(|it| it.function.name).collect();
        assert_eq!(names, ["rolling_circumference", "road_speed"]);
        assert!(it.steps[1].with_numbers.contains("3000 rpm / (0.88 × 3.69)"), "{:?}", it.steps[1]);
        assert_eq!(shown("fit_clearance(36 mm, H7, g6)"), "9 to 50 µm");
        // ISO 965-2: M10-6g has its pitch diameter between 8.862 and 8.994 mm.
        assert_eq!(shown("thread_pitch_diameter(M10, 6g)"), "8.862 to 8.994 mm");
        assert!(calc("thread_pitch_diameter(M10, 6 g)").is_err(), "six grams are no tolerance");
        // ISO 898-1, Table 5: the proof load of M10 8.8 is 33.7 kN.
        assert_eq!(shown("bolt_proof_load(M10, 8.8)"), "33.63 kN");
        assert_eq!(shown("can_bus_length(500 kbit/s) / 4"), "25 m");
        let it = calc("can_bus_length(500 kbit/s) / 4").unwrap();
        assert_eq!(it.formula, ["100 m / 4 = 25 m"]);
    }

    #[test]
    fn what_is_wrong_is_told_at_its_place() {
        let some = |it: &str| Some(it.to_owned());
        for (written, message, place, hint) in [
            (
                "road_sped(3 rpm)",
                "there is no handbook function `road_sped`",
                "road_sped",
                some("`road_speed` is one"),
            ),
            (
                "overall_ratio(3.69, 2 m)",
                "final_drive is a plain number, and a length was given",
                "2 m",
                some("it is `overall_ratio(gear_ratio, final_drive)`"),
            ),
            (
                "overall_ratio(3.69)",
                "overall_ratio takes 2 values, and 1 were given",
                "overall_ratio",
                some("it is `overall_ratio(gear_ratio, final_drive)`"),
            ),
            ("1 + overall_ratio(0, 2)", "gear_ratio may be more than 0, and 0 was given", "0", None),
            ("2 mm + 12 V", "adding V (voltage) to mm (length)", "2 mm + 12 V", None),
            (
                "12 V/2 A",
                "`V/2` is no unit that is known here",
                "V/2",
                some("with blanks it is a sign: `V / 2`"),
            ),
            ("4 mtr * 2", "`mtr` is no unit that is known here", "mtr", None),
            ("3 m in mpg", "writing m (length) in mpg (area)", "mpg", None),
            ("3 m in", "after `in` a unit is wanted", "in", None),
            ("", "nothing is written to be worked out", "", None),
            ("3 m, 4 m", "one expression is wanted, and this begins a second", "4 m", None),
            (
                "gearbox.mass * 2",
                "`gearbox.mass` stands for nothing here, where there is no vehicle",
                "gearbox.mass",
                some("put the figure in its place"),
            ),
            (
                "road_speed * 2",
                "`road_speed` is a handbook function and needs its values",
                "road_speed",
                some(
                    "it is called `road_speed(engine_speed in rpm, gear_ratio, final_drive, circumference in mm)`",
                ),
            ),
        ] {
            assert_eq!(told(written), (message.to_owned(), place.to_owned(), hint), "{written}");
        }
        let (message, place, _) = told("fit_clearance(36 mm H7, g6)");
        assert!(message.starts_with("Values have a comma between") && place == "H7", "{message}");
        let (message, place, _) = told("2 ^ 3");
        assert!(message.contains("belongs to nothing") && place == "^", "{message}");
        assert!(told("2 * 3 in mm").2.is_some_and(|it| it.starts_with("`in` was read as inches")));
    }

    #[test]
    fn nothing_makes_it_panic() {
        for written in [
            "(", ")", "{", "a {", "\"", "1 +", "in", "in mm", "in in in", "𝕏", "1 / 0", "f(", "f(,)",
            "f(1,,2)", "1e999 m",
        ] {
            let _ = calc(written);
        }
    }

    proptest::proptest! {
        /// Whatever is typed, there is an answer or a place inside the text to look at.
        #[test]
        fn every_text_is_answered_or_pointed_at(
            words in proptest::collection::vec(proptest::sample::select(PIECES), 0..12),
            between in proptest::sample::select(&["", " "][..]),
        ) {
            let written = words.join(between);
            if let Err(it) = calc(&written) {
                let place = written.get(it.span.range());
                proptest::prop_assert!(place.is_some(), "{written}: {it:?}");
                proptest::prop_assert!(!it.message.is_empty());
            }
        }
    }

    const PIECES: &[&str] = &[
        "1",
        "0",
        "2.5",
        "-3",
        "1e300",
        "0,5",
        "mm",
        "V",
        "°C",
        "in",
        "rpm",
        "EUR",
        "%",
        "+",
        "-",
        "*",
        "/",
        "=",
        "<",
        ">=",
        "within",
        "and",
        "or",
        "not",
        "(",
        ")",
        ",",
        "[",
        "]",
        "{",
        "}",
        "\"",
        "to",
        "±",
        "road_speed(",
        "overall_ratio(",
        "fit_clearance(",
        "H7",
        "g6",
        "M10",
        "205/65 R16",
        "2013-08",
        "gearbox.ratios[6]",
        "é",
        "is",
        "fitted",
        "\n",
        ".",
        "..",
        "…",
    ];
}
