//! Why the handbook gives no figure, as plain data with its wording in one place.

use std::fmt;

use crate::quantity::{Dimension, QuantityError};

/// A value that a published table does not hold. Nothing is ever extrapolated.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct OutOfTable {
    /// The table.
    pub table: &'static str,
    /// What was looked for.
    pub wanted: Box<str>,
    /// What the table holds.
    pub holds: Box<str>,
}

impl OutOfTable {
    /// A lookup that failed.
    pub fn new(table: &'static str, wanted: impl Into<Box<str>>, holds: impl Into<Box<str>>) -> Self {
        Self { table, wanted: wanted.into(), holds: holds.into() }
    }
}

impl fmt::Display for OutOfTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} has no {}; it holds {}", self.table, self.wanted, self.holds)
    }
}

impl std::error::Error for OutOfTable {}

/// Why a function gave no result.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum HandbookError {
    /// Too many or too few arguments.
    Count {
        /// The function.
        function: &'static str,
        /// How many it takes.
        wanted: usize,
        /// How many came.
        got: usize,
        /// Whether the last may be repeated, so that `wanted` is the least.
        repeated: bool,
    },
    /// A word where a figure is wanted, or the other way about.
    WordOrFigure {
        /// The parameter.
        parameter: &'static str,
        /// Whether a word is wanted.
        wants_word: bool,
        /// What came.
        got: Box<str>,
    },
    /// An argument of another kind.
    Kind {
        /// The parameter.
        parameter: &'static str,
        /// What it measures.
        wanted: Dimension,
        /// What came.
        got: Dimension,
    },
    /// An argument outside what the formula holds for.
    Limit {
        /// The parameter.
        parameter: &'static str,
        /// What it may be, in words with its unit.
        allowed: Box<str>,
        /// What came.
        got: Box<str>,
    },
    /// Not in the published table.
    OutOfTable(OutOfTable),
    /// The arguments contradict one another, or the formula has no answer for them.
    NoAnswer(&'static str),
    /// The arithmetic failed.
    Quantity(QuantityError),
}

impl fmt::Display for HandbookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count { function, wanted, got, repeated } => {
                let least = if *repeated { "at least " } else { "" };
                write!(f, "{function} takes {least}{wanted} values, and {got} were given")
            }
            Self::WordOrFigure { parameter, wants_word: true, got } => {
                write!(f, "{parameter} is a word, and {got} was given")
            }
            Self::WordOrFigure { parameter, wants_word: false, got } => {
                write!(f, "{parameter} is a quantity, and `{got}` was given")
            }
            Self::Kind { parameter, wanted, got } => {
                write!(f, "{parameter} is a {wanted}, and a {got} was given")
            }
            Self::Limit { parameter, allowed, got } => {
                write!(f, "{parameter} may be {allowed}, and {got} was given")
            }
            Self::OutOfTable(it) => it.fmt(f),
            Self::NoAnswer(why) => f.write_str(why),
            Self::Quantity(it) => it.fmt(f),
        }
    }
}

impl std::error::Error for HandbookError {}

impl From<QuantityError> for HandbookError {
    fn from(it: QuantityError) -> Self {
        Self::Quantity(it)
    }
}

impl From<OutOfTable> for HandbookError {
    fn from(it: OutOfTable) -> Self {
        Self::OutOfTable(it)
    }
}
