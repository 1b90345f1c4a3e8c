//! # fit/register
//!
//! To be written.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "fit/register", source: include_str!("fit_register.rs"), judge: Judge::World(judge) };

fn judge(_ctx: &Ctx<'_>) -> Vec<Verdict> {
    Vec::new()
}
