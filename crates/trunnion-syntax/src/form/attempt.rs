//! Tries a form at some place of a line.

use smol_str::SmolStr;

use crate::form::statement::Slot;
use crate::form::{Form, Piece, SlotType};
use crate::tree::{At, Atom, AtomKind, Block, Figure, Measure, Name, Path, Span, SyntaxError};
use crate::unit;

/// What stands in a line, one after the other.
#[derive(Clone, Copy)]
pub(super) enum Bit<'t> {
    Atom(&'t Atom),
    Comma,
    Block(&'t Block),
}

impl Bit<'_> {
    /// Where it stands; a comma has no place of its own.
    pub fn span(&self) -> Option<Span> {
        match self {
            Bit::Atom(atom) => Some(atom.span),
            Bit::Block(block) => Some(block.span),
            Bit::Comma => None,
        }
    }

    /// Its word, where it is one.
    pub fn word(&self) -> Option<At<Name>> {
        match self {
            Bit::Atom(atom) => word_of(atom),
            _ => None,
        }
    }

    /// Whether it is this word.
    pub fn is(&self, word: &str) -> bool {
        match self {
            Bit::Atom(atom) => is_word(atom, word),
            _ => false,
        }
    }
}

/// The word that an atom is. `M12` is a thread, and yet may stand where any word may.
pub(super) fn word_of(atom: &Atom) -> Option<At<Name>> {
    match &atom.kind {
        AtomKind::Path(path) => path.word().map(|it| At { value: it.clone(), span: atom.span }),
        AtomKind::Thread(it) if !it.contains(' ') => Some(At { value: it.clone(), span: atom.span }),
        _ => None,
    }
}

fn is_word(atom: &Atom, word: &str) -> bool {
    matches!(&atom.kind, AtomKind::Path(path) if path.word().is_some_and(|it| it == word))
}

/// The path that an atom is.
pub(super) fn path_of(atom: &Atom) -> Option<At<&Path>> {
    match &atom.kind {
        AtomKind::Path(it) => Some(At { value: it, span: atom.span }),
        _ => None,
    }
}

/// Whether an atom can be a value.
pub(super) fn is_value(atom: &Atom) -> bool {
    !matches!(atom.kind, AtomKind::Op(_) | AtomKind::Group(_))
}

/// A form tried at some place.
pub(super) struct Tried<'b, 't> {
    pub form: &'static Form,
    /// All forms of its context.
    pub forms: &'static [Form],
    pub bits: &'b [Bit<'t>],
    pub slots: Vec<(&'static str, Slot<'t>)>,
    /// The options that are there, one bit each.
    pub used: u64,
    pub per: Option<At<&'t Path>>,
    pub because: Option<At<SmolStr>>,
    pub block: Option<&'t Block>,
    /// Past what it takes.
    pub end: usize,
    /// What the first part still wants; none when it is complete.
    pub wants: Option<Piece>,
    pub errors: Vec<SyntaxError>,
}

/// Takes as much as the form can.
pub(super) fn attempt<'b, 't>(
    form: &'static Form,
    forms: &'static [Form],
    bits: &'b [Bit<'t>],
    at: usize,
) -> Tried<'b, 't> {
    let mut tried = Tried {
        form,
        forms,
        bits,
        slots: Vec::new(),
        used: 0,
        per: None,
        because: None,
        block: None,
        end: at,
        wants: None,
        errors: Vec::new(),
    };
    for (nth, piece) in form.head.iter().enumerate() {
        let next = form.head.get(nth + 1);
        while !tried.piece(*piece, next) {
            // What may be left out may also stand before a later part: `source a "title" measured`.
            if nth == 0 || !tried.any_option(false) {
                tried.wants = Some(*piece);
                return tried;
            }
        }
    }
    loop {
        let comma = matches!(bits.get(tried.end), Some(Bit::Comma));
        if !tried.source(comma) && !tried.any_option(comma) {
            break;
        }
    }
    if let (Some(Bit::Block(block)), Some(_)) = (bits.get(tried.end), form.block) {
        tried.block = Some(block);
        tried.end += 1;
        while tried.source(false) {}
    }
    tried
}

/// Whether an option can be told apart from a new statement after a comma.
pub(super) fn led_by_word(option: &[Piece]) -> bool {
    matches!(option, [Piece::Word(_), ..] | [Piece::Slot(_, SlotType::Fig), Piece::Word(_)])
}

impl<'t> Tried<'_, 't> {
    pub(super) fn atom(&self) -> Option<&'t Atom> {
        match self.bits.get(self.end)? {
            Bit::Atom(atom) => Some(atom),
            _ => None,
        }
    }

    /// Whether a word leads an option of this form, or a source or reason.
    pub(super) fn leads_option(&self, word: &str) -> bool {
        word == "per" || word == "because" || self.form.option_words().any(|it| word == it)
    }

    /// `per SOURCE` and `because "…"`, which every statement may end with.
    pub(super) fn source(&mut self, comma: bool) -> bool {
        let start = self.end + usize::from(comma);
        let (Some(word), Some(Bit::Atom(next))) = (self.bits.get(start), self.bits.get(start + 1)) else {
            return false;
        };
        match &next.kind {
            AtomKind::Path(path) if self.per.is_none() && word.is("per") => {
                self.per = Some(At { value: path, span: next.span });
            }
            AtomKind::Text(text) if self.because.is_none() && word.is("because") => {
                self.because = Some(At { value: text.clone(), span: next.span });
            }
            _ => return false,
        }
        self.end = start + 2;
        true
    }

    /// Takes the first unused option that fits here.
    pub(super) fn any_option(&mut self, comma: bool) -> bool {
        let form = self.form;
        for (nth, option) in form.options.iter().enumerate() {
            let free = self.used & (1 << nth) == 0 && (!comma || led_by_word(option));
            if free && self.option(option, comma) {
                self.used |= 1 << nth;
                return true;
            }
        }
        false
    }

    fn option(&mut self, option: &'static [Piece], comma: bool) -> bool {
        let (end, slots, errors) = (self.end, self.slots.len(), self.errors.len());
        self.end += usize::from(comma);
        let whole = self.may_take(option)
            && option.iter().enumerate().all(|(nth, piece)| self.piece(*piece, option.get(nth + 1)));
        if !whole {
            self.end = end;
            self.slots.truncate(slots);
            self.errors.truncate(errors);
        }
        whole
    }

    /// A bare word that leads another option, or a source, is not this option's.
    fn may_take(&self, option: &[Piece]) -> bool {
        let [Piece::Slot(_, ty)] = option else { return true };
        let wordy = matches!(
            ty,
            SlotType::Word
                | SlotType::Name
                | SlotType::Ref
                | SlotType::Val
                | SlotType::Role
                | SlotType::Words
        );
        let leads = |atom: &Atom| {
            path_of(atom).and_then(|it| it.value.word()).is_some_and(|it| self.leads_option(it))
        };
        !(wordy && self.atom().is_some_and(leads))
    }

    pub(super) fn piece(&mut self, piece: Piece, next: Option<&Piece>) -> bool {
        match piece {
            Piece::Word(word) => {
                let is = self.bits.get(self.end).is_some_and(|it| it.is(word));
                self.end += usize::from(is);
                is
            }
            Piece::Slot(name, ty) => match self.slot(ty, next) {
                Some(slot) => {
                    self.slots.push((name, slot));
                    true
                }
                None => false,
            },
        }
    }

    fn slot(&mut self, ty: SlotType, next: Option<&Piece>) -> Option<Slot<'t>> {
        let atom = self.atom()?;
        let span = atom.span;
        let (slot, taken) = match ty {
            // A thread is no name: where it is used, it could not be told from one.
            SlotType::Name => (Slot::Word(path_of(atom).and_then(|_| word_of(atom))?), 1),
            SlotType::Word | SlotType::Role => (Slot::Word(word_of(atom)?), 1),
            SlotType::Standing | SlotType::Flag => {
                let word = word_of(atom).filter(|it| ty.vocabulary().contains(&it.value.as_str()))?;
                (Slot::Word(word), 1)
            }
            SlotType::Colour => (Slot::Word(word_of(atom).filter(|it| is_colour(&it.value))?), 1),
            SlotType::Gate | SlotType::Bound => self.phrase(ty)?,
            SlotType::Unit => self.unit()?,
            SlotType::Ref => (Slot::Path(path_of(atom)?), 1),
            SlotType::Path => {
                let it = path_of(atom)?;
                (it.value.parts.len() > 1 || it.value.index.is_some()).then_some(())?;
                (Slot::Path(it), 1)
            }
            SlotType::Val => (is_value(atom).then_some(Slot::Value(atom))?, 1),
            SlotType::Vals => return self.values(),
            SlotType::Words => return self.words(next),
            SlotType::Names => return self.names(),
            SlotType::Refs => return self.refs(),
            SlotType::Asked => return self.asked(),
            SlotType::Expr => return self.expr(),
            SlotType::Any => return self.any(),
            SlotType::Text
            | SlotType::Fig
            | SlotType::Num
            | SlotType::Date
            | SlotType::Thread
            | SlotType::Tyre => {
                let slot = match (ty, &atom.kind) {
                    (SlotType::Text, AtomKind::Text(it)) => Slot::Text(At { value: it.clone(), span }),
                    (SlotType::Fig, AtomKind::Figure(it))
                    | (SlotType::Num, AtomKind::Figure(it @ Figure::Exact(Measure { unit: None, .. }))) => {
                        Slot::Figure(At { value: it, span })
                    }
                    (SlotType::Date, AtomKind::Date(it)) => Slot::Date(At { value: *it, span }),
                    (SlotType::Thread, AtomKind::Thread(_) | AtomKind::Text(_))
                    | (SlotType::Tyre, AtomKind::Tyre(_) | AtomKind::Text(_)) => Slot::Value(atom),
                    _ => return None,
                };
                (slot, 1)
            }
        };
        self.end += taken;
        Some(slot)
    }

    /// One of a closed set of phrases of one word or two.
    fn phrase(&self, ty: SlotType) -> Option<(Slot<'t>, usize)> {
        ty.vocabulary().iter().find_map(|phrase| {
            let mut at = self.end;
            for word in phrase.split(' ') {
                self.bits.get(at).filter(|it| it.is(word))?;
                at += 1;
            }
            let span = self.bits[self.end..at].iter().filter_map(Bit::span).reduce(Span::to)?;
            Some((Slot::Word(At { value: (*phrase).into(), span }), at - self.end))
        })
    }

    fn unit(&self) -> Option<(Slot<'t>, usize)> {
        let first = word_of(self.atom()?)?;
        if let Some(second) = self.bits.get(self.end + 1).and_then(Bit::word)
            && unit::is_pair(&first.value, &second.value)
        {
            let value = format!("{} {}", first.value, second.value).into();
            return Some((Slot::Word(At { value, span: first.span.to(second.span) }), 2));
        }
        unit::is_unit(&first.value).then_some((Slot::Word(first), 1))
    }
}

/// Wire colours by the letters of IEC 60757, two with a stroke between.
pub(super) fn is_colour(word: &str) -> bool {
    word.split('/').all(|it| SlotType::Colour.vocabulary().contains(&it))
}
