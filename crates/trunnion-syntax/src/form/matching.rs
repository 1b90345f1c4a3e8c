//! Finds the statements of lines.

use crate::form::attempt::{Bit, Tried, attempt, word_of};
use crate::form::statement::Slot;
use crate::form::{Form, Statement, forms, told};
use crate::tree::{Line, Span, SyntaxError};

/// The statements of some lines. What fits no form is told once and passed over.
///
/// A line may hold several statements with commas between. A source at its end speaks for all of
/// them that name none; a doc comment is the first one's.
pub fn statements<'t>(context: &str, lines: &'t [Line], errors: &mut Vec<SyntaxError>) -> Vec<Statement<'t>> {
    let forms = forms(context);
    let mut statements = Vec::with_capacity(lines.len());
    let mut bits = Vec::new();
    for line in lines {
        bits.clear();
        push_bits(line, &mut bits);
        let first = statements.len();
        let mut at = 0;
        while at < bits.len() {
            if matches!(bits[at], Bit::Comma) {
                at += 1;
                continue;
            }
            let (statement, next) = one(context, forms, &bits, at, errors);
            statements.extend(statement);
            at = next.max(at + 1);
        }
        let own = &mut statements[first..];
        if let Some(leading) = own.first_mut() {
            leading.doc = line.doc.clone();
        }
        if let Some(per) = own.last().and_then(|it| it.per.clone()) {
            for statement in own.iter_mut().filter(|it| it.per.is_none()) {
                statement.per = Some(per.clone());
            }
        }
    }
    statements
}

/// What stands in a line, one after the other.
pub(super) fn push_bits<'t>(line: &'t Line, bits: &mut Vec<Bit<'t>>) {
    for (nth, clause) in line.clauses.iter().enumerate() {
        // Commas with nothing between have been told.
        if nth > 0 && clause.atoms.is_empty() && clause.block.is_none() {
            continue;
        }
        if nth > 0 {
            bits.push(Bit::Comma);
        }
        bits.extend(clause.atoms.iter().map(Bit::Atom));
        bits.extend(clause.block.as_ref().map(Bit::Block));
    }
}

/// The statement at a place, and where the next one begins.
pub(super) fn one<'t>(
    context: &str,
    forms: &'static [Form],
    bits: &[Bit<'t>],
    at: usize,
    errors: &mut Vec<SyntaxError>,
) -> (Option<Statement<'t>>, usize) {
    let lead = match bits[at] {
        Bit::Atom(atom) => word_of(atom),
        _ => None,
    };
    let mut best: Option<Tried<'_, 't>> = None;
    for form in forms {
        if form.lead().is_some_and(|it| lead.as_ref().is_none_or(|lead| lead.value != it)) {
            continue;
        }
        let tried = attempt(form, forms, bits, at);
        if tried.wants.is_none() && ends(bits, tried.end) && tried.errors.is_empty() {
            return match best.take_if(|best| form.lead().is_none() && is_meant(best, &tried, at)) {
                Some(led) => finish(led, at, errors),
                None => finish(tried, at, errors),
            };
        }
        // A form that begins with a fixed word says more about what was meant.
        let rank = |it: &Tried<'_, '_>| (it.form.lead().is_some(), it.wants.is_none(), it.end);
        if best.as_ref().is_none_or(|best| rank(&tried) > rank(best)) {
            best = Some(tried);
        }
    }
    match best {
        Some(tried) if tried.form.lead().is_some() || tried.wants.is_none() => finish(tried, at, errors),
        best => {
            let end = skip(bits, at);
            let nearly = best.filter(|it| it.end > at).map(|it| it.form);
            errors.push(told::strange(context, forms, &bits[at..end], lead, nearly));
            (None, end)
        }
    }
}

/// Whether a form with a fixed leading word was meant rather than a fact that begins with that
/// word: a word of it is misspelt, part of what may follow is there, or the fact's value would
/// be a bare word. `fitted fron 2013-08` is no fact, though `software number 12` is one.
fn is_meant(led: &Tried<'_, '_>, fact: &Tried<'_, '_>, at: usize) -> bool {
    let bare = match fact.slots.last() {
        Some((_, Slot::Values(all))) => {
            all.first().and_then(|it| word_of(it.atom)).is_some_and(|it| it.value != "none")
        }
        _ => false,
    };
    let misspelt = || problem(led, at).is_some_and(|it| it.mend.is_some());
    led.form.lead().is_some() && (bare || led.used != 0 || misspelt())
}

/// What keeps a form from fitting, other than what is already told in it.
fn problem(tried: &Tried<'_, '_>, at: usize) -> Option<SyntaxError> {
    let (bits, end) = (tried.bits, tried.end);
    match tried.wants {
        _ if !tried.errors.is_empty() => None,
        Some(wanted) => Some(told::missing(tried, wanted, &bits[at..end], bits.get(end))),
        None if ends(bits, end) => None,
        None => Some(told::rest(tried, &bits[end..skip(bits, end)])),
    }
}

/// Whether a statement may end there.
fn ends(bits: &[Bit<'_>], at: usize) -> bool {
    matches!(bits.get(at), None | Some(Bit::Comma))
        || matches!(bits.get(at.wrapping_sub(1)), Some(Bit::Block(_)))
}

/// Past everything up to the next comma, a block included.
fn skip(bits: &[Bit<'_>], at: usize) -> usize {
    let rest = bits[at..].iter().position(|it| matches!(it, Bit::Comma));
    rest.map_or(bits.len(), |it| at + it)
}

fn finish<'t>(
    tried: Tried<'_, 't>,
    at: usize,
    errors: &mut Vec<SyntaxError>,
) -> (Option<Statement<'t>>, usize) {
    let bits = tried.bits;
    errors.extend(problem(&tried, at));
    errors.extend(tried.errors.iter().cloned());
    if tried.wants.is_some() {
        return (None, skip(bits, tried.end));
    }
    let span = bits[at..tried.end].iter().filter_map(Bit::span).reduce(Span::to).unwrap_or_default();
    let end = if ends(bits, tried.end) { tried.end } else { skip(bits, tried.end) };
    let statement = Statement {
        form: tried.form,
        block: tried.block,
        doc: None,
        span,
        per: tried.per,
        because: tried.because,
        slots: tried.slots,
        present: tried.used,
    };
    (Some(statement), end)
}
