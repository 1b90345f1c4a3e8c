//! Chains of distances along the axis from crank to gearbox, and what a change does to them.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::Holding;
use trunnion_model::fact::Known;
use trunnion_model::world::Place;

use crate::ctx::Ctx;
use crate::sum::Sum;

/// One distance of a chain: added, or taken away.
pub(crate) struct Link<'a> {
    pub(crate) place: &'a Place,
    pub(crate) measure: &'static str,
    pub(crate) taken: bool,
}

/// A distance that is added.
pub(crate) fn add<'a>(place: &'a Place, measure: &'static str) -> Link<'a> {
    Link { place, measure, taken: false }
}

/// A distance that is taken away.
pub(crate) fn take<'a>(place: &'a Place, measure: &'static str) -> Link<'a> {
    Link { place, measure, taken: true }
}

/// The plates between engine and gearbox, after the changes.
pub(crate) fn plates<'a>(ctx: &Ctx<'a>) -> Vec<&'a Place> {
    ctx.of_kind("adaptor_plate")
}

/// What a chain comes to once the work is done. Collects all that is missing.
pub(crate) fn closing(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, links: &[Link<'_>]) -> Option<Quantity> {
    let read = links.iter().map(|it| signed(sum.figure(it.place, it.measure), it.taken));
    let lengths: Vec<Option<Quantity>> = read.collect();
    add_up(ctx, sum, lengths)
}

/// By how much a chain becomes longer. What does not change falls out; what was not there before
/// counts whole.
pub(crate) fn shift(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, links: &[Link<'_>]) -> Option<Quantity> {
    let mut lengths = Vec::new();
    for link in links.iter().filter(|it| it.place.changed()) {
        lengths.push(signed(sum.figure(link.place, link.measure), link.taken));
        if link.place.before != Holding::Nothing && !link.place.added {
            lengths.push(signed(sum.figure_before(link.place, link.measure), !link.taken));
        }
    }
    if lengths.is_empty() {
        return Quantity::exact(0.0, "mm").ok();
    }
    add_up(ctx, sum, lengths)
}

fn signed(length: Option<Quantity>, taken: bool) -> Option<Quantity> {
    if taken { length?.neg().ok() } else { length }
}

/// Adds up by the worst case, or by statistics where the basis says so.
fn add_up(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, lengths: Vec<Option<Quantity>>) -> Option<Quantity> {
    let chosen = match ctx.basis("stack") {
        Known::Unknown => "worst_case".to_owned(),
        _ => sum.basis_word("stack", "worst_case or statistical")?,
    };
    let function = match chosen.as_str() {
        "worst_case" => "chain_worst_case",
        "statistical" => "chain_statistical",
        other => {
            sum.refuse(format!("a chain is added up by worst_case or statistical, not by {other}"));
            return None;
        }
    };
    let lengths: Vec<Quantity> = lengths.into_iter().collect::<Option<_>>()?;
    sum.call(function, &lengths)?.shown_in("mm").ok()
}
