//! What a check is.

use trunnion_model::verdict::Verdict;

use crate::ctx::{Ctx, DeclCtx};

/// One check: its stable name, its page, and the function that judges.
pub struct Check {
    /// The stable name: `fit/pattern`.
    pub name: &'static str,
    /// The source file; its opening comment is the user's page.
    pub source: &'static str,
    /// How it judges.
    pub judge: Judge,
}

/// What a check looks at.
pub enum Judge {
    /// A vehicle before and after the changes.
    World(fn(&Ctx<'_>) -> Vec<Verdict>),
    /// One declaration by itself.
    Decl(fn(&DeclCtx<'_>) -> Vec<Verdict>),
}

impl Check {
    /// The user's page, as Markdown: the opening comment of the check's file.
    pub fn page(&self) -> String {
        let lines = self.source.lines().take_while(|it| it.starts_with("//!"));
        let text = lines.map(|it| it.trim_start_matches("//!").strip_prefix(' ').unwrap_or(""));
        text.collect::<Vec<_>>().join("\n")
    }

    /// The first sentence of its page: what it decides.
    pub fn decides(&self) -> String {
        let page = self.page();
        let body = page.lines().skip_while(|it| it.starts_with('#') || it.is_empty());
        body.take_while(|it| !it.is_empty()).collect::<Vec<_>>().join(" ")
    }
}
