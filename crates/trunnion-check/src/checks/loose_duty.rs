//! # loose/duty
//!
//! To be written.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "loose/duty", source: include_str!("loose_duty.rs"), judge: Judge::World(judge) };

fn judge(_ctx: &Ctx<'_>) -> Vec<Verdict> {
    Vec::new()
}
