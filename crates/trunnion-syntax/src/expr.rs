//! Expressions: what `needs` and `when` say must hold.

use crate::tree::{Atom, AtomKind, Clause, Date, Figure, Name, Op, Path, Span, SyntaxError};

/// An expression and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// What it says.
    pub kind: ExprKind,
    /// Where.
    pub span: Span,
}

/// The sorts of expressions.
#[derive(Clone, Debug, PartialEq)]
pub enum ExprKind {
    /// A place, a measure of one, an option: `final_drive.ratio`.
    Path(Path),
    /// A figure.
    Figure(Figure),
    /// Text.
    Text(Name),
    /// A date.
    Date(Date),
    /// A thread or tyre marking.
    Marking(Name),
    /// Arithmetic: `+ - * /`.
    Arithmetic(Op, Box<Expr>, Box<Expr>),
    /// A comparison, perhaps `within` a tolerance.
    Compare {
        /// The operator.
        op: Op,
        /// Left side.
        left: Box<Expr>,
        /// Right side.
        right: Box<Expr>,
        /// `within 2 %`, `within 3 mm`.
        within: Option<(Figure, Span)>,
    },
    /// A handbook function: `road_speed(3000 rpm, …)`.
    Call(Name, Vec<Expr>),
    /// `and`.
    And(Box<Expr>, Box<Expr>),
    /// `or`.
    Or(Box<Expr>, Box<Expr>),
    /// `not`.
    Not(Box<Expr>),
    /// `gearbox is automatic_gearbox`: the kind, the part, or an option's value.
    Is(Path, Path),
    /// `brake_controller sends torque_cut`.
    Sends(Path, Name),
    /// `cluster hears road_speed`.
    Hears(Path, Name),
    /// `gearbox has cooler_out`: an end or a fact is there.
    Has(Path, Name),
    /// `cooler fitted`: something sits in the place. `cooler none` is the opposite.
    Fitted(Path),
}

/// The deepest nesting of brackets and `not`.
const DEEPEST: usize = 48;

/// The most `and`, `or` and signs of arithmetic in one condition: so many, and no more, levels
/// does its tree have besides.
const LONGEST: usize = 256;

/// Reads an expression from atoms. `at` is where it should stand if there are none.
///
/// # Errors
/// One `write/expression` at the first place that cannot be read, also where the expression is
/// nested too deep or too long.
pub fn expression(atoms: &[&Atom], at: Span) -> Result<Expr, Box<SyntaxError>> {
    let mut reader = Reader { atoms, at: 0, end: at, depth: 0, signs: 0 };
    let expr = reader.or()?;
    match reader.peek() {
        None => Ok(expr),
        Some(left) => Err(told(left.span, LEFT)),
    }
}

/// What is said of what is left over.
const LEFT: &str = "This does not belong to the condition before it.";

/// What is said of it among the values of a function.
const COMMA: &str = "Values have a comma between: this does not belong to the one before it.";

/// What is read, or why not.
type Read<T> = Result<T, Box<SyntaxError>>;

fn told(span: Span, message: &str) -> Box<SyntaxError> {
    let name = "write/expression";
    Box::new(SyntaxError { name, message: message.to_owned(), span, related: None, mend: None })
}

struct Reader<'a> {
    atoms: &'a [&'a Atom],
    at: usize,
    end: Span,
    depth: usize,
    signs: usize,
}

impl<'a> Reader<'a> {
    fn peek(&self) -> Option<&'a Atom> {
        self.atoms.get(self.at).copied()
    }

    fn word(&self) -> Option<&'a str> {
        match &self.peek()?.kind {
            AtomKind::Path(path) => path.word().map(|it| it.as_str()),
            _ => None,
        }
    }

    fn take_word(&mut self, word: &str) -> bool {
        let is = self.word() == Some(word);
        self.at += usize::from(is);
        is
    }

    fn or(&mut self) -> Read<Expr> {
        let mut left = self.and()?;
        while self.take_word("or") {
            self.longer()?;
            let right = self.and()?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::Or(Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn and(&mut self) -> Read<Expr> {
        let mut left = self.not()?;
        while self.take_word("and") {
            self.longer()?;
            let right = self.not()?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::And(Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn not(&mut self) -> Read<Expr> {
        let start = self.peek().map_or(self.end, |it| it.span);
        if !self.take_word("not") {
            return self.relation();
        }
        self.deeper(start)?;
        let inner = self.not()?;
        self.depth -= 1;
        let span = start.to(inner.span);
        Ok(Expr { kind: ExprKind::Not(Box::new(inner)), span })
    }

    fn deeper(&mut self, at: Span) -> Read<()> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(told(at, "This condition nests too deep."));
        }
        Ok(())
    }

    fn longer(&mut self) -> Read<()> {
        self.signs += 1;
        if self.signs > LONGEST {
            let at = self.peek().map_or(self.end, |it| it.span);
            return Err(told(at, "This condition is too long to be one."));
        }
        Ok(())
    }

    fn relation(&mut self) -> Read<Expr> {
        let left = self.sum()?;
        if let ExprKind::Path(path) = &left.kind
            && let Some(worded) = self.worded(path, left.span)?
        {
            return Ok(worded);
        }
        let Some(AtomKind::Op(op)) = self.peek().map(|it| &it.kind) else { return Ok(left) };
        let op = *op;
        if !matches!(op, Op::Equal | Op::Unequal | Op::Less | Op::AtMost | Op::More | Op::AtLeast) {
            return Ok(left);
        }
        self.at += 1;
        let right = self.sum()?;
        let mut span = left.span.to(right.span);
        let mut within = None;
        if self.take_word("within") {
            match self.peek() {
                Some(Atom { kind: AtomKind::Figure(figure), span: at }) => {
                    self.at += 1;
                    span = span.to(*at);
                    within = Some((figure.clone(), *at));
                }
                _ => {
                    let at = self.peek().map_or(span, |it| it.span);
                    return Err(told(at, "After `within` a figure is wanted: `within 2 %`."));
                }
            }
        }
        let kind = ExprKind::Compare { op, left: Box::new(left), right: Box::new(right), within };
        Ok(Expr { kind, span })
    }

    /// `is`, `sends`, `hears`, `has`, `fitted` after a path.
    fn worded(&mut self, path: &Path, start: Span) -> Read<Option<Expr>> {
        let Some(verb) = self.word() else { return Ok(None) };
        if matches!(verb, "fitted" | "none") {
            let span = start.to(self.peek().map_or(start, |it| it.span));
            let fitted = Expr { kind: ExprKind::Fitted(path.clone()), span };
            let empty = verb == "none";
            self.at += 1;
            return Ok(Some(if empty {
                Expr { kind: ExprKind::Not(Box::new(fitted)), span }
            } else {
                fitted
            }));
        }
        if !matches!(verb, "is" | "sends" | "hears" | "has") {
            return Ok(None);
        }
        self.at += 1;
        let negated = verb == "is" && self.take_word("not");
        let (other, at) = match self.peek() {
            Some(Atom { kind: AtomKind::Path(other), span }) => (other, *span),
            // `gearbox.fluid is "ATF"`: text is compared.
            Some(Atom { kind: AtomKind::Text(text), span }) if verb == "is" => {
                self.at += 1;
                let left = Expr { kind: ExprKind::Path(path.clone()), span: start };
                let right = Expr { kind: ExprKind::Text(text.clone()), span: *span };
                let op = if negated { Op::Unequal } else { Op::Equal };
                let kind =
                    ExprKind::Compare { op, left: Box::new(left), right: Box::new(right), within: None };
                return Ok(Some(Expr { kind, span: start.to(*span) }));
            }
            _ => {
                let at = self.peek().or(self.atoms.last().copied()).map_or(start, |it| it.span);
                return Err(told(at, &format!("After `{verb}` a name is wanted.")));
            }
        };
        self.at += 1;
        let span = start.to(at);
        let name = || other.parts.last().map(|it| it.value.clone()).unwrap_or_default();
        let kind = match verb {
            "sends" => ExprKind::Sends(path.clone(), name()),
            "hears" => ExprKind::Hears(path.clone(), name()),
            "has" => ExprKind::Has(path.clone(), name()),
            _ => ExprKind::Is(path.clone(), other.clone()),
        };
        let expr = Expr { kind, span };
        Ok(Some(if negated { Expr { kind: ExprKind::Not(Box::new(expr)), span } } else { expr }))
    }

    fn sum(&mut self) -> Read<Expr> {
        self.chain(&[Op::Plus, Op::Minus], Self::product)
    }

    fn product(&mut self) -> Read<Expr> {
        self.chain(&[Op::Times, Op::Over], Self::single)
    }

    fn chain(&mut self, ops: &[Op], next: fn(&mut Self) -> Read<Expr>) -> Read<Expr> {
        let mut left = next(self)?;
        while let Some(AtomKind::Op(op)) = self.peek().map(|it| &it.kind) {
            if !ops.contains(op) {
                break;
            }
            self.longer()?;
            self.at += 1;
            let right = next(self)?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::Arithmetic(*op, Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn single(&mut self) -> Read<Expr> {
        let Some(atom) = self.peek() else {
            let told_at = self.atoms.last().map_or(self.end, |it| it.span);
            return Err(told(told_at, "After this a place, a figure or a name is missing."));
        };
        self.at += 1;
        let kind = match &atom.kind {
            AtomKind::Path(path) => {
                if let (Some(name), Some(Atom { kind: AtomKind::Group(clauses), span })) =
                    (path.word(), self.peek())
                    && span.start == atom.span.end
                {
                    self.at += 1;
                    let args = self.arguments(clauses, *span, COMMA)?;
                    return Ok(Expr { kind: ExprKind::Call(name.clone(), args), span: atom.span.to(*span) });
                }
                ExprKind::Path(path.clone())
            }
            AtomKind::Figure(figure) => ExprKind::Figure(figure.clone()),
            AtomKind::Text(text) => ExprKind::Text(text.clone()),
            AtomKind::Date(date) => ExprKind::Date(*date),
            AtomKind::Thread(it) | AtomKind::Tyre(it) => ExprKind::Marking(it.clone()),
            AtomKind::Group(clauses) => {
                self.deeper(atom.span)?;
                let inside = self.arguments(clauses, atom.span, LEFT)?;
                self.depth -= 1;
                return match <[Expr; 1]>::try_from(inside) {
                    Ok([only]) => Ok(Expr { span: atom.span, ..only }),
                    Err(_) => Err(told(atom.span, "One condition is wanted in these brackets.")),
                };
            }
            AtomKind::Op(_) => {
                return Err(told(atom.span, "A place, a figure or a name is wanted before this sign."));
            }
        };
        Ok(Expr { kind, span: atom.span })
    }

    /// What stands in round brackets; `left_over` is said of what is left over in one of its parts.
    fn arguments(&mut self, clauses: &'a [Clause], at: Span, left_over: &str) -> Read<Vec<Expr>> {
        let mut all = Vec::with_capacity(clauses.len());
        for clause in clauses {
            if clause.atoms.is_empty() && clauses.len() == 1 {
                continue;
            }
            let atoms: Vec<&Atom> = clause.atoms.iter().collect();
            let mut inner = Reader { atoms: &atoms, at: 0, end: at, depth: self.depth, signs: self.signs };
            let expr = inner.or()?;
            self.signs = inner.signs;
            if let Some(left) = inner.peek() {
                return Err(told(left.span, left_over));
            }
            all.push(expr);
        }
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::parse;

    fn read(text: &str) -> Result<String, (String, String)> {
        let tree = parse(text);
        let atoms: Vec<&Atom> =
            tree.lines.iter().flat_map(|it| &it.clauses).flat_map(|it| &it.atoms).collect();
        match expression(&atoms, Span::new(0, text.len() as u32)) {
            Ok(it) => {
                assert_eq!(it.span, Span::new(0, text.len() as u32), "{text}");
                Ok(shown(&it))
            }
            Err(it) => {
                assert_eq!(it.name, "write/expression");
                Err((text[it.span.range()].to_owned(), it.message.clone()))
            }
        }
    }

    fn shown(it: &Expr) -> String {
        match &it.kind {
            ExprKind::Path(it) => it.to_string(),
            ExprKind::Figure(Figure::Exact(it)) => match &it.unit {
                Some(unit) => format!("{} {unit}", it.number),
                None => it.number.to_string(),
            },
            ExprKind::Figure(it) => format!("{it:?}"),
            ExprKind::Text(it) => format!("{it:?}"),
            ExprKind::Marking(it) => it.to_string(),
            ExprKind::Date(it) => it.to_string(),
            ExprKind::Arithmetic(op, a, b) => format!("({op:?} {} {})", shown(a), shown(b)),
            ExprKind::Compare { op, left, right, within } => {
                let within = if within.is_some() { " within" } else { "" };
                format!("({op:?} {} {}{within})", shown(left), shown(right))
            }
            ExprKind::Call(name, args) => format!("{name}{:?}", args.iter().map(shown).collect::<Vec<_>>()),
            ExprKind::And(a, b) => format!("(and {} {})", shown(a), shown(b)),
            ExprKind::Or(a, b) => format!("(or {} {})", shown(a), shown(b)),
            ExprKind::Not(a) => format!("(not {})", shown(a)),
            ExprKind::Is(a, b) => format!("(is {a} {b})"),
            ExprKind::Sends(a, b) => format!("(sends {a} {b})"),
            ExprKind::Hears(a, b) => format!("(hears {a} {b})"),
            ExprKind::Has(a, b) => format!("(has {a} {b})"),
            ExprKind::Fitted(a) => format!("(fitted {a})"),
        }
    }

    #[test]
    fn conditions_are_read_in_the_order_of_arithmetic() {
        for (text, right) in [
            ("final_drive.ratio = 3.69 within 2 %", "(Equal final_drive.ratio 3.69 within)"),
            ("a + b * 2 <= c / 4 - 1 m", "(AtMost (Plus a (Times b 2)) (Minus (Over c 4) 1 m))"),
            ("a > 1 and b < 2 or not c != 3", "(or (and (More a 1) (Less b 2)) (not (Unequal c 3)))"),
            ("(a or b) and c", "(and (or a b) c)"),
            ("max(a, b + 1) >= 2", "(AtLeast max[\"a\", \"(Plus b 1)\"] 2)"),
            ("now() > 2013-08", "(More now[] 2013-08)"),
            ("bolt.thread = M12x1.5", "(Equal bolt.thread M12x1.5)"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(right), "{text}");
        }
    }

    #[test]
    fn worded_relations_are_read() {
        for (text, right) in [
            ("brake_controller sends torque_cut", "(sends brake_controller torque_cut)"),
            ("cluster hears road_speed", "(hears cluster road_speed)"),
            ("gearbox has cooler_out", "(has gearbox cooler_out)"),
            ("gearbox is automatic_gearbox", "(is gearbox automatic_gearbox)"),
            ("gearbox is not automatic_gearbox", "(not (is gearbox automatic_gearbox))"),
            ("gearbox.fluid is not \"red\"", "(Unequal gearbox.fluid \"red\")"),
            ("cooler fitted or cooler none", "(or (fitted cooler) (not (fitted cooler)))"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(right), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_told_at_its_place() {
        for (text, place) in [
            ("a =", "="),
            ("a is", "is"),
            ("a = 3 b", "b"),
            ("= 3", "="),
            ("a = 3 within b", "b"),
            ("a sends 3", "3"),
            ("(a, b) > 3", "(a, b)"),
            ("f(a b)", "b"),
        ] {
            assert_eq!(read(text).map_err(|it| it.0), Err(place.to_owned()), "{text}");
        }
    }

    #[test]
    fn depth_and_length_have_bounds() {
        assert!(read(&format!("{}a{}", "(".repeat(40), ")".repeat(40))).is_ok());
        assert!(read(&format!("{}a{}", "(".repeat(60), ")".repeat(60))).is_err());
        assert!(read(&format!("{}a", "not ".repeat(100_000))).is_err());
        assert!(read(&format!("a{}", " + a".repeat(200))).is_ok());
        for sign in [" + a", " and a", " or a", " / a"] {
            assert!(read(&format!("a{}", sign.repeat(100_000))).is_err(), "{sign}");
        }
    }
}
