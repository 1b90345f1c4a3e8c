//! # build/window
//!
//! To be written.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "build/window", source: include_str!("build_window.rs"), judge: Judge::World(judge) };

fn judge(_ctx: &Ctx<'_>) -> Vec<Verdict> {
    Vec::new()
}
