//! Reads the slots of a matched statement into the model's types.

use smol_str::SmolStr;
use trunnion_handbook::quantity::{Quantity, QuantityError};
use trunnion_syntax::expr::Expr;
use trunnion_syntax::form::Statement;
use trunnion_syntax::tree::{At, Atom, AtomKind, Date, Figure, Measure, Name, Path, Span};

use crate::decl::{FindOut, Need, With};
use crate::fact::{Bound, Claim, Fact, Ref, Value, ValueKind};
use crate::verdict::{Gate, Problem};

/// A statement being read, and where its problems go.
pub(super) struct Reader<'a, 't> {
    pub statement: &'a Statement<'t>,
    pub problems: &'a mut Vec<Problem>,
}

/// A path as the model keeps it.
pub(super) fn reference(path: &Path, span: Span) -> Ref {
    Ref { parts: path.parts.clone(), index: path.index.clone(), span }
}

impl Reader<'_, '_> {
    /// The statement's `per` and `because`.
    pub fn claim(&self) -> Claim {
        Claim {
            per: self.statement.per.as_ref().map(|it| reference(it.value, it.span)),
            because: self.statement.because.as_ref().map(|it| it.value.clone()),
        }
    }

    pub fn word(&mut self, slot: &str) -> Option<At<Name>> {
        self.statement.word(slot)
    }

    pub fn words(&mut self, slot: &str) -> Vec<At<Name>> {
        self.statement.names(slot)
    }

    pub fn reference(&mut self, slot: &str) -> Option<Ref> {
        self.statement.path(slot).map(|it| reference(it.value, it.span))
    }

    pub fn references(&mut self, slot: &str) -> Vec<Ref> {
        self.statement.paths(slot).into_iter().map(|it| reference(it.value, it.span)).collect()
    }

    pub fn text(&mut self, slot: &str) -> Option<At<SmolStr>> {
        self.statement.text(slot)
    }

    pub fn date(&mut self, slot: &str) -> Option<At<Date>> {
        self.statement.date(slot)
    }

    pub fn expr(&mut self, slot: &str) -> Option<Expr> {
        self.statement.expr(slot).cloned()
    }

    pub fn flag(&self, words: &str) -> bool {
        self.statement.flag(words)
    }

    pub fn unit(&mut self, slot: &str) -> Option<At<Name>> {
        self.statement.word(slot)
    }

    pub fn gate(&mut self, slot: &str) -> Option<Gate> {
        self.statement.word(slot).and_then(|it| Gate::from_word(&it.value))
    }

    pub fn bound(&mut self, slot: &str) -> Option<Bound> {
        self.statement.word(slot).map(|it| match it.value.as_str() {
            "at_most" | "at most" => Bound::Most,
            "at_least" | "at least" => Bound::Least,
            _ => Bound::About,
        })
    }

    pub fn thread(&mut self, slot: &str) -> Option<At<SmolStr>> {
        let at = self.statement.value(slot)?;
        match &at.kind {
            AtomKind::Thread(it) | AtomKind::Text(it) => Some(At { value: it.clone(), span: at.span }),
            _ => None,
        }
    }

    pub fn tyre(&mut self, slot: &str) -> Option<At<SmolStr>> {
        let at = self.statement.value(slot)?;
        match &at.kind {
            AtomKind::Tyre(it) | AtomKind::Text(it) => Some(At { value: it.clone(), span: at.span }),
            _ => None,
        }
    }

    /// A figure; one that makes no sense is reported and left out.
    pub fn figure(&mut self, slot: &str) -> Option<Quantity> {
        self.figure_at(slot).map(|it| it.value)
    }

    pub fn figure_at(&mut self, slot: &str) -> Option<At<Quantity>> {
        let at = self.statement.figure(slot)?;
        let value = quantity(at.value, at.span, self.problems)?;
        Some(At { value, span: at.span })
    }

    /// A whole number of at least 0.
    pub fn count(&mut self, slot: &str) -> Option<At<u32>> {
        let at = self.statement.figure(slot)?;
        match at.value {
            Figure::Exact(Measure { number, unit: None, .. })
                if number.fract() == 0.0 && (0.0..1e6).contains(number) =>
            {
                Some(At { value: *number as u32, span: at.span })
            }
            _ => {
                self.problems.push(Problem::new(
                    "write/number",
                    at.span,
                    "A whole number is wanted here, without a unit.",
                ));
                None
            }
        }
    }

    pub fn value(&mut self, slot: &str) -> Option<Value> {
        let atom = self.statement.value(slot)?;
        Some(value(atom, None, self.problems))
    }

    pub fn values(&mut self, slot: &str) -> Vec<Value> {
        let items = self.statement.values(slot);
        let mut all: Vec<Value> = items
            .into_iter()
            .map(|it| {
                let per = it.per.as_ref().map(|per| reference(per.value, per.span));
                value(it.atom, per, self.problems)
            })
            .collect();
        // Where figures of a list have sources of their own, that at the end is the last one's.
        if all.iter().any(|it| it.per.is_some())
            && let (Some(last), Some(per)) = (all.last_mut(), &self.statement.per)
        {
            last.per = Some(reference(per.value, per.span));
        }
        all
    }

    /// The option of a `with` and those that `and` adds.
    pub fn withs(&mut self) -> Vec<With> {
        let slots = [("option", "value"), ("also", "being"), ("third", "likewise")];
        let mut with = |(option, value)| Some(With { option: self.word(option)?, value: self.word(value)? });
        slots.into_iter().filter_map(&mut with).collect()
    }

    pub fn with(&mut self) -> Option<With> {
        Some(With { option: self.word("option")?, value: self.word("value")? })
    }

    pub fn need(&mut self, slot: &str) -> Option<Need> {
        let condition = self.expr(slot)?;
        // What is needed, without its source and reason.
        let span = Span::new(self.statement.span.start, condition.span.end);
        Some(Need { condition, claim: self.claim(), span })
    }

    pub fn find_out(&mut self) -> FindOut {
        FindOut {
            tool: self.text("tool").map(|it| it.value),
            precision: self.figure("precision"),
            takes: self.figure("time"),
            from: self.word("who").map(|it| it.value),
            good: self.figure("good"),
            gate: self.gate("gate"),
        }
    }

    /// A fact: `torque limit 400 Nm`, `propshaft.length 1418 mm`, `sealed`.
    pub fn fact(&mut self) -> Option<Fact> {
        let (target, name) = match self.statement.path("target") {
            Some(path) => {
                let mut parts = path.value.parts.clone();
                let name = parts.pop()?;
                (parts, name)
            }
            None => {
                let name = self.word("fact").or_else(|| self.word("flag"))?;
                (Vec::new(), name)
            }
        };
        Some(Fact {
            target,
            name,
            values: self.values("value"),
            bound: self.bound("bound"),
            claim: self.claim(),
            span: self.statement.span,
        })
    }
}

/// A value of an atom.
fn value(atom: &Atom, per: Option<Ref>, problems: &mut Vec<Problem>) -> Value {
    let kind = match &atom.kind {
        AtomKind::Path(path) if path.word().is_some_and(|it| it == "none") => ValueKind::Nothing,
        AtomKind::Path(path) => ValueKind::Path(reference(path, atom.span)),
        AtomKind::Figure(figure) => match quantity(figure, atom.span, problems) {
            Some(it) => ValueKind::Quantity(it),
            None => ValueKind::Broken,
        },
        AtomKind::Date(it) => ValueKind::Date(*it),
        AtomKind::Text(it) => ValueKind::Text(it.clone()),
        AtomKind::Thread(it) => ValueKind::Thread(it.clone()),
        AtomKind::Tyre(it) => ValueKind::Tyre(it.clone()),
        AtomKind::Op(_) | AtomKind::Group(_) => ValueKind::Broken,
    };
    Value { kind, per, span: atom.span }
}

/// A figure as a quantity; one that makes no sense is reported.
pub(super) fn quantity(figure: &Figure, span: Span, problems: &mut Vec<Problem>) -> Option<Quantity> {
    match made(figure) {
        Ok(it) => Some(it),
        Err(error) => {
            problems.push(Problem::new("unit/figure", span, sentence(&error.to_string())));
            None
        }
    }
}

/// A figure as a quantity. An end or a tolerance without a unit has that of the figure.
pub(crate) fn made(figure: &Figure) -> Result<Quantity, QuantityError> {
    let symbol =
        |it: &Measure, other: &Measure| it.unit.clone().or_else(|| other.unit.clone()).unwrap_or_default();
    match figure {
        Figure::Exact(it) => Quantity::exact(it.number, it.unit.as_deref().unwrap_or_default()),
        Figure::Tolerance { value, plus, minus } => {
            let unit = value.unit.clone().unwrap_or_default();
            if symbol(plus, value) == unit && symbol(minus, value) == unit {
                return Quantity::tolerances(value.number, plus.number, minus.number, &unit);
            }
            let tolerance = Quantity::exact(plus.number, &symbol(plus, value))?;
            Quantity::exact(value.number, &unit)?.plus_minus(&tolerance)
        }
        Figure::Range { from, to } => {
            let (first, last) = (symbol(from, to), symbol(to, from));
            if first == last {
                return Quantity::range(from.number, to.number, &first);
            }
            Quantity::between(&Quantity::exact(from.number, &first)?, &Quantity::exact(to.number, &last)?)
        }
    }
}

/// A phrase as a sentence: with a capital and a full stop.
pub(crate) fn sentence(phrase: &str) -> String {
    let mut letters = phrase.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}
