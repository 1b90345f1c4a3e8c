//! # stock/missing
//!
//! To be written.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "stock/missing", source: include_str!("stock_missing.rs"), judge: Judge::World(judge) };

fn judge(_ctx: &Ctx<'_>) -> Vec<Verdict> {
    Vec::new()
}
