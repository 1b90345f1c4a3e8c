//! Conditions as a reader would say them.

use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::{Op, Path};

use crate::lower::reader::made;

/// A condition as a reader would say it.
pub fn text(expr: &Expr) -> String {
    worded(expr, &|_| None)
}

/// The same with some parts said otherwise, for numbers put in.
pub fn worded(expr: &Expr, otherwise: &dyn Fn(&Expr) -> Option<String>) -> String {
    if let Some(said) = otherwise(expr) {
        return said;
    }
    let part = |it: &Expr| worded(it, otherwise);
    match &expr.kind {
        ExprKind::Path(path) => path_text(path),
        ExprKind::Figure(figure) => made(figure).map_or_else(|_| "?".to_owned(), |it| it.display()),
        ExprKind::Text(it) | ExprKind::Marking(it) => it.to_string(),
        ExprKind::Date(it) => it.to_string(),
        ExprKind::Arithmetic(op, a, b) => {
            let side = |it: &Expr, right| bracketed(loose(*op, it, right), part(it));
            format!("{} {} {}", side(a, false), sign(*op), side(b, true))
        }
        ExprKind::Compare { op, left, right, .. } => format!("{} {} {}", part(left), sign(*op), part(right)),
        ExprKind::Call(name, args) => {
            format!("{name}({})", args.iter().map(part).collect::<Vec<_>>().join(", "))
        }
        ExprKind::And(a, b) => format!("{} and {}", part(a), part(b)),
        ExprKind::Or(a, b) => format!("{} or {}", part(a), part(b)),
        ExprKind::Not(a) => format!("not {}", part(a)),
        ExprKind::Is(a, b) => format!("{} is {}", spaced(&a.to_string()), spaced(&b.to_string())),
        ExprKind::Sends(a, b) => format!("{} sends {b}", spaced(&a.to_string())),
        ExprKind::Hears(a, b) => format!("{} hears {b}", spaced(&a.to_string())),
        ExprKind::Has(a, b) => format!("{} has {}", spaced(&a.to_string()), spaced(b)),
        ExprKind::Fitted(a) => format!("{} fitted", spaced(&a.to_string())),
    }
}

/// Whether an operand binds less than the sign beside it, so that brackets keep it together.
fn loose(op: Op, operand: &Expr, right: bool) -> bool {
    let ExprKind::Arithmetic(inner, ..) = operand.kind else { return false };
    let sum = |it: Op| matches!(it, Op::Plus | Op::Minus);
    match (sum(op), sum(inner)) {
        (false, true) => true,
        (true, false) => false,
        _ => right && matches!(op, Op::Minus | Op::Over),
    }
}

fn bracketed(loose: bool, text: String) -> String {
    if loose { format!("({text})") } else { text }
}

/// `gearbox ratios`; of a list the one that is meant: `the 6th of gearbox ratios`.
pub(crate) fn path_text(path: &Path) -> String {
    let words = match path.parts.as_slice() {
        [place, name] => format!("{} {}", spaced(&place.value), spaced(&name.value)),
        parts => spaced(&parts.iter().map(|it| it.value.as_str()).collect::<Vec<_>>().join(".")),
    };
    match &path.index {
        Some(index) => match index.value.parse::<u32>() {
            Ok(nth) => format!("the {} of {words}", ordinal(nth)),
            Err(_) => format!("{words}[{}]", index.value),
        },
        None => words,
    }
}

/// `1st`, `2nd`, `3rd`, `11th`.
pub fn ordinal(nth: u32) -> String {
    let ending = match (nth % 10, nth % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{nth}{ending}")
}

/// A name with blanks for its underscores.
pub(crate) fn spaced(path: &str) -> String {
    path.replace('_', " ")
}

/// An operator as it is printed.
pub(crate) fn sign(op: Op) -> &'static str {
    match op {
        Op::Plus => "+",
        Op::Minus => "−",
        Op::Times => "×",
        Op::Over => "/",
        Op::Equal => "=",
        Op::Unequal => "≠",
        Op::Less => "<",
        Op::AtMost => "≤",
        Op::More => ">",
        Op::AtLeast => "≥",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trunnion_syntax::expr::expression;
    use trunnion_syntax::parse::parse;
    use trunnion_syntax::tree::{Atom, Span};

    fn said(written: &str) -> String {
        let tree = parse(written);
        let atoms: Vec<&Atom> =
            tree.lines.iter().flat_map(|it| &it.clauses).flat_map(|it| &it.atoms).collect();
        text(&expression(&atoms, Span::default()).unwrap())
    }

    #[test]
    fn brackets_stay_where_they_are_needed() {
        for (written, shown) in [
            ("(a + b) * c", "(a + b) × c"),
            ("(a * b) + c", "a × b + c"),
            ("a - (b - c)", "a − (b − c)"),
            ("(a - b) - c", "a − b − c"),
            ("a / (b * c)", "a / (b × c)"),
            ("a / b * c", "a / b × c"),
        ] {
            assert_eq!(said(written), shown);
        }
    }

    #[test]
    fn one_of_a_list_is_named_by_its_place() {
        assert_eq!(said("gearbox.ratios[6] < 1"), "the 6th of gearbox ratios < 1");
        assert_eq!(
            said("road_speed(3000 rpm, gearbox.ratios[11])"),
            "road_speed(3000 rpm, the 11th of gearbox ratios)"
        );
        assert_eq!(
            [1, 2, 3, 4, 12, 22, 113].map(ordinal),
            ["1st", "2nd", "3rd", "4th", "12th", "22nd", "113th"]
        );
    }
}
