//! # drive/ratio
//!
//! To be written.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "drive/ratio", source: include_str!("drive_ratio.rs"), judge: Judge::World(judge) };

fn judge(_ctx: &Ctx<'_>) -> Vec<Verdict> {
    Vec::new()
}
