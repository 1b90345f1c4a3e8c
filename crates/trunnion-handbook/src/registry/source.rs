//! Where a formula or a table comes from.

use std::fmt;

/// How far a source can be leaned on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Standing {
    /// A named document with edition and clause.
    Published,
    /// A rule of thumb that workshops use; no document stands behind it.
    CommonPractice,
    /// Set down from memory of a document that was not at hand; to be checked against it.
    FromMemory,
    /// Follows from the definitions of the quantities; there is nothing to look up.
    Definition,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice, no source",
            Self::FromMemory => "from memory, unverified",
            Self::Definition => "follows from its definitions",
        })
    }
}

/// Where a formula or table comes from.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Source {
    /// The document's name or number, or what the practice is called.
    pub document: &'static str,
    /// Edition or year; empty when there is none.
    pub edition: &'static str,
    /// Clause, table or section; empty when the whole is meant.
    pub clause: &'static str,
    /// How far it can be leaned on.
    pub standing: Standing,
}

impl Source {
    /// A named document with its edition and clause.
    pub const fn published(document: &'static str, edition: &'static str, clause: &'static str) -> Self {
        Self { document, edition, clause, standing: Standing::Published }
    }

    /// The same, set down without the document at hand.
    pub const fn from_memory(document: &'static str, edition: &'static str, clause: &'static str) -> Self {
        Self { document, edition, clause, standing: Standing::FromMemory }
    }

    /// A rule of thumb.
    pub const fn common_practice(document: &'static str) -> Self {
        Self { document, edition: "", clause: "", standing: Standing::CommonPractice }
    }

    /// What follows from definitions, as "statics of a lever".
    pub const fn definition(document: &'static str) -> Self {
        Self { document, edition: "", clause: "", standing: Standing::Definition }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [self.document, self.edition, self.clause];
        let named: Vec<_> = parts.into_iter().filter(|it| !it.is_empty()).collect();
        f.write_str(&named.join(", "))?;
        match self.standing {
            Standing::Published => Ok(()),
            weaker => write!(f, " ({weaker})"),
        }
    }
}
