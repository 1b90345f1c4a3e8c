//! The table of forms, read once.

use std::sync::LazyLock;

const TEXT: &str = include_str!("../forms.txt");

/// One way to write a statement.
#[derive(Debug, PartialEq, Eq)]
pub struct Form {
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

/// What a slot takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum SlotType {
    Name,
    Word,
    Words,
    Names,
    Ref,
    Path,
    Refs,
    Text,
    Fig,
    Num,
    Date,
    Val,
    Vals,
    Expr,
    Gate,
    Unit,
    Thread,
    Tyre,
    Colour,
    Standing,
    Role,
    Flag,
    Bound,
    Asked,
    Any,
}

impl SlotType {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "name" => Self::Name,
            "word" => Self::Word,
            "words" => Self::Words,
            "names" => Self::Names,
            "ref" => Self::Ref,
            "path" => Self::Path,
            "refs" => Self::Refs,
            "text" => Self::Text,
            "fig" => Self::Fig,
            "num" => Self::Num,
            "date" => Self::Date,
            "val" => Self::Val,
            "vals" => Self::Vals,
            "expr" => Self::Expr,
            "gate" => Self::Gate,
            "unit" => Self::Unit,
            "thread" => Self::Thread,
            "tyre" => Self::Tyre,
            "colour" => Self::Colour,
            "standing" => Self::Standing,
            "role" => Self::Role,
            "flag" => Self::Flag,
            "bound" => Self::Bound,
            "asked" => Self::Asked,
            "any" => Self::Any,
            _ => return None,
        })
    }

    /// What is wanted, in the user's words.
    pub fn wanted(self) -> &'static str {
        match self {
            Self::Name => "a name",
            Self::Word | Self::Words | Self::Role => "a word",
            Self::Names | Self::Refs => "one name or several with commas",
            Self::Ref => "a name",
            Self::Path => "a path such as `gearbox.tail`",
            Self::Text => "text in double quotes",
            Self::Fig => "a figure with its unit",
            Self::Num => "a whole number",
            Self::Date => "a date such as `2013-08`",
            Self::Val | Self::Vals => "a value",
            Self::Expr => "a condition",
            Self::Gate => "`buying`, `no return`, `power` or `road`",
            Self::Unit => "a unit",
            Self::Thread => "a thread such as `M12x1.5`",
            Self::Tyre => "a tyre marking such as `205/65 R16`",
            Self::Colour => "a wire colour such as `YE/GN`",
            Self::Standing => "`measured`, `documented`, `reported` or `assumed`",
            Self::Flag => "a word such as `new` or `used`",
            Self::Bound => "`at most`, `at least` or `about`",
            Self::Asked => "what is asked",
            Self::Any => "words",
        }
    }
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
    for line in text.lines() {
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
        forms.push(one(context, form, note).map_err(|why| format!("{why} in `{form}`"))?);
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
    Ok(Form { context, key, head, options, block, note, text })
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
