//! The syntax tree: lines of clauses of atoms, with blocks.
//!
//! The tree knows nothing of what a statement means. A *line* is what stands
//! between two line ends, a *clause* what stands between two commas in it, an
//! *atom* the smallest thing that can be read by itself. [`crate::form`] reads
//! statements out of it.

use smol_str::SmolStr;

/// A name or any other word, as it was written.
pub type Name = SmolStr;

/// A byte range in the text that was parsed. Always inside the text and on
/// character boundaries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The range from `start` to `end`.
    pub const fn new(start: u32, end: u32) -> Self {
        Self { start, end }
    }

    /// The smallest range that holds both.
    pub fn to(self, other: Self) -> Self {
        Self::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// The same range as `usize`, for slicing.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Whether `offset` lies in the range or at its end.
    pub fn touches(self, offset: u32) -> bool {
        self.start <= offset && offset <= self.end
    }
}

impl std::fmt::Debug for Span {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}..{}", self.start, self.end)
    }
}

/// Something with the place it was written at.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct At<T> {
    /// What was written.
    pub value: T,
    /// Where.
    pub span: Span,
}

/// A whole text, parsed. There always is one, whatever the text.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Tree {
    /// The lines at the top, in order.
    pub lines: Vec<Line>,
    /// What could not be read, in order of place.
    pub errors: Vec<SyntaxError>,
}

/// One line: clauses separated by commas.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The clauses; at least one.
    pub clauses: Vec<Clause>,
    /// The `///` comment above it, lines joined by line feeds, without slashes.
    pub doc: Option<SmolStr>,
    /// From the first atom to the end of the last, comments left out.
    pub span: Span,
}

/// What stands between two commas.
#[derive(Clone, Debug, PartialEq)]
pub struct Clause {
    /// The atoms in order; may be empty where something is missing.
    pub atoms: Vec<Atom>,
    /// The block in braces that ends it.
    pub block: Option<Block>,
    /// From its first atom to the end of its block.
    pub span: Span,
}

/// What stands in braces.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// The lines in it.
    pub lines: Vec<Line>,
    /// From the opening brace to the closing one, or to where it should be.
    pub span: Span,
    /// Whether the closing brace is there.
    pub closed: bool,
}

/// The smallest thing that can be read by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Atom {
    /// What it is.
    pub kind: AtomKind,
    /// Where it stands.
    pub span: Span,
}

/// The sorts of atoms.
#[derive(Clone, Debug, PartialEq)]
pub enum AtomKind {
    /// A word or a path: `gearbox`, `van.B1[8]`, `engine.crank`.
    Path(Path),
    /// A figure with its unit, tolerance or range: `1420 mm ± 5 mm`.
    Figure(Figure),
    /// A date: a month or a day.
    Date(Date),
    /// Text in double quotes, with the quotes and escapes taken away.
    Text(SmolStr),
    /// A thread, in the one form: `M12x1.5`, `G1/4`, `7/16-20 UNF`.
    Thread(SmolStr),
    /// A tyre marking, in the one form: `205/65 R16`.
    Tyre(SmolStr),
    /// An operator.
    Op(Op),
    /// What stands in round brackets.
    Group(Vec<Clause>),
}

/// Words joined by dots, perhaps with a position in square brackets.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Path {
    /// The words; at least one.
    pub parts: Vec<At<Name>>,
    /// What stands in square brackets at the end: a cavity number or name.
    pub index: Option<At<Name>>,
}

impl Path {
    /// The word, where the path is just one word.
    pub fn word(&self) -> Option<&Name> {
        match (self.parts.as_slice(), &self.index) {
            ([only], None) => Some(&only.value),
            _ => None,
        }
    }
}

impl std::fmt::Display for Path {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, part) in self.parts.iter().enumerate() {
            if i > 0 {
                f.write_str(".")?;
            }
            f.write_str(&part.value)?;
        }
        match &self.index {
            Some(index) => write!(f, "[{}]", index.value),
            None => Ok(()),
        }
    }
}

/// A number with its unit, where one is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// The number as written, in the unit as written. `1 1/4` is 1.25.
    pub number: f64,
    /// The unit as written: `mm`, `lbf ft`, `EUR`.
    pub unit: Option<Name>,
    /// Number and unit together.
    pub span: Span,
}

/// A measure, alone, with a tolerance, or as a range.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// `86 kg`
    Exact(Measure),
    /// `1420 mm ± 5 mm`, or `1420 mm +2 -1 mm`.
    Tolerance {
        /// The nominal value.
        value: Measure,
        /// How much more it may be.
        plus: Measure,
        /// How much less it may be, as a positive number.
        minus: Measure,
    },
    /// `3.65 to 3.72`
    Range {
        /// The lower end as written.
        from: Measure,
        /// The upper end as written.
        to: Measure,
    },
}

/// A month, or a day of it. A month means the whole month.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    /// 1 to 9999.
    pub year: u16,
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31, or none for the whole month.
    pub day: Option<u8>,
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)?;
        match self.day {
            Some(day) => write!(f, "-{day:02}"),
            None => Ok(()),
        }
    }
}

/// The operators.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Op {
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*` or `×`
    Times,
    /// `/`
    Over,
    /// `=`
    Equal,
    /// `!=` or `≠`
    Unequal,
    /// `<`
    Less,
    /// `<=` or `≤`
    AtMost,
    /// `>`
    More,
    /// `>=` or `≥`
    AtLeast,
}

/// Something that could not be read, or was read though written another way.
#[derive(Clone, Debug, PartialEq)]
pub struct SyntaxError {
    /// The stable name: `write/...`.
    pub name: &'static str,
    /// One sentence in the user's terms.
    pub message: String,
    /// Where.
    pub span: Span,
    /// A second place involved, with what it is.
    pub related: Option<(Span, String)>,
    /// The exact mend: put this text in place of `span`.
    pub mend: Option<Mend>,
}

/// A mend for a [`SyntaxError`].
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What it does, as an offer: "write 0.5".
    pub title: String,
    /// The range to replace.
    pub span: Span,
    /// The text to put there.
    pub text: String,
}
