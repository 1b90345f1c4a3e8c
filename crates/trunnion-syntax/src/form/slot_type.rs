//! The types of the slots in the table of forms.

/// What a slot takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SlotType {
    /// One word that is declared here.
    Name,
    /// One word.
    Word,
    /// One or more words up to the next modifier, joined by `_`.
    Words,
    /// Declared words, with commas between.
    Names,
    /// A path or a word that is declared elsewhere.
    Ref,
    /// A path of two parts or more, or with a cavity.
    Path,
    /// Paths, with commas between.
    Refs,
    /// Text in double quotes.
    Text,
    /// A figure.
    Fig,
    /// A number without a unit.
    Num,
    /// A date.
    Date,
    /// One value: a figure, a path, text, a date, a thread, a tyre marking or `none`.
    Val,
    /// Values of one sort, with commas between; each may carry a source of its own.
    Vals,
    /// A condition.
    Expr,
    /// A gate.
    Gate,
    /// A unit.
    Unit,
    /// A thread, or text that stands for one.
    Thread,
    /// A tyre marking, or text that stands for one.
    Tyre,
    /// A wire colour in the letters of IEC 60757, two with a stroke between.
    Colour,
    /// The standing of a source.
    Standing,
    /// The word that says what a cavity is for.
    Role,
    /// A word that says what sort of thing is offered or how it is made.
    Flag,
    /// What sort of limit follows.
    Bound,
    /// What a kind asks for: `face input`, `mass`, with commas between.
    Asked,
    /// Everything up to the end of the line or the block.
    Any,
}

/// Each type, its name in the table, and what is wanted in the user's words.
const TYPES: &[(SlotType, &str, &str)] = &[
    (SlotType::Name, "name", "a name"),
    (SlotType::Word, "word", "a word"),
    (SlotType::Words, "words", "a word"),
    (SlotType::Names, "names", "a name, or several with commas"),
    (SlotType::Ref, "ref", "a name"),
    (SlotType::Path, "path", "a path such as `gearbox.tail`"),
    (SlotType::Refs, "refs", "a name, or several with commas"),
    (SlotType::Text, "text", "text in double quotes"),
    (SlotType::Fig, "fig", "a figure with its unit"),
    (SlotType::Num, "num", "a whole number"),
    (SlotType::Date, "date", "a date such as `2013-08`"),
    (SlotType::Val, "val", "a value"),
    (SlotType::Vals, "vals", "a value"),
    (SlotType::Expr, "expr", "a condition"),
    (SlotType::Gate, "gate", "`buying`, `no return`, `power` or `road`"),
    (SlotType::Unit, "unit", "a unit"),
    (SlotType::Thread, "thread", "a thread such as `M12x1.5`"),
    (SlotType::Tyre, "tyre", "a tyre marking such as `205/65 R16`"),
    (SlotType::Colour, "colour", "a wire colour such as `YE/GN`"),
    (SlotType::Standing, "standing", "`measured`, `documented`, `reported` or `assumed`"),
    (SlotType::Role, "role", "what the cavity is for, such as `supply`"),
    (SlotType::Flag, "flag", "a word such as `new` or `used`"),
    (SlotType::Bound, "bound", "`at most`, `at least` or `about`"),
    (SlotType::Asked, "asked", "what is asked, such as `face input` or `mass`"),
    (SlotType::Any, "any", "what was done"),
];

impl SlotType {
    /// All types, in the order of this list.
    pub fn all() -> impl Iterator<Item = Self> {
        TYPES.iter().map(|it| it.0)
    }

    pub(super) fn from_word(word: &str) -> Option<Self> {
        TYPES.iter().find(|it| it.1 == word).map(|it| it.0)
    }

    /// Its name in the table.
    pub fn name(self) -> &'static str {
        self.row().1
    }

    /// What is wanted, in the user's words.
    pub fn wanted(self) -> &'static str {
        self.row().2
    }

    fn row(self) -> &'static (Self, &'static str, &'static str) {
        // A test holds that every type is in the list.
        TYPES.iter().find(|it| it.0 == self).unwrap_or(&TYPES[0])
    }

    /// The words it takes, where they are a closed set. Wire colours are pairs of these, too.
    pub fn vocabulary(self) -> &'static [&'static str] {
        match self {
            Self::Gate => &["buying", "no return", "power", "road"],
            Self::Standing => &["measured", "documented", "reported", "assumed"],
            Self::Flag => &["new", "used", "reproduction", "remanufactured", "sealed", "shielded", "twisted"],
            Self::Bound => &["at most", "at least", "about"],
            // Letter codes of IEC 60757.
            Self::Colour => {
                &["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ", "GD", "SR"]
            }
            Self::Asked => &["face", "plug", "port", "mount", "link", "opening", "signal", "chain"],
            _ => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_type_is_in_the_list_once() {
        // The last variant: their numbers are without gaps.
        assert_eq!(TYPES.len(), SlotType::Any as usize + 1);
        for (nth, (ty, name, _)) in TYPES.iter().enumerate() {
            assert_eq!(*ty as usize, nth);
            assert_eq!(SlotType::from_word(name), Some(*ty));
        }
    }
}
