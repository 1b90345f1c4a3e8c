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
    /// `cooler fitted`: something sits in the place.
    Fitted(Path),
}

/// The deepest nesting of brackets and `not`.
const DEEPEST: usize = 48;

/// Reads an expression from atoms. `at` is where it should stand if there are none.
pub fn expression(atoms: &[&Atom], at: Span) -> Result<Expr, SyntaxError> {
    let mut reader = Reader { atoms, at: 0, end: at, depth: 0 };
    let expr = reader.or()?;
    match reader.peek() {
        None => Ok(expr),
        Some(left) => Err(told(left.span, "This does not belong to the condition before it.")),
    }
}

fn told(span: Span, message: &str) -> SyntaxError {
    SyntaxError { name: "write/expression", message: message.to_owned(), span, related: None, mend: None }
}

struct Reader<'a> {
    atoms: &'a [&'a Atom],
    at: usize,
    end: Span,
    depth: usize,
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

    fn or(&mut self) -> Result<Expr, SyntaxError> {
        let mut left = self.and()?;
        while self.take_word("or") {
            let right = self.and()?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::Or(Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn and(&mut self) -> Result<Expr, SyntaxError> {
        let mut left = self.not()?;
        while self.take_word("and") {
            let right = self.not()?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::And(Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn not(&mut self) -> Result<Expr, SyntaxError> {
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

    fn deeper(&mut self, at: Span) -> Result<(), SyntaxError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(told(at, "This condition nests too deep."));
        }
        Ok(())
    }

    fn relation(&mut self) -> Result<Expr, SyntaxError> {
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
    fn worded(&mut self, path: &Path, start: Span) -> Result<Option<Expr>, SyntaxError> {
        let Some(verb) = self.word() else { return Ok(None) };
        if verb == "fitted" {
            let span = start.to(self.peek().map_or(start, |it| it.span));
            self.at += 1;
            return Ok(Some(Expr { kind: ExprKind::Fitted(path.clone()), span }));
        }
        if !matches!(verb, "is" | "sends" | "hears" | "has") {
            return Ok(None);
        }
        self.at += 1;
        let negated = verb == "is" && self.take_word("not");
        let (other, at) = match self.peek() {
            Some(Atom { kind: AtomKind::Path(other), span }) => (other, *span),
            _ => {
                let at = self.peek().map_or(start, |it| it.span);
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

    fn sum(&mut self) -> Result<Expr, SyntaxError> {
        self.chain(&[Op::Plus, Op::Minus], Self::product)
    }

    fn product(&mut self) -> Result<Expr, SyntaxError> {
        self.chain(&[Op::Times, Op::Over], Self::single)
    }

    fn chain(
        &mut self,
        ops: &[Op],
        next: fn(&mut Self) -> Result<Expr, SyntaxError>,
    ) -> Result<Expr, SyntaxError> {
        let mut left = next(self)?;
        while let Some(AtomKind::Op(op)) = self.peek().map(|it| &it.kind) {
            if !ops.contains(op) {
                break;
            }
            self.at += 1;
            let right = next(self)?;
            let span = left.span.to(right.span);
            left = Expr { kind: ExprKind::Arithmetic(*op, Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    fn single(&mut self) -> Result<Expr, SyntaxError> {
        let Some(atom) = self.peek() else {
            return Err(told(self.end, "Something is missing here: a place, a figure or a name."));
        };
        self.at += 1;
        let kind = match &atom.kind {
            AtomKind::Path(path) => {
                if let (Some(name), Some(Atom { kind: AtomKind::Group(clauses), span })) = (path.word(), self.peek())
                    && span.start == atom.span.end
                {
                    self.at += 1;
                    let args = self.arguments(clauses, *span)?;
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
                let inside = self.arguments(clauses, atom.span)?;
                self.depth -= 1;
                return match <[Expr; 1]>::try_from(inside) {
                    Ok([only]) => Ok(Expr { span: atom.span, ..only }),
                    Err(_) => Err(told(atom.span, "One condition is wanted in these brackets.")),
                };
            }
            AtomKind::Op(_) => return Err(told(atom.span, "A place, a figure or a name is wanted before this sign.")),
        };
        Ok(Expr { kind, span: atom.span })
    }

    fn arguments(&mut self, clauses: &'a [Clause], at: Span) -> Result<Vec<Expr>, SyntaxError> {
        let mut all = Vec::with_capacity(clauses.len());
        for clause in clauses {
            if clause.atoms.is_empty() && clauses.len() == 1 {
                continue;
            }
            let atoms: Vec<&Atom> = clause.atoms.iter().collect();
            let mut inner = Reader { atoms: &atoms, at: 0, end: at, depth: self.depth };
            let expr = inner.or()?;
            if let Some(left) = inner.peek() {
                return Err(told(left.span, "This does not belong to the condition before it."));
            }
            all.push(expr);
        }
        Ok(all)
    }
}
