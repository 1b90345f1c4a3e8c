//! A matched statement and its slots.

use smol_str::SmolStr;

use crate::expr::Expr;
use crate::form::{Form, Piece};
use crate::tree::{At, Atom, Block, Date, Figure, Name, Path, Span};

/// A statement: which form it has and what fills the form's slots.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement<'t> {
    /// The form.
    pub form: &'static Form,
    /// Its block.
    pub block: Option<&'t Block>,
    /// The `///` comment above its line.
    pub doc: Option<SmolStr>,
    /// From its first atom to the end of its block.
    pub span: Span,
    /// Where it says it comes from; also when said at the end of its line.
    pub per: Option<At<&'t Path>>,
    /// The reason given.
    pub because: Option<At<SmolStr>>,
    pub(super) slots: Vec<(&'static str, Slot<'t>)>,
    /// The options that are there, one bit each, in the order of the form.
    pub(super) present: u64,
}

/// A value of a list, with a source of its own where it names one.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueItem<'t> {
    /// The value.
    pub atom: &'t Atom,
    /// Its own `per`.
    pub per: Option<At<&'t Path>>,
}

/// One thing that a kind asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedItem {
    /// `face`, `plug`, `port`, `mount`, `link`, `opening`, `signal`, `chain`; none for a measure.
    pub class: Option<Name>,
    /// Its name.
    pub name: At<Name>,
    /// Its display name.
    pub title: Option<SmolStr>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Slot<'t> {
    Word(At<Name>),
    Names(Vec<At<Name>>),
    Path(At<&'t Path>),
    Paths(Vec<At<&'t Path>>),
    Text(At<SmolStr>),
    Figure(At<&'t Figure>),
    Date(At<Date>),
    Value(&'t Atom),
    Values(Vec<ValueItem<'t>>),
    Expr(Expr),
    Asked(Vec<AskedItem>),
    Any(At<String>),
}

impl<'t> Statement<'t> {
    fn slot(&self, name: &str) -> Option<&Slot<'t>> {
        self.slots.iter().find(|(it, _)| *it == name).map(|(_, slot)| slot)
    }

    /// The word in a slot.
    pub fn word(&self, name: &str) -> Option<At<Name>> {
        match self.slot(name)? {
            Slot::Word(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// The words in a list slot.
    pub fn names(&self, name: &str) -> Vec<At<Name>> {
        match self.slot(name) {
            Some(Slot::Names(all)) => all.clone(),
            Some(Slot::Word(one)) => vec![one.clone()],
            _ => Vec::new(),
        }
    }

    /// The path in a slot.
    pub fn path(&self, name: &str) -> Option<At<&'t Path>> {
        match self.slot(name)? {
            Slot::Path(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// The paths in a list slot.
    pub fn paths(&self, name: &str) -> Vec<At<&'t Path>> {
        match self.slot(name) {
            Some(Slot::Paths(all)) => all.clone(),
            Some(Slot::Path(one)) => vec![one.clone()],
            _ => Vec::new(),
        }
    }

    /// The text in a slot.
    pub fn text(&self, name: &str) -> Option<At<SmolStr>> {
        match self.slot(name)? {
            Slot::Text(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// The figure in a slot.
    pub fn figure(&self, name: &str) -> Option<At<&'t Figure>> {
        match self.slot(name)? {
            Slot::Figure(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// The date in a slot.
    pub fn date(&self, name: &str) -> Option<At<Date>> {
        match self.slot(name)? {
            Slot::Date(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// The value in a slot.
    pub fn value(&self, name: &str) -> Option<&'t Atom> {
        match self.slot(name)? {
            Slot::Value(it) => Some(it),
            _ => None,
        }
    }

    /// The values in a list slot.
    pub fn values(&self, name: &str) -> Vec<ValueItem<'t>> {
        match self.slot(name) {
            Some(Slot::Values(all)) => all.clone(),
            Some(Slot::Value(one)) => vec![ValueItem { atom: one, per: None }],
            _ => Vec::new(),
        }
    }

    /// The condition in a slot.
    pub fn expr(&self, name: &str) -> Option<&Expr> {
        match self.slot(name)? {
            Slot::Expr(it) => Some(it),
            _ => None,
        }
    }

    /// What is asked in a slot.
    pub fn asked(&self, name: &str) -> Vec<AskedItem> {
        match self.slot(name) {
            Some(Slot::Asked(all)) => all.clone(),
            _ => Vec::new(),
        }
    }

    /// The words in a free slot, joined by blanks.
    pub fn rest(&self, name: &str) -> String {
        match self.slot(name) {
            Some(Slot::Any(it)) => it.value.clone(),
            _ => String::new(),
        }
    }

    /// Whether an option of only fixed words is there: `male`, `both sides`.
    pub fn flag(&self, words: &str) -> bool {
        self.form.options.iter().enumerate().any(|(nth, option)| {
            let fixed = option.iter().map(|it| match it {
                Piece::Word(word) => Some(*word),
                Piece::Slot(..) => None,
            });
            self.present & (1 << nth) != 0 && fixed.eq(words.split(' ').map(Some))
        })
    }

    /// Where what fills a slot stands.
    pub fn slot_span(&self, name: &str) -> Option<Span> {
        fn of<T>(all: &[T], span: impl Fn(&T) -> Span) -> Option<Span> {
            Some(span(all.first()?).to(span(all.last()?)))
        }
        Some(match self.slot(name)? {
            Slot::Word(it) => it.span,
            Slot::Names(all) => of(all, |it| it.span)?,
            Slot::Path(it) => it.span,
            Slot::Paths(all) => of(all, |it| it.span)?,
            Slot::Text(it) => it.span,
            Slot::Figure(it) => it.span,
            Slot::Date(it) => it.span,
            Slot::Value(it) => it.span,
            Slot::Values(all) => of(all, |it| it.atom.span)?,
            Slot::Expr(it) => it.span,
            Slot::Asked(all) => of(all, |it| it.name.span)?,
            Slot::Any(it) => it.span,
        })
    }

    /// The slots that are filled, in the order they were written, with where they stand.
    pub fn slots(&self) -> impl Iterator<Item = (&'static str, Span)> + '_ {
        self.slots.iter().filter_map(|(name, _)| Some((*name, self.slot_span(name)?)))
    }
}
