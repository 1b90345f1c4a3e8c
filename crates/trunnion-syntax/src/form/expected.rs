//! What may come next, for completion.

use crate::form::attempt::{Bit, Tried, attempt, led_by_word};
use crate::form::matching::{one, push_bits};
use crate::form::{Form, Piece, SlotType, forms};
use crate::parse::parse;

/// Something that may come next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Expected {
    /// The word or the value.
    pub piece: Piece,
    /// The form it belongs to.
    pub form: &'static Form,
}

/// What may come next in a context after `before`: the line up to the word that is being typed,
/// that word left out, from its first statement on. Each piece is given once, in the order of the
/// table; what goes on with the statement comes before what begins a new one.
pub fn expected(context: &str, before: &str) -> Vec<Expected> {
    let forms = forms(context);
    let tree = parse(before);
    let mut bits = Vec::new();
    if let Some(line) = tree.lines.last() {
        push_bits(line, &mut bits);
    }
    let comma = before.trim_end().ends_with(',');
    if comma && !matches!(bits.last(), None | Some(Bit::Comma)) {
        bits.push(Bit::Comma);
    }
    let mut all = Next { all: Vec::new() };
    if let Some(start) = last_start(context, forms, &bits) {
        // A word that leads a form is no fact's.
        let led = |it: &&Form| it.lead().is_some_and(|lead| bits[start].is(lead));
        let any_led = forms.iter().any(|it| led(&it));
        for form in forms.iter().filter(|it| !any_led || led(it)) {
            all.after(&attempt(form, forms, &bits, start));
        }
    }
    if matches!(bits.last(), None | Some(Bit::Comma)) {
        for form in forms {
            all.push(form.head[0], form);
        }
    }
    all.all
}

/// Where the last statement begins.
fn last_start(context: &str, forms: &'static [Form], bits: &[Bit<'_>]) -> Option<usize> {
    let (mut at, mut start) = (0, None);
    while at < bits.len() {
        if matches!(bits[at], Bit::Comma) {
            at += 1;
            continue;
        }
        start = Some(at);
        at = one(context, forms, bits, at, &mut Vec::new()).1.max(at + 1);
    }
    start
}

struct Next {
    all: Vec<Expected>,
}

impl Next {
    fn push(&mut self, piece: Piece, form: &'static Form) {
        if !self.all.iter().any(|it| it.piece == piece) {
            self.all.push(Expected { piece, form });
        }
    }

    /// What may follow what a form has taken.
    fn after(&mut self, tried: &Tried<'_, '_>) {
        let form = tried.form;
        let begun = !tried.slots.is_empty() || tried.wants.is_none() || form.lead().is_some();
        let rest = &tried.bits[tried.end..];
        let comma = matches!(rest, [Bit::Comma]);
        let free =
            form.options.iter().enumerate().filter(|(nth, _)| tried.used & (1 << nth) == 0).map(|it| it.1);
        if !begun || tried.wants == form.head.first().copied() {
            return;
        }
        if rest.is_empty() || comma {
            if let (Some(wanted), false) = (tried.wants, comma) {
                self.push(wanted, form);
            }
            // The list may go on.
            if comma && let Some(listed) = last_list(tried) {
                self.push(listed, form);
            }
            for option in free.filter(|it| !comma || led_by_word(it)) {
                self.push(option[0], form);
            }
            if tried.wants.is_none() {
                self.push(Piece::Word("per"), form);
                self.push(Piece::Word("because"), form);
            }
            return;
        }
        // Something is left over that may be the beginning of an option.
        let rest = if matches!(rest.first(), Some(Bit::Comma)) { &rest[1..] } else { rest };
        for option in free {
            if let Some(piece) = partly(option, rest) {
                self.push(piece, form);
            }
        }
        match rest {
            [only] if only.is("per") => self.push(Piece::Slot("per", SlotType::Ref), form),
            [only] if only.is("because") => self.push(Piece::Slot("because", SlotType::Text), form),
            _ => {}
        }
    }
}

/// The type of the list that was taken last.
fn last_list(tried: &Tried<'_, '_>) -> Option<Piece> {
    let (last, _) = tried.slots.last()?;
    let pieces = tried.form.head.iter().chain(tried.form.options.iter().flatten());
    pieces.copied().find(|it| {
        matches!(it, Piece::Slot(name, SlotType::Refs | SlotType::Names | SlotType::Vals | SlotType::Asked) if name == last)
    })
}

/// The next piece of an option of which the first pieces are there: fixed words and single words.
fn partly(option: &[Piece], rest: &[Bit<'_>]) -> Option<Piece> {
    for (nth, piece) in option.iter().enumerate() {
        match (piece, rest.get(nth)) {
            (piece, None) => return (nth > 0).then_some(*piece),
            (Piece::Word(word), Some(bit)) if bit.is(word) => {}
            (Piece::Slot(..), Some(Bit::Atom(_))) if nth > 0 => {}
            (Piece::Slot(_, SlotType::Fig), Some(Bit::Atom(_))) => {}
            _ => return None,
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn next(context: &str, before: &str) -> Vec<String> {
        let shown = |it: Expected| match it.piece {
            Piece::Word(word) => word.to_owned(),
            Piece::Slot(name, ty) => format!("<{name}:{}>", ty.name()),
        };
        expected(context, before).into_iter().map(shown).collect()
    }

    #[test]
    fn a_line_begins_with_a_leading_word() {
        let file = next("file", "");
        assert!(file.starts_with(&["use".to_owned(), "private".to_owned(), "source".to_owned()]), "{file:?}");
        assert!(next("part", "").contains(&"<fact:words>".to_owned()));
    }

    #[test]
    fn the_first_part_comes_before_what_may_be_left_out() {
        assert_eq!(next("conversion", "take"), ["<count:num>", "<places:refs>"]);
        assert_eq!(next("conversion", "take gearbox"), ["from"]);
        assert_eq!(next("conversion", "take gearbox from"), ["<donor:ref>"]);
        assert_eq!(next("conversion", "take gearbox from breaker"), ["per", "because"]);
    }

    #[test]
    fn options_come_once_each_and_in_their_order() {
        assert_eq!(next("part", "fitted"), ["on", "from", "to", "with", "and", "per", "because"]);
        assert_eq!(next("part", "fitted on Dunlin to 2013-08"), ["from", "with", "and", "per", "because"]);
        assert_eq!(next("part", "fitted on Dunlin to"), ["<to:date>"]);
        assert_eq!(next("part", "fitted with engine"), ["<value:word>"]);
        assert_eq!(next("part", "mass 3 kg per"), ["<per:ref>"]);
    }

    #[test]
    fn after_a_comma_a_list_goes_on_or_a_statement_begins() {
        let next = next("conversion", "take gearbox,");
        assert_eq!(next[0], "<places:refs>");
        assert!(next.contains(&"budget".to_owned()), "{next:?}");
    }
}
