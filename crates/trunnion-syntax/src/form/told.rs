//! What is told where a line fits no form: one sentence, and the mend where one is near.

use crate::form::attempt::{Bit, Tried, is_colour};
use crate::form::{Form, Piece, SlotType, contexts, forms, nearest};
use crate::tree::{At, AtomKind, Mend, Name, Span, SyntaxError};

fn error(name: &'static str, span: Span, message: String) -> SyntaxError {
    SyntaxError { name, message, span, related: None, mend: None }
}

fn write(word: &str, span: Span) -> Mend {
    Mend { title: format!("write {word}"), span, text: word.to_owned() }
}

fn whole(bits: &[Bit<'_>]) -> Span {
    bits.iter().filter_map(Bit::span).reduce(Span::to).unwrap_or_default()
}

/// A piece in the user's words.
fn wanted(piece: Piece) -> String {
    match piece {
        Piece::Word(word) => format!("`{word}`"),
        Piece::Slot(_, ty) => ty.wanted().to_owned(),
    }
}

/// Words with commas between, and `or` before the last.
fn either(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
    }
}

/// The first part of a form is not complete.
pub(super) fn missing(
    tried: &Tried<'_, '_>,
    piece: Piece,
    before: &[Bit<'_>],
    found: Option<&Bit<'_>>,
) -> SyntaxError {
    let after = whole(before);
    let place = found.and_then(Bit::span);
    let mut message = format!("Here {} is wanted: `{}`.", wanted(piece), tried.form.readable());
    if let Some(Bit::Atom(atom)) = found
        && let AtomKind::Thread(thread) = &atom.kind
    {
        message = format!("`{thread}` reads as a thread; here {} is wanted.", wanted(piece));
    }
    let mut told = error("write/missing", place.unwrap_or(Span::new(after.end, after.end)), message);
    if let (Piece::Word(word), Some(found)) = (piece, found.and_then(Bit::word))
        && nearest_short(&found.value, word)
    {
        told.mend = Some(write(word, found.span));
    }
    told
}

/// Whether a word of the form was meant; these are short, so one wrong letter is near for two.
fn nearest_short(found: &str, word: &str) -> bool {
    nearest(found, [word]).is_some()
        || found.to_lowercase() == word
        || found.len() == 3 && found.starts_with(word)
}

/// The form is complete, and something is left over.
pub(super) fn rest(tried: &Tried<'_, '_>, left: &[Bit<'_>]) -> SyntaxError {
    let span = whole(left);
    let head = tried.form.readable();
    let Some(Bit::Atom(_)) = left.first() else {
        return error("write/rest", span, format!("No block belongs to `{head}`."));
    };
    let free = |nth: &usize| tried.used & (1 << nth) == 0;
    let options: Vec<&Vec<Piece>> =
        tried.form.options.iter().enumerate().filter(|(nth, _)| free(nth)).map(|it| it.1).collect();
    let mut may: Vec<&str> = options
        .iter()
        .filter_map(|it| match it.first() {
            Some(Piece::Word(word)) => Some(*word),
            _ => None,
        })
        .collect();
    may.extend(tried.per.is_none().then_some("per"));
    may.extend(tried.because.is_none().then_some("because"));
    let mut shown: Vec<String> = options.iter().filter_map(|it| it.first()).map(|it| wanted(*it)).collect();
    shown.extend(may.iter().filter(|it| matches!(**it, "per" | "because")).map(|it| format!("`{it}`")));
    let mut seen = std::collections::BTreeSet::new();
    shown.retain(|it| seen.insert(it.clone()));
    let message = format!("This does not belong here; after `{head}` may follow {}.", either(&shown));
    let mut told = error("write/rest", span, message);
    if let Some(found) = left[0].word() {
        let colour = found.value.to_uppercase();
        let takes_colour =
            options.iter().any(|it| matches!(it.as_slice(), [Piece::Slot(_, SlotType::Colour)]));
        if takes_colour && is_colour(&colour) {
            told.mend = Some(write(&colour, found.span));
        } else if let Some(near) = nearest(&found.value, may) {
            told.mend = Some(write(near, found.span));
        }
    }
    told
}

/// No form begins so.
pub(super) fn strange(
    context: &str,
    known: &'static [Form],
    bits: &[Bit<'_>],
    lead: Option<At<Name>>,
    nearly: Option<&'static Form>,
) -> SyntaxError {
    let Some(lead) = lead else {
        if let Some(told) = nearly.and_then(|it| verb(known, it, bits)) {
            return told;
        }
        let message = match here(known) {
            may if may.is_empty() => "A statement begins with a word.".to_owned(),
            may => format!("This begins no statement{may}."),
        };
        return error("write/statement", whole(bits), message);
    };
    let mut words: Vec<&str> = known.iter().filter_map(Form::lead).collect();
    if known.iter().any(|it| matches!(it.head.as_slice(), [Piece::Slot(_, SlotType::Flag)])) {
        words.extend(SlotType::Flag.vocabulary());
    }
    let near = nearest(&lead.value, words);
    let elsewhere: Vec<&str> = contexts()
        .filter(|it| *it != context && forms(it).iter().any(|it| it.lead() == Some(lead.value.as_str())))
        .collect();
    let word = &lead.value;
    let message = match near {
        Some(near) => format!("No statement begins with `{word}`; `{near}` does."),
        None if !elsewhere.is_empty() => {
            format!("`{word}` does not stand here, but {}.", either(&places(&elsewhere)))
        }
        None if takes_facts(known) => {
            format!("`{word}` leads no statement here and names no fact with a value: `{word} 12 mm`.")
        }
        None => format!("No statement begins with `{word}`{}.", here(known)),
    };
    let mut told = error("write/statement", lead.span, message);
    told.mend = near.map(|it| write(it, lead.span));
    told
}

/// The word that says what a line is about stands second: `2026-03-05 done …`.
fn verb(known: &[Form], nearly: &Form, bits: &[Bit<'_>]) -> Option<SyntaxError> {
    let first = nearly.head.first()?;
    let second = |it: &Form| match it.head.as_slice() {
        [Piece::Slot(_, ty), Piece::Word(word), ..] if matches!(first, Piece::Slot(_, first) if ty == first) => {
            Some(*word)
        }
        _ => None,
    };
    let mut words: Vec<&str> = known.iter().filter_map(second).collect();
    words.dedup();
    let shown: Vec<String> = words.iter().map(|it| format!("`{it}`")).collect();
    if shown.is_empty() {
        return None;
    }
    let found = bits.get(1);
    let start = bits.first().and_then(Bit::span)?;
    let place = found.and_then(Bit::span).unwrap_or(Span::new(start.end, start.end));
    let mut told = error("write/missing", place, format!("Here {} is wanted.", either(&shown)));
    if let Some(found) = found.and_then(Bit::word) {
        told.mend = nearest(&found.value, words).map(|it| write(it, found.span));
    }
    Some(told)
}

/// Whether any words with a value may stand here.
fn takes_facts(known: &[Form]) -> bool {
    known.iter().any(|it| matches!(it.head.as_slice(), [Piece::Slot(_, SlotType::Words), ..]))
}

/// What may stand here, in the user's words; nothing where that is more than a sentence holds.
fn here(known: &[Form]) -> String {
    let mut words: Vec<String> = Vec::new();
    for form in known {
        let word = match form.head.first() {
            Some(Piece::Slot(_, SlotType::Words)) => "a fact with its value".to_owned(),
            Some(piece) => wanted(*piece),
            None => continue,
        };
        if !words.contains(&word) {
            words.push(word);
        }
    }
    if words.len() > 8 { String::new() } else { format!("; here may stand {}", either(&words)) }
}

/// Contexts by what has them as its block: `inside a part`.
fn places(elsewhere: &[&str]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for context in elsewhere {
        if *context == "file" {
            all.push("at the top of a file".to_owned());
            continue;
        }
        let owners =
            contexts().flat_map(forms).filter(|it| it.block == Some(*context)).filter_map(Form::lead);
        for owner in owners.take(2) {
            let place = format!("inside a {owner}");
            if !all.contains(&place) && all.len() < 4 {
                all.push(place);
            }
        }
    }
    all
}
