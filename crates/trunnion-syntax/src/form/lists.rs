//! The slots that take more than one atom: lists, values, words, conditions.

use crate::expr;
use crate::form::attempt::{Bit, Tried, is_value, path_of, word_of};
use crate::form::statement::{AskedItem, Slot, ValueItem};
use crate::form::{Piece, SlotType};
use crate::tree::{At, Atom, AtomKind, Figure, Measure, Name, Op, Path, Span};

impl<'t> Tried<'_, 't> {
    /// Words joined by `_`, up to one that leads an option. Where a value must follow, the
    /// last of several words is left for it.
    pub(super) fn words(&mut self, next: Option<&Piece>) -> Option<Slot<'t>> {
        let mut words: Vec<At<Name>> = Vec::new();
        let mut at = self.end;
        while let Some(word) = self.bits.get(at).and_then(Bit::word) {
            let leads = self.leads_option(&word.value)
                || word.value == "none"
                || matches!(next, Some(Piece::Word(it)) if word.value == *it)
                || matches!(next, Some(Piece::Slot(_, SlotType::Bound))) && self.begins_bound(at);
            if leads && !words.is_empty() {
                break;
            }
            words.push(word);
            at += 1;
        }
        let value_wanted = matches!(next, Some(Piece::Slot(_, SlotType::Vals | SlotType::Val)));
        let value_follows = match self.bits.get(at) {
            Some(Bit::Atom(atom)) => is_value(atom) && word_of(atom).is_none_or(|it| it.value == "none"),
            _ => false,
        };
        if value_wanted && !value_follows && words.len() > 1 {
            words.pop();
            at -= 1;
        }
        let (first, last) = (words.first()?, words.last()?);
        let span = first.span.to(last.span);
        let value = match words.as_slice() {
            [only] => only.value.clone(),
            all => all.iter().map(|it| it.value.as_str()).collect::<Vec<_>>().join("_").into(),
        };
        self.end = at;
        Some(Slot::Word(At { value, span }))
    }

    fn begins_bound(&self, at: usize) -> bool {
        let is = |at: usize, word: &str| self.bits.get(at).is_some_and(|it| it.is(word));
        is(at, "about") || is(at, "at") && (is(at + 1, "most") || is(at + 1, "least"))
    }

    /// Declared names, with commas between.
    pub(super) fn names(&mut self) -> Option<Slot<'t>> {
        let before = self.end;
        let all: Option<Vec<At<Name>>> = self
            .list()?
            .into_iter()
            .map(|it| Some(At { value: it.value.word()?.clone(), span: it.span }))
            .collect();
        if all.is_none() {
            self.end = before;
        }
        all.map(Slot::Names)
    }

    /// Paths, with commas between.
    pub(super) fn refs(&mut self) -> Option<Slot<'t>> {
        self.list().map(Slot::Paths)
    }

    /// After a comma a name goes on with the list where it stands alone or before a modifier
    /// of this form; otherwise it leads a new statement.
    fn list(&mut self) -> Option<Vec<At<&'t Path>>> {
        let mut all = vec![path_of(self.atom()?)?];
        self.end += 1;
        while let (Some(Bit::Comma), Some(Bit::Atom(atom))) =
            (self.bits.get(self.end), self.bits.get(self.end + 1))
        {
            let Some(next) = path_of(atom) else { break };
            let after = self.bits.get(self.end + 2);
            let alone = matches!(after, None | Some(Bit::Comma));
            let word = next.value.word();
            let goes_on = match after {
                None | Some(Bit::Comma) => !word.is_some_and(|it| self.is_statement(it)),
                Some(Bit::Block(_)) => self.form.block.is_some(),
                Some(Bit::Atom(_)) => after.and_then(Bit::word).is_some_and(|it| self.may_follow(&it.value)),
            };
            let leads = !alone && word.is_some_and(|it| self.form.option_words().any(|lead| it == lead));
            if !goes_on || leads {
                break;
            }
            all.push(next);
            self.end += 2;
        }
        Some(all)
    }

    /// Whether a word by itself is a statement of the context: `paired`, `new`.
    fn is_statement(&self, word: &str) -> bool {
        self.forms.iter().any(|it| match it.head.as_slice() {
            [Piece::Word(only)] => word == *only,
            [Piece::Slot(_, SlotType::Flag)] => SlotType::Flag.vocabulary().contains(&word),
            _ => false,
        })
    }

    /// Whether a word may follow a list in this form: a fixed word of it, or a source.
    fn may_follow(&self, word: &str) -> bool {
        let fixed = self.form.head.iter().skip(1).any(|it| matches!(it, Piece::Word(it) if *it == word));
        fixed || self.leads_option(word)
    }

    /// Values of one sort, with commas between.
    pub(super) fn values(&mut self) -> Option<Slot<'t>> {
        let mut all: Vec<ValueItem<'t>> = Vec::new();
        while let Some(atom) = self.atom().filter(|it| is_value(it)) {
            self.end += 1;
            let mut item = ValueItem { atom, per: None };
            let mut after = self.end;
            // A source of its own, where the list goes on after it.
            if let (Some(word), Some(Bit::Atom(source)), Some(Bit::Comma)) =
                (self.bits.get(after), self.bits.get(after + 1), self.bits.get(after + 2))
                && word.is("per")
                && let Some(source) = path_of(source)
                && self.goes_on(atom, after + 3)
            {
                item.per = Some(source);
                after += 2;
            }
            all.push(item);
            if !(matches!(self.bits.get(after), Some(Bit::Comma)) && self.goes_on(atom, after + 1)) {
                break;
            }
            self.end = after + 1;
        }
        if all.is_empty() { None } else { Some(Slot::Values(all)) }
    }

    /// Whether a list of values goes on: with one of the same sort that stands alone.
    fn goes_on(&self, before: &Atom, at: usize) -> bool {
        let Some(Bit::Atom(next)) = self.bits.get(at) else { return false };
        let alike = match (&before.kind, &next.kind) {
            (AtomKind::Figure(_), AtomKind::Figure(_)) | (AtomKind::Text(_), AtomKind::Text(_)) => true,
            (AtomKind::Path(_), AtomKind::Path(next)) => !next.word().is_some_and(|it| self.is_statement(it)),
            _ => false,
        };
        let alone = match self.bits.get(at + 1) {
            None | Some(Bit::Comma) => true,
            Some(after @ Bit::Atom(_)) => after.is("per") || after.is("because"),
            Some(Bit::Block(_)) => false,
        };
        alike && alone
    }

    /// What a kind asks for.
    pub(super) fn asked(&mut self) -> Option<Slot<'t>> {
        let mut all = Vec::new();
        loop {
            let first = self.atom().and_then(word_of)?;
            let named =
                self.bits.get(self.end + 1).and_then(Bit::word).filter(|it| !self.may_follow(&it.value));
            let (class, name) = match named {
                Some(name) if SlotType::Asked.vocabulary().contains(&first.value.as_str()) => {
                    self.end += 2;
                    (Some(first.value), name)
                }
                _ => match self.words(None)? {
                    Slot::Word(name) => (None, name),
                    _ => return None,
                },
            };
            let title = match self.atom().map(|it| &it.kind) {
                Some(AtomKind::Text(text)) => {
                    self.end += 1;
                    Some(text.clone())
                }
                _ => None,
            };
            all.push(AskedItem { class, name, title });
            let next = match self.bits.get(self.end) {
                Some(Bit::Comma) => self.bits.get(self.end + 1).and_then(Bit::word),
                _ => None,
            };
            match next {
                Some(word) if !self.may_follow(&word.value) => self.end += 1,
                _ => return Some(Slot::Asked(all)),
            }
        }
    }

    /// A condition: everything up to a source, a reason or a comma.
    pub(super) fn expr(&mut self) -> Option<Slot<'t>> {
        let mut atoms = Vec::new();
        while let Some(bit @ Bit::Atom(atom)) = self.bits.get(self.end) {
            if bit.is("per") || bit.is("because") {
                break;
            }
            atoms.push(*atom);
            self.end += 1;
        }
        let span = match (atoms.first(), atoms.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => return None,
        };
        Some(match expr::expression(&atoms, span) {
            Ok(expr) => Slot::Expr(expr),
            // What cannot be read is told; the slot is filled, so that one cause gives one error.
            Err(error) => {
                self.errors.push(*error);
                Slot::Any(At { value: String::new(), span })
            }
        })
    }

    /// Everything up to a block or the end of the line, or up to where nothing but options of the form
    /// follows: `done bleeding by hand, by "M. O."`.
    pub(super) fn any(&mut self) -> Option<Slot<'t>> {
        let mut words: Vec<String> = Vec::new();
        let mut place: Option<Span> = None;
        while let Some(bit) = self.bits.get(self.end) {
            if !words.is_empty() && self.only_options_follow() {
                break;
            }
            match bit {
                Bit::Atom(atom) => {
                    words.push(shown(atom));
                    place = Some(place.map_or(atom.span, |it| it.to(atom.span)));
                }
                Bit::Comma => {
                    if let Some(last) = words.last_mut() {
                        last.push(',');
                    }
                }
                Bit::Block(_) => break,
            }
            self.end += 1;
        }
        Some(Slot::Any(At { value: words.join(" "), span: place? }))
    }

    fn only_options_follow(&mut self) -> bool {
        let (end, slots, errors, used) = (self.end, self.slots.len(), self.errors.len(), self.used);
        loop {
            let comma = matches!(self.bits.get(self.end), Some(Bit::Comma));
            if !self.any_option(comma) {
                break;
            }
        }
        let whole = self.end > end && matches!(self.bits.get(self.end), None | Some(Bit::Block(_)));
        self.end = end;
        self.slots.truncate(slots);
        self.errors.truncate(errors);
        self.used = used;
        whole
    }
}

/// An atom as it would be written.
fn shown(atom: &Atom) -> String {
    let measure = |it: &Measure| match &it.unit {
        Some(unit) => format!("{} {unit}", it.number),
        None => it.number.to_string(),
    };
    match &atom.kind {
        AtomKind::Path(it) => it.to_string(),
        AtomKind::Figure(Figure::Exact(it)) => measure(it),
        AtomKind::Figure(Figure::Tolerance { value, plus, minus }) if plus == minus => {
            format!("{} ± {}", measure(value), measure(plus))
        }
        AtomKind::Figure(Figure::Tolerance { value, plus, minus }) => {
            format!("{} +{} -{}", measure(value), measure(plus), measure(minus))
        }
        AtomKind::Figure(Figure::Range { from, to }) => format!("{} to {}", measure(from), measure(to)),
        AtomKind::Date(it) => it.to_string(),
        AtomKind::Text(it) => format!("\"{it}\""),
        AtomKind::Thread(it) | AtomKind::Tyre(it) => it.to_string(),
        AtomKind::Op(op) => match op {
            Op::Plus => "+",
            Op::Minus => "-",
            Op::Times => "×",
            Op::Over => "/",
            Op::Equal => "=",
            Op::Unequal => "≠",
            Op::Less => "<",
            Op::AtMost => "≤",
            Op::More => ">",
            Op::AtLeast => "≥",
        }
        .to_owned(),
        AtomKind::Group(clauses) => {
            let clause = |it: &crate::tree::Clause| it.atoms.iter().map(shown).collect::<Vec<_>>().join(" ");
            format!("({})", clauses.iter().map(clause).collect::<Vec<_>>().join(", "))
        }
    }
}
