//! What a function is called with: quantities, and words such as a thread or a fit class.

use std::fmt;

use crate::quantity::Quantity;

/// One argument.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Argument<'a> {
    /// A quantity.
    Quantity(Quantity),
    /// A word, as `M12x1.5`, `H7` or `205/65 R16`.
    Word(&'a str),
}

impl<'a> Argument<'a> {
    /// The quantity, where it is one.
    pub fn quantity(&self) -> Option<Quantity> {
        match self {
            Self::Quantity(it) => Some(*it),
            Self::Word(_) => None,
        }
    }

    /// The word, where it is one.
    pub fn word(&self) -> Option<&'a str> {
        match self {
            Self::Quantity(_) => None,
            Self::Word(it) => Some(it),
        }
    }
}

impl fmt::Display for Argument<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(it) => f.write_str(&it.display()),
            Self::Word(it) => f.write_str(it),
        }
    }
}

impl From<Quantity> for Argument<'_> {
    fn from(it: Quantity) -> Self {
        Self::Quantity(it)
    }
}

impl<'a> From<&'a str> for Argument<'a> {
    fn from(it: &'a str) -> Self {
        Self::Word(it)
    }
}
