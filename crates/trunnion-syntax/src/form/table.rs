//! The table of forms, read once.

use std::sync::LazyLock;

use crate::form::SlotType;

const TEXT: &str = include_str!("../forms.txt");

/// One way to write a statement.
#[derive(Debug, PartialEq, Eq)]
pub struct Form {
    /// Its number in the table, from 0.
    pub id: usize,
    /// Its line in the table, from 1.
    pub source_line: usize,
    /// Where it may stand: `file`, `part`, …
    pub context: &'static str,
    /// The fixed words of its first part; slot names where it has none.
    pub key: String,
    /// What must be there, in order.
    pub head: Vec<Piece>,
    /// What may follow, in any order, each once.
    pub options: Vec<Vec<Piece>>,
    /// What may stand in its block.
    pub block: Option<&'static str>,
    /// What it says, in a sentence.
    pub note: &'static str,
    /// The form as it stands in the table.
    pub text: &'static str,
}

impl Form {
    /// The leading word, where it is fixed.
    pub fn lead(&self) -> Option<&'static str> {
        match self.head.first() {
            Some(Piece::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The form as a mechanic would read it: the fixed words, and the parts in capitals.
    pub fn readable(&self) -> String {
        let words = self.head.iter().map(|it| match it {
            Piece::Word(word) => (*word).to_owned(),
            Piece::Slot(name, _) => name.to_uppercase(),
        });
        words.collect::<Vec<_>>().join(" ")
    }

    /// The words that options begin with.
    pub fn option_words(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.options.iter().filter_map(|it| match it.first() {
            Some(Piece::Word(word)) => Some(*word),
            _ => None,
        })
    }
}

/// A piece of a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// A word that stands for itself.
    Word(&'static str),
    /// A value.
    Slot(&'static str, SlotType),
}

static FORMS: LazyLock<Vec<Form>> = LazyLock::new(|| match read(TEXT) {
    Ok(forms) => forms,
    // A unit test reads the same text and fails first.
    Err(why) => unreachable!("forms.txt: {why}"),
});

/// Where each context's forms stand; they are written group by group.
static CONTEXTS: LazyLock<Vec<(&'static str, std::ops::Range<usize>)>> = LazyLock::new(|| {
    let mut contexts: Vec<(&'static str, std::ops::Range<usize>)> = Vec::new();
    for (at, form) in FORMS.iter().enumerate() {
        match contexts.last_mut() {
            Some((name, range)) if *name == form.context => range.end = at + 1,
            _ => contexts.push((form.context, at..at + 1)),
        }
    }
    contexts
});

/// The forms of a context, in the order they are tried.
pub fn forms(context: &str) -> &'static [Form] {
    CONTEXTS.iter().find(|(name, _)| *name == context).map_or(&[], |(_, range)| &FORMS[range.clone()])
}

/// All contexts, in the order of the table.
pub fn contexts() -> impl Iterator<Item = &'static str> {
    CONTEXTS.iter().map(|(name, _)| *name)
}

fn read(text: &'static str) -> Result<Vec<Form>, String> {
    let mut forms = Vec::new();
    let mut context = "";
    for (nth, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix('[').and_then(|it| it.strip_suffix(']')) {
            context = name;
            continue;
        }
        let (form, note) = match line.split_once(" ;") {
            Some((form, note)) => (form.trim(), note.trim()),
            None => (line, ""),
        };
        let made = one(context, form, note).map_err(|why| format!("{why} in `{form}`"))?;
        forms.push(Form { id: forms.len(), source_line: nth + 1, ..made });
    }
    Ok(forms)
}

fn one(context: &'static str, text: &'static str, note: &'static str) -> Result<Form, String> {
    let (mut head, mut options, mut block) = (Vec::new(), Vec::new(), None);
    let mut option: Option<Vec<Piece>> = None;
    for mut word in text.split_whitespace() {
        if let Some(rest) = word.strip_prefix('[') {
            option = Some(Vec::new());
            word = rest;
        }
        let ends = word.ends_with(']');
        let word = word.trim_end_matches(']');
        if let Some(name) = word.strip_prefix('{').and_then(|it| it.strip_suffix('}')) {
            block = Some(name);
            continue;
        }
        let piece = match word.strip_prefix('<').and_then(|it| it.strip_suffix('>')) {
            Some(slot) => {
                let (name, ty) = slot.split_once(':').ok_or("a slot without a type")?;
                Piece::Slot(name, SlotType::from_word(ty).ok_or_else(|| format!("type `{ty}`"))?)
            }
            None => Piece::Word(word),
        };
        match &mut option {
            Some(option) => option.push(piece),
            None => head.push(piece),
        }
        if ends {
            options.extend(option.take());
        }
    }
    let words: Vec<&str> = head
        .iter()
        .filter_map(|it| match it {
            Piece::Word(word) => Some(*word),
            Piece::Slot(..) => None,
        })
        .collect();
    let key = if words.is_empty() {
        let slots = head.iter().map(|it| match it {
            Piece::Word(it) | Piece::Slot(it, _) => *it,
        });
        slots.collect::<Vec<_>>().join(" ")
    } else {
        words.join(" ")
    };
    Ok(Form { id: 0, source_line: 0, context, key, head, options, block, note, text })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_can_be_read() {
        let forms = read(TEXT).expect("forms.txt is in order");
        assert!(forms.len() > 100);
        for form in &forms {
            assert!(!form.head.is_empty(), "{}", form.text);
            assert!(form.options.len() <= 64, "the matcher keeps them in 64 bits: {}", form.text);
            assert_eq!(TEXT.lines().nth(form.source_line - 1).map(|it| it.contains(form.text)), Some(true));
            if let Some(block) = form.block {
                assert!(forms.iter().any(|it| it.context == block), "{}", form.text);
            }
        }
    }

    #[test]
    fn contexts_stand_together() {
        let mut names: Vec<_> = contexts().collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
    }
}
