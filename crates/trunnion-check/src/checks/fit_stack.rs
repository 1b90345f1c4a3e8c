//! # fit/stack
//!
//! The distances along the axis add up: the input shaft reaches into the pilot and does not meet its
//! bottom, the fingers of the clutch stay where the release bearing finds them, and the pull-out of a
//! converter is a good one.
//!
//! ## Why it matters
//!
//! A shaft that is two millimetres too long pushes on the crank and eats its thrust bearing; one that
//! misses the pilot wobbles. A converter that is not home breaks the pump when the bolts pull it in.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place adaptor is adaptor_plate
//!   place gearbox is manual_gearbox }
//! part diesel is engine fills engine { fitted on Dunlin, pilot depth 21 mm, crank height 0 mm }
//! part five is manual_gearbox { bell depth 158.4 mm ± 0.1 mm, input length 172.6 mm ± 0.2 mm }
//! part plate is adaptor_plate { thickness 24.00 mm ± 0.05 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit five for gearbox, make plate for adaptor }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place gearbox is manual_gearbox }
//! part diesel is engine fills engine { fitted on Dunlin, pilot depth 21 mm, crank height 0 mm }
//! part five is manual_gearbox { bell depth 158.4 mm ± 0.1 mm, input length 172.6 mm ± 0.2 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit five for gearbox }
//! ```
//!
//! ## Where the distances are measured
//!
//! `bell depth`: from the face that meets the block to the face that the input shaft comes out of.
//! `input length`: from that face to the tip. `crank height`: how far the crank flange stands behind
//! the rear face of the block. `pilot depth`, `stack height`: from the crank flange, forward to the
//! bottom of the pilot, back to the face that the clutch sits on. `finger height`: from there on.
//!
//! ## References
//!
//! Dimension chains: `trunnion explain chain_worst_case`, taken where `basis { stack is … }` chooses
//! nothing, and `trunnion explain chain_statistical`. A tip that keeps 1 mm from the bottom and fills
//! half of the pilot, fingers within 1 mm of where they were, a pull-out of 2 to 5 mm: common
//! practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::chain::{add, closing, plates, shift, take};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::gearbox;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/stack", source: include_str!("fit_stack.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(gearbox) = gearbox(ctx) else { return Vec::new() };
    [pilot(ctx, gearbox), release(ctx, gearbox), pull_out(ctx, gearbox)].into_iter().flatten().collect()
}

/// The statement that changes one of the places.
fn site(places: &[&Place]) -> trunnion_model::db::Site {
    places.iter().find_map(|it| it.done.last()).map_or(places[0].site, |it| it.site)
}

/// Whether one of the places changes, or it is a vehicle alone.
fn changes(ctx: &Ctx<'_>, places: &[&Place]) -> bool {
    ctx.world.conversion.is_none() || places.iter().any(|it| it.changed())
}

/// The tip of the input shaft in the pilot.
fn pilot(ctx: &Ctx<'_>, gearbox: &Place) -> Option<Verdict> {
    let engine = ctx.only_of_kind("engine")?;
    let manual = ctx.kind_after(gearbox).is_some_and(|(_, it)| it.is(ctx.db, "manual_gearbox"));
    let bearing = ctx.of_kind("flywheel").into_iter().find(|it| ctx.stated(it, "pilot_depth"));
    let bearing = bearing.unwrap_or(engine);
    let plates = plates(ctx);
    let begun = ctx.stated(gearbox, "input_length")
        || ctx.stated(gearbox, "bell_depth")
        || ctx.stated(bearing, "pilot_depth");
    let mut places = vec![gearbox, engine, bearing];
    places.extend(&plates);
    if !manual || !begun || !changes(ctx, &places) {
        return None;
    }
    let subject = format!("{}.input_length", gearbox.name);
    let hangs = "whether the input shaft reaches into the pilot and keeps off its bottom";
    Sum::new(ctx, CHECK.name, subject, site(&places), hangs).work(|sum| {
        let mut links =
            vec![add(gearbox, "input_length"), take(gearbox, "bell_depth"), add(engine, "crank_height")];
        links.extend(plates.iter().map(|it| take(it, "thickness")));
        let reach = closing(ctx, sum, &links);
        let depth = sum.figure(bearing, "pilot_depth");
        let gap = sum.basis_or("tip_gap", 1.0, "mm")?;
        let filled = sum.basis_or("pilot_filled", 50.0, "%")?;
        let (reach, depth) = (reach?, depth?);
        // The worst of the pilot's own tolerance at either side.
        let [shallow, _, deep] = depth.ends_in("mm")?;
        let least = Quantity::exact(deep, "mm").ok()?.mul(&filled).ok()?.in_unit("mm")?;
        let most = shallow - gap.in_unit("mm")?;
        if least > most {
            sum.refuse(format!("a pilot of {} leaves no room for a shaft", depth.display()));
            return None;
        }
        let window = Quantity::range(least, most, "mm").ok()?;
        let said = format!("the input shaft reaches {} beyond the crank flange", reach.display());
        let needed = format!("the pilot of {} takes {}", depth.display(), window.display());
        Some(Answer::inside(reach, window, &said, &needed).margin(margin(&reach, least, most)?))
    })
}

/// The room to the nearer end of a window.
fn margin(have: &Quantity, least: f64, most: f64) -> Option<String> {
    let [from, _, to] = have.ends_in("mm")?;
    Some(format!("{} mm", crate::ctx::trimmed((from - least).min(most - to), 2)))
}

/// The fingers of the clutch before the release bearing.
fn release(ctx: &Ctx<'_>, gearbox: &Place) -> Option<Verdict> {
    let engine = ctx.only_of_kind("engine")?;
    let flywheel = ctx.only_of_kind("flywheel")?;
    let clutch = ctx.only_of_kind("clutch")?;
    let plates = plates(ctx);
    let mut places = vec![flywheel, clutch, engine, gearbox];
    places.extend(&plates);
    let begun = ctx.stated(flywheel, "stack_height") || ctx.stated(clutch, "finger_height");
    if !begun || !places.iter().any(|it| it.changed()) {
        return None;
    }
    let subject = format!("{}.stack_height", flywheel.name);
    let hangs = "whether the release bearing still finds the fingers of the clutch";
    Sum::new(ctx, CHECK.name, subject, site(&places), hangs).work(|sum| {
        let mut links = vec![
            take(flywheel, "stack_height"),
            take(clutch, "finger_height"),
            take(engine, "crank_height"),
            add(gearbox, "bell_depth"),
        ];
        links.extend(plates.iter().map(|it| add(it, "thickness")));
        let moved = shift(ctx, sum, &links);
        let allowed = sum.basis_or("release_shift", 1.0, "mm")?;
        let (moved, most) = (moved?, allowed.in_unit("mm")?);
        let window = Quantity::range(-most, most, "mm").ok()?;
        let middle = moved.in_unit("mm")?;
        let said = match middle {
            _ if middle.abs() < 0.005 => "the fingers of the clutch stay where they were".to_owned(),
            _ if middle > 0.0 => {
                format!("the fingers of the clutch come {} farther from the gearbox", moved.display())
            }
            _ => format!(
                "the fingers of the clutch come {} nearer to the gearbox",
                moved.neg().ok()?.display()
            ),
        };
        let needed = format!("the release bearing takes {} either way", allowed.display());
        Some(Answer::inside(moved, window, &said, &needed).margin(margin(&moved, -most, most)?))
    })
}

/// The pull-out of a converter against the values that the measure calls good.
fn pull_out(ctx: &Ctx<'_>, gearbox: &Place) -> Option<Verdict> {
    let asked = ctx.kind_after(gearbox).and_then(|(_, kind)| kind.ask("pull_out"));
    if asked.is_some_and(|(_, it)| it.find_out.good.is_some()) {
        // Where the kind itself says what is good, its question is the judge.
        return None;
    }
    let good = ctx.find_out(gearbox, "pull_out").good?;
    if !ctx.stated(gearbox, "pull_out") || !ctx.concerns(&[gearbox]) {
        return None;
    }
    let stated = ctx.fact(gearbox, "pull_out").claims().first().map(|it| it.site);
    let subject = format!("{}.pull_out", gearbox.name);
    let hangs = "whether the converter is home and free";
    let site = stated.unwrap_or_else(|| site(&[gearbox]));
    Sum::new(ctx, CHECK.name, subject, site, hangs).work(|sum| {
        let have = sum.figure(gearbox, "pull_out")?;
        let [least, _, most] = good.ends_in("mm")?;
        let said = format!("the converter is pulled out {}", have.display());
        let needed = format!("{} are good", good.display());
        Some(Answer::inside(have, good, &said, &needed).margin(margin(&have, least, most)?))
    })
}

#[cfg(test)]
mod tests;
