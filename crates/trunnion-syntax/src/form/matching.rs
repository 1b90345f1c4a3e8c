//! Matches lines against forms.

use smol_str::SmolStr;

use crate::expr;
use crate::form::statement::Slot;
use crate::form::{AskedItem, Form, Piece, SlotType, Statement, ValueItem, contexts, forms};
use crate::tree::{At, Atom, AtomKind, Block, Figure, Line, Measure, Mend, Name, Path, Span, SyntaxError};
use crate::unit;

/// What stands in a line, one after the other.
#[derive(Clone, Copy)]
enum Bit<'t> {
    Atom(&'t Atom),
    Comma,
    Block(&'t Block),
}

/// The statements of some lines. What fits no form is told once and passed over.
pub fn statements<'t>(
    context: &str,
    lines: &'t [Line],
    errors: &mut Vec<SyntaxError>,
) -> Vec<Statement<'t>> {
    let forms = forms(context);
    let mut statements = Vec::with_capacity(lines.len());
    let mut bits = Vec::new();
    for line in lines {
        bits.clear();
        for (nth, clause) in line.clauses.iter().enumerate() {
            if nth > 0 {
                bits.push(Bit::Comma);
            }
            bits.extend(clause.atoms.iter().map(Bit::Atom));
            bits.extend(clause.block.as_ref().map(Bit::Block));
        }
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
        if let Some(doc) = &line.doc
            && let Some(leading) = own.first_mut()
        {
            leading.doc = Some(doc.clone());
        }
        // A source named at the end of the line speaks for the whole line.
        if let Some(per) = own.last().and_then(|it| it.per.clone()) {
            for statement in own.iter_mut().filter(|it| it.per.is_none()) {
                statement.per = Some(per.clone());
            }
        }
    }
    statements
}

/// A form tried at some place.
struct Tried<'t> {
    form: &'static Form,
    slots: Vec<(&'static str, Slot<'t>)>,
    flags: Vec<String>,
    per: Option<At<&'t Path>>,
    because: Option<At<SmolStr>>,
    block: Option<&'t Block>,
    end: usize,
    /// What the head still wants; none when it is complete.
    wants: Option<Piece>,
    errors: Vec<SyntaxError>,
}

fn one<'t>(
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
    let mut best: Option<Tried<'t>> = None;
    for form in forms {
        if form.lead().is_some_and(|it| lead.as_ref().is_none_or(|lead| lead.value != it)) {
            continue;
        }
        let tried = attempt(form, bits, at);
        let clean = tried.wants.is_none() && ends(bits, tried.end) && tried.errors.is_empty();
        if clean {
            return finish(tried, bits, at, errors);
        }
        // A form that begins with a fixed word says more about what was meant.
        let rank = |it: &Tried<'_>| (it.form.lead().is_some(), it.wants.is_none(), it.end);
        if best.as_ref().is_none_or(|best| rank(&tried) > rank(best)) {
            best = Some(tried);
        }
    }
    match best {
        Some(tried) if tried.form.lead().is_some() || tried.wants.is_none() => {
            finish(tried, bits, at, errors)
        }
        _ => {
            let end = skip(bits, at);
            errors.push(strange(context, forms, bits, at, lead));
            (None, end)
        }
    }
}

/// Whether a statement may end there.
fn ends(bits: &[Bit<'_>], at: usize) -> bool {
    matches!(bits.get(at), None | Some(Bit::Comma)) || matches!(bits.get(at.wrapping_sub(1)), Some(Bit::Block(_)))
}

/// Past everything up to the next comma, a block included.
fn skip(bits: &[Bit<'_>], at: usize) -> usize {
    let rest = bits[at..].iter().position(|it| matches!(it, Bit::Comma));
    rest.map_or(bits.len(), |it| at + it)
}

fn span_of(bit: Bit<'_>) -> Option<Span> {
    match bit {
        Bit::Atom(atom) => Some(atom.span),
        Bit::Block(block) => Some(block.span),
        Bit::Comma => None,
    }
}

fn finish<'t>(
    tried: Tried<'t>,
    bits: &[Bit<'t>],
    at: usize,
    errors: &mut Vec<SyntaxError>,
) -> (Option<Statement<'t>>, usize) {
    let mut end = tried.end;
    let stated = bits[at..end].iter().copied().filter_map(span_of);
    let span = stated.reduce(Span::to).unwrap_or_default();
    errors.extend(tried.errors.iter().cloned());
    if let Some(wanted) = tried.wants {
        let rest = &bits[end.min(bits.len())..];
        let found = rest.first().copied().and_then(span_of);
        let after = Span::new(span.end, span.end);
        let what = match wanted {
            Piece::Word(word) => format!("`{word}`"),
            Piece::Slot(_, ty) => ty.wanted().to_owned(),
        };
        errors.push(SyntaxError {
            name: "write/missing",
            message: format!("Here {what} is wanted: `{}`.", readable(tried.form)),
            span: found.unwrap_or(if span == Span::default() { after } else { span }),
            related: None,
            mend: None,
        });
        return (None, skip(bits, at));
    }
    if !ends(bits, end) {
        let stop = skip(bits, end);
        let extra = bits[end..stop].iter().copied().filter_map(span_of).reduce(Span::to);
        if tried.errors.is_empty()
            && let Some(extra) = extra
        {
            errors.push(rest_error(&tried, bits[end], extra));
        }
        end = stop;
    }
    let statement = Statement {
        form: tried.form,
        block: tried.block,
        doc: None,
        span,
        per: tried.per,
        because: tried.because,
        slots: tried.slots,
        flags: tried.flags,
    };
    (Some(statement), end)
}

fn rest_error(tried: &Tried<'_>, bit: Bit<'_>, span: Span) -> SyntaxError {
    let mut may: Vec<&str> = tried.form.option_words().collect();
    may.extend(["per", "because"]);
    may.dedup();
    let message = match bit {
        Bit::Block(_) => "No block belongs to this statement.".to_owned(),
        _ => format!("This does not belong here; after what stands before it may follow: {}.", may.join(", ")),
    };
    let mend = match bit {
        Bit::Atom(atom) => word_of(atom).and_then(|word| {
            let near = nearest(&word.value, may.iter().copied())?;
            Some(Mend { title: format!("write `{near}`"), span: word.span, text: near.to_owned() })
        }),
        _ => None,
    };
    SyntaxError { name: "write/rest", message, span, related: None, mend }
}

/// A form as a mechanic would read it, without types.
fn readable(form: &Form) -> String {
    let words = form.head.iter().map(|it| match it {
        Piece::Word(word) => (*word).to_owned(),
        Piece::Slot(name, _) => name.to_uppercase(),
    });
    words.collect::<Vec<_>>().join(" ")
}

fn strange(
    context: &str,
    known: &'static [Form],
    bits: &[Bit<'_>],
    at: usize,
    lead: Option<At<Name>>,
) -> SyntaxError {
    let end = skip(bits, at);
    let span = bits[at..end].iter().copied().filter_map(span_of).reduce(Span::to).unwrap_or_default();
    let Some(lead) = lead else {
        return SyntaxError {
            name: "write/statement",
            message: "A statement begins with a word of the trade; this one does not.".to_owned(),
            span,
            related: None,
            mend: None,
        };
    };
    let mut words: Vec<&str> = known.iter().filter_map(Form::lead).collect();
    words.dedup();
    let near = nearest(&lead.value, words.iter().copied());
    let elsewhere: Vec<&str> =
        contexts().filter(|it| forms(it).iter().any(|it| it.lead() == Some(lead.value.as_str()))).collect();
    let message = if near.is_none() && !elsewhere.is_empty() {
        format!("`{}` does not stand here but in: {}.", lead.value, elsewhere.join(", "))
    } else if context == "file" {
        format!("No statement begins with `{}`.", lead.value)
    } else {
        format!("No statement in a {context} begins with `{}`, and it is no fact with a value.", lead.value)
    };
    let mend = near.map(|near| Mend {
        title: format!("write `{near}`"),
        span: lead.span,
        text: near.to_owned(),
    });
    SyntaxError { name: "write/statement", message, span: lead.span, related: None, mend }
}

/// The nearest of some words: one letter wrong, missing, too many, or two swapped.
fn nearest<'a>(word: &str, words: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let letters: Vec<char> = word.chars().collect();
    words.into_iter().find(|it| {
        let other: Vec<char> = it.chars().collect();
        if letters.len() < 3 || *it == word {
            return false;
        }
        let front = letters.iter().zip(&other).take_while(|(a, b)| a == b).count();
        let back = |skip_a: usize, skip_b: usize| {
            letters.get(front + skip_a..).is_some() && letters.get(front + skip_a..) == other.get(front + skip_b..)
        };
        let swapped = letters.len() > front + 1
            && other.len() > front + 1
            && letters[front] == other[front + 1]
            && letters[front + 1] == other[front]
            && back(2, 2);
        back(1, 1) || back(1, 0) || back(0, 1) || swapped
    })
}

fn word_of(atom: &Atom) -> Option<At<Name>> {
    match &atom.kind {
        AtomKind::Path(path) => path.word().map(|it| At { value: it.clone(), span: atom.span }),
        AtomKind::Thread(it) if !it.contains(' ') => Some(At { value: it.clone(), span: atom.span }),
        _ => None,
    }
}

fn attempt<'t>(form: &'static Form, bits: &[Bit<'t>], at: usize) -> Tried<'t> {
    let mut tried = Tried {
        form,
        slots: Vec::new(),
        flags: Vec::new(),
        per: None,
        because: None,
        block: None,
        end: at,
        wants: None,
        errors: Vec::new(),
    };
    let mut used = vec![false; form.options.len()];
    for (nth, piece) in form.head.iter().enumerate() {
        let next = form.head.get(nth + 1);
        while !tried.piece(*piece, bits, next) {
            // What may be left out may also stand before a later part: `source a "title" measured`.
            if nth == 0 || !tried.any_option(&mut used, bits, false) {
                tried.wants = Some(*piece);
                return tried;
            }
        }
    }
    loop {
        let comma = matches!(bits.get(tried.end), Some(Bit::Comma));
        if !tried.source(bits, comma) && !tried.any_option(&mut used, bits, comma) {
            break;
        }
    }
    if let (Some(Bit::Block(block)), Some(_)) = (bits.get(tried.end), form.block) {
        tried.block = Some(block);
        tried.end += 1;
        while tried.source(bits, false) {}
    }
    tried
}

/// Whether an option can be told apart from a new statement after a comma.
fn led_by_word(option: &[Piece]) -> bool {
    match option {
        [Piece::Word(_), ..] | [Piece::Slot(_, SlotType::Fig), Piece::Word(_)] => true,
        _ => false,
    }
}

impl<'t> Tried<'t> {
    fn atom(&self, bits: &[Bit<'t>]) -> Option<&'t Atom> {
        match bits.get(self.end)? {
            Bit::Atom(atom) => Some(atom),
            _ => None,
        }
    }

    /// `per SOURCE` and `because "…"`, which every statement may end with.
    fn source(&mut self, bits: &[Bit<'t>], comma: bool) -> bool {
        let start = self.end + usize::from(comma);
        let (Some(Bit::Atom(word)), Some(Bit::Atom(next))) = (bits.get(start), bits.get(start + 1)) else {
            return false;
        };
        match (word_of(word).as_ref().map(|it| it.value.as_str()), &next.kind) {
            (Some("per"), AtomKind::Path(path)) if self.per.is_none() => {
                self.per = Some(At { value: path, span: next.span });
            }
            (Some("because"), AtomKind::Text(text)) if self.because.is_none() => {
                self.because = Some(At { value: text.clone(), span: next.span });
            }
            _ => return false,
        }
        self.end = start + 2;
        true
    }

    /// Takes the first unused option that fits here.
    fn any_option(&mut self, used: &mut [bool], bits: &[Bit<'t>], comma: bool) -> bool {
        let form = self.form;
        let fits = form.options.iter().enumerate().find(|(nth, option)| {
            !used[*nth] && (!comma || led_by_word(option)) && self.option(option, bits, comma)
        });
        match fits {
            Some((nth, _)) => {
                used[nth] = true;
                true
            }
            None => false,
        }
    }

    fn option(&mut self, option: &[Piece], bits: &[Bit<'t>], comma: bool) -> bool {
        let (end, slots, errors) = (self.end, self.slots.len(), self.errors.len());
        self.end += usize::from(comma);
        // A bare word that leads another option, or a source, is not this option's.
        if let ([Piece::Slot(_, ty)], Some(word)) = (option, self.atom(bits).and_then(word_of)) {
            let wordy = matches!(
                ty,
                SlotType::Word | SlotType::Name | SlotType::Ref | SlotType::Val | SlotType::Role | SlotType::Words
            );
            let led = self.form.option_words().any(|it| word.value == it);
            if wordy && (led || word.value == "per" || word.value == "because") {
                self.end = end;
                return false;
            }
        }
        let whole = option.iter().enumerate().all(|(nth, piece)| self.piece(*piece, bits, option.get(nth + 1)));
        if !whole {
            self.end = end;
            self.slots.truncate(slots);
            self.errors.truncate(errors);
            return false;
        }
        let mut words = Vec::new();
        for piece in option {
            match piece {
                Piece::Word(word) => words.push(*word),
                Piece::Slot(..) => return true,
            }
        }
        self.flags.push(words.join(" "));
        true
    }

    fn piece(&mut self, piece: Piece, bits: &[Bit<'t>], next: Option<&Piece>) -> bool {
        match piece {
            Piece::Word(word) => {
                let is = self.atom(bits).and_then(word_of).is_some_and(|it| it.value == word);
                self.end += usize::from(is);
                is
            }
            Piece::Slot(name, ty) => match self.slot(ty, bits, next) {
                Some(slot) => {
                    self.slots.push((name, slot));
                    true
                }
                None => false,
            },
        }
    }

    fn slot(&mut self, ty: SlotType, bits: &[Bit<'t>], next: Option<&Piece>) -> Option<Slot<'t>> {
        let atom = self.atom(bits)?;
        let one = |slot: Slot<'t>| Some((slot, 1));
        let (slot, taken) = match ty {
            SlotType::Name | SlotType::Word | SlotType::Role => one(Slot::Word(word_of(atom)?)),
            SlotType::Standing => one(Slot::Word(among(atom, &["measured", "documented", "reported", "assumed"])?)),
            SlotType::Flag => one(Slot::Word(among(
                atom,
                &["new", "used", "reproduction", "remanufactured", "sealed", "shielded", "twisted"],
            )?)),
            SlotType::Colour => one(Slot::Word(colour(atom)?)),
            SlotType::Unit => return self.unit(bits),
            SlotType::Ref => one(Slot::Path(path(atom)?)),
            SlotType::Path => {
                let it = path(atom)?;
                (it.value.parts.len() > 1 || it.value.index.is_some()).then_some(())?;
                one(Slot::Path(it))
            }
            SlotType::Text => match &atom.kind {
                AtomKind::Text(it) => one(Slot::Text(At { value: it.clone(), span: atom.span })),
                _ => None,
            },
            SlotType::Fig => match &atom.kind {
                AtomKind::Figure(it) => one(Slot::Figure(At { value: it, span: atom.span })),
                _ => None,
            },
            SlotType::Num => match &atom.kind {
                AtomKind::Figure(it @ Figure::Exact(Measure { unit: None, .. })) => {
                    one(Slot::Figure(At { value: it, span: atom.span }))
                }
                _ => None,
            },
            SlotType::Date => match &atom.kind {
                AtomKind::Date(it) => one(Slot::Date(At { value: *it, span: atom.span })),
                _ => None,
            },
            SlotType::Thread => match &atom.kind {
                AtomKind::Thread(_) | AtomKind::Text(_) => one(Slot::Value(atom)),
                _ => None,
            },
            SlotType::Tyre => match &atom.kind {
                AtomKind::Tyre(_) | AtomKind::Text(_) => one(Slot::Value(atom)),
                _ => None,
            },
            SlotType::Val => is_value(atom).then_some((Slot::Value(atom), 1)),
            SlotType::Vals => return self.values(bits),
            SlotType::Words => return self.words(bits, next),
            SlotType::Names => return self.list(bits).map(names),
            SlotType::Refs => return self.list(bits).map(Slot::Paths),
            SlotType::Gate => gate(atom, bits.get(self.end + 1)),
            SlotType::Bound => bound(atom, bits.get(self.end + 1)),
            SlotType::Asked => return self.asked(bits),
            SlotType::Expr => return self.expr(bits),
            SlotType::Any => return self.any(bits),
        }?;
        self.end += taken;
        Some(slot)
    }

    fn unit(&mut self, bits: &[Bit<'t>]) -> Option<Slot<'t>> {
        let first = word_of(self.atom(bits)?)?;
        if let Some(Bit::Atom(next)) = bits.get(self.end + 1)
            && let Some(second) = word_of(next)
            && unit::is_pair(&first.value, &second.value)
        {
            self.end += 2;
            let value = format!("{} {}", first.value, second.value).into();
            return Some(Slot::Word(At { value, span: first.span.to(second.span) }));
        }
        unit::is_unit(&first.value).then_some(())?;
        self.end += 1;
        Some(Slot::Word(first))
    }

    /// Words joined by `_`, up to one that leads an option. Where a value must follow, the
    /// last of several words is left for it.
    fn words(&mut self, bits: &[Bit<'t>], next: Option<&Piece>) -> Option<Slot<'t>> {
        let mut words: Vec<At<Name>> = Vec::new();
        let mut at = self.end;
        while let Some(Bit::Atom(atom)) = bits.get(at) {
            let Some(word) = word_of(atom) else { break };
            let leads = self.form.option_words().any(|it| word.value == it)
                || word.value == "per"
                || word.value == "because"
                || word.value == "none"
                || matches!(next, Some(Piece::Word(it)) if word.value == *it)
                || matches!(next, Some(Piece::Slot(_, SlotType::Bound))
                    if bound(atom, bits.get(at + 1)).is_some());
            if leads && !words.is_empty() {
                break;
            }
            words.push(word);
            at += 1;
        }
        let value_wanted = matches!(next, Some(Piece::Slot(_, SlotType::Vals | SlotType::Val)));
        let value_follows = match bits.get(at) {
            Some(Bit::Atom(atom)) => is_value(atom) && word_of(atom).is_none_or(|it| it.value == "none"),
            _ => false,
        };
        if value_wanted && !value_follows && words.len() > 1 {
            words.pop();
            at -= 1;
        }
        let (first, last) = (words.first()?, words.last()?);
        let span = first.span.to(last.span);
        let value = words.iter().map(|it| it.value.as_str()).collect::<Vec<_>>().join("_").into();
        self.end = at;
        Some(Slot::Word(At { value, span }))
    }

    /// Names with commas between. After a comma a name goes on with the list where it stands
    /// alone or before an option of this form; otherwise it leads a new statement.
    fn list(&mut self, bits: &[Bit<'t>]) -> Option<Vec<At<&'t Path>>> {
        let mut all = vec![path(self.atom(bits)?)?];
        self.end += 1;
        while let (Some(Bit::Comma), Some(Bit::Atom(atom))) = (bits.get(self.end), bits.get(self.end + 1)) {
            let Some(next) = path(atom) else { break };
            let alone = match bits.get(self.end + 2) {
                None | Some(Bit::Comma) => true,
                Some(Bit::Block(_)) => self.form.block.is_some(),
                Some(Bit::Atom(after)) => word_of(after).is_some_and(|it| self.may_follow(&it.value)),
            };
            let leads_option = next.value.word().is_some_and(|it| self.form.option_words().any(|word| it == word))
                && !matches!(bits.get(self.end + 2), None | Some(Bit::Comma));
            if !alone || leads_option {
                break;
            }
            all.push(next);
            self.end += 2;
        }
        Some(all)
    }

    /// Whether a word may follow a list in this form: a fixed word of it, or a source.
    fn may_follow(&self, word: &str) -> bool {
        let fixed = self.form.head.iter().skip(1).any(|it| matches!(it, Piece::Word(it) if *it == word));
        fixed || word == "per" || word == "because" || self.form.option_words().any(|it| it == word)
    }

    fn values(&mut self, bits: &[Bit<'t>]) -> Option<Slot<'t>> {
        let mut all: Vec<ValueItem<'t>> = Vec::new();
        loop {
            let Some(atom) = self.atom(bits).filter(|it| is_value(it)) else { break };
            self.end += 1;
            let mut item = ValueItem { atom, per: None };
            let mut after = self.end;
            // A source of its own, where the list goes on after it.
            if let (Some(Bit::Atom(word)), Some(Bit::Atom(source)), Some(Bit::Comma)) =
                (bits.get(after), bits.get(after + 1), bits.get(after + 2))
                && word_of(word).is_some_and(|it| it.value == "per")
                && let Some(source) = path(source)
                && goes_on(atom, bits.get(after + 3), bits.get(after + 4))
            {
                item.per = Some(source);
                after += 2;
            }
            all.push(item);
            let comma = matches!(bits.get(after), Some(Bit::Comma));
            if !comma || !goes_on(atom, bits.get(after + 1), bits.get(after + 2)) {
                break;
            }
            self.end = after + 1;
        }
        if all.is_empty() { None } else { Some(Slot::Values(all)) }
    }

    fn asked(&mut self, bits: &[Bit<'t>]) -> Option<Slot<'t>> {
        const CLASSES: &[&str] = &["face", "plug", "port", "mount", "link", "opening", "signal", "chain"];
        let mut all = Vec::new();
        loop {
            let first = self.atom(bits).and_then(word_of)?;
            let named = match bits.get(self.end + 1) {
                Some(Bit::Atom(next)) => word_of(next).filter(|it| !self.may_follow(&it.value)),
                _ => None,
            };
            let (class, name) = match named {
                Some(name) if CLASSES.contains(&first.value.as_str()) => {
                    self.end += 2;
                    (Some(first.value), name)
                }
                _ => match self.words(bits, None)? {
                    Slot::Word(name) => (None, name),
                    _ => return None,
                },
            };
            let title = match self.atom(bits).map(|it| &it.kind) {
                Some(AtomKind::Text(text)) => {
                    self.end += 1;
                    Some(text.clone())
                }
                _ => None,
            };
            all.push(AskedItem { class, name, title });
            let next = match (bits.get(self.end), bits.get(self.end + 1)) {
                (Some(Bit::Comma), Some(Bit::Atom(next))) => word_of(next),
                _ => None,
            };
            match next {
                Some(word) if !self.may_follow(&word.value) => self.end += 1,
                _ => return Some(Slot::Asked(all)),
            }
        }
    }

    fn expr(&mut self, bits: &[Bit<'t>]) -> Option<Slot<'t>> {
        let mut atoms = Vec::new();
        while let Some(Bit::Atom(atom)) = bits.get(self.end) {
            if word_of(atom).is_some_and(|it| it.value == "per" || it.value == "because") {
                break;
            }
            atoms.push(*atom);
            self.end += 1;
        }
        let span = match (atoms.first(), atoms.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => return None,
        };
        match expr::expression(&atoms, span) {
            Ok(expr) => Some(Slot::Expr(expr)),
            Err(error) => {
                self.errors.push(error);
                // The slot is filled with the bare words, so that one cause gives one error.
                Some(Slot::Any(String::new()))
            }
        }
    }

    fn any(&mut self, bits: &[Bit<'t>]) -> Option<Slot<'t>> {
        let mut words = Vec::new();
        while let Some(bit) = bits.get(self.end) {
            match bit {
                Bit::Atom(atom) => words.push(shown(atom)),
                Bit::Comma => {
                    if let Some(last) = words.last_mut() {
                        last.push(',');
                    }
                }
                Bit::Block(_) => break,
            }
            self.end += 1;
        }
        if words.is_empty() { None } else { Some(Slot::Any(words.join(" "))) }
    }
}

fn names(paths: Vec<At<&Path>>) -> Slot<'_> {
    let last = |it: At<&Path>| At {
        value: it.value.parts.last().map(|it| it.value.clone()).unwrap_or_default(),
        span: it.span,
    };
    Slot::Names(paths.into_iter().map(last).collect())
}

fn path(atom: &Atom) -> Option<At<&Path>> {
    match &atom.kind {
        AtomKind::Path(it) => Some(At { value: it, span: atom.span }),
        _ => None,
    }
}

fn among(atom: &Atom, words: &[&str]) -> Option<At<Name>> {
    word_of(atom).filter(|it| words.contains(&it.value.as_str()))
}

/// Wire colours by the letters of IEC 60757, two with a stroke between.
fn colour(atom: &Atom) -> Option<At<Name>> {
    const LETTERS: &[&str] =
        &["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ", "GD", "SR"];
    word_of(atom).filter(|it| it.value.split('/').all(|it| LETTERS.contains(&it)))
}

fn is_value(atom: &Atom) -> bool {
    !matches!(atom.kind, AtomKind::Op(_) | AtomKind::Group(_))
}

/// Whether a list of values goes on: with one of the same sort that stands alone.
fn goes_on(before: &Atom, next: Option<&Bit<'_>>, after: Option<&Bit<'_>>) -> bool {
    let Some(Bit::Atom(next)) = next else { return false };
    let alike = matches!(
        (&before.kind, &next.kind),
        (AtomKind::Figure(_), AtomKind::Figure(_))
            | (AtomKind::Text(_), AtomKind::Text(_))
            | (AtomKind::Path(_), AtomKind::Path(_))
    );
    let alone = match after {
        None | Some(Bit::Comma) => true,
        Some(Bit::Atom(word)) => word_of(word).is_some_and(|it| it.value == "per" || it.value == "because"),
        Some(Bit::Block(_)) => false,
    };
    alike && alone
}

fn gate<'t>(atom: &'t Atom, next: Option<&Bit<'t>>) -> Option<(Slot<'t>, usize)> {
    let word = word_of(atom)?;
    match (word.value.as_str(), next) {
        ("buying" | "power" | "road", _) => Some((Slot::Word(word), 1)),
        ("no", Some(Bit::Atom(next))) if word_of(next)?.value == "return" => {
            let span = word.span.to(next.span);
            Some((Slot::Word(At { value: "no return".into(), span }), 2))
        }
        _ => None,
    }
}

fn bound<'t>(atom: &'t Atom, next: Option<&Bit<'t>>) -> Option<(Slot<'t>, usize)> {
    let word = word_of(atom)?;
    match (word.value.as_str(), next) {
        ("about", _) => Some((Slot::Word(word), 1)),
        ("at", Some(Bit::Atom(next))) => {
            let second = word_of(next)?;
            matches!(second.value.as_str(), "most" | "least").then_some(())?;
            let value = format!("at {}", second.value).into();
            Some((Slot::Word(At { value, span: word.span.to(next.span) }), 2))
        }
        _ => None,
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
        AtomKind::Figure(Figure::Tolerance { value, plus, .. }) => {
            format!("{} ± {}", measure(value), measure(plus))
        }
        AtomKind::Figure(Figure::Range { from, to }) => format!("{} to {}", measure(from), measure(to)),
        AtomKind::Date(it) => it.to_string(),
        AtomKind::Text(it) => format!("\"{it}\""),
        AtomKind::Thread(it) | AtomKind::Tyre(it) => it.to_string(),
        AtomKind::Op(_) => "·".to_owned(),
        AtomKind::Group(_) => "(…)".to_owned(),
    }
}
