//! The list of checks. Adding one is adding its file and its line here.

use crate::check::Check;
use crate::checks::*;

/// All checks, in the order in which they are shown.
pub static CHECKS: &[&Check] = &[
    &kind_asked::CHECK,
    &kind_none::CHECK,
    &loose_end::CHECK,
    &loose_duty::CHECK,
    &set_together::CHECK,
    &line_mate::CHECK,
    &fit_pattern::CHECK,
    &fit_register::CHECK,
    &fit_spline::CHECK,
    &fit_length::CHECK,
    &drive_ratio::CHECK,
    &build_window::CHECK,
    &build_ambiguous::CHECK,
    &build_disagree::CHECK,
    &plug_mate::CHECK,
    &plug_cavity::CHECK,
    &bus_rate::CHECK,
    &bus_termination::CHECK,
    &bus_message::CHECK,
    &stock_twice::CHECK,
    &stock_missing::CHECK,
    &source_weak::CHECK,
    &source_conflict::CHECK,
    &need::CHECK,
    &rule::CHECK,
];

/// The check of that name.
pub fn find(name: &str) -> Option<&'static Check> {
    CHECKS.iter().copied().find(|it| it.name == name)
}
