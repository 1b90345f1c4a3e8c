//! # fit/starter
//!
//! The starter's pinion and the ring gear mesh: one module, the teeth and so the distance they were
//! made for, and the ring as deep as the pinion finds it.
//!
//! ## Why it matters
//!
//! Two ring gears that look alike differ by three teeth, and the pinion runs on their tips. A ring
//! that sits four millimetres deeper is missed, or dragged along all day.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   place gearbox is gearbox
//!   place starter is starter
//!   joint starter.front to gearbox.starter }
//! part first is flywheel fills flywheel { fitted on Dunlin, teeth 132, ring depth 17.4 mm }
//! part other is flywheel { teeth 129, module 2.54 mm, ring depth 17.4 mm }
//! part start is starter fills starter { fitted on Dunlin, teeth 10, module 2.54 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit other for flywheel }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   place gearbox is gearbox
//!   place starter is starter
//!   joint starter.front to gearbox.starter }
//! part first is flywheel fills flywheel { fitted on Dunlin, teeth 132, ring depth 17.4 mm }
//! part other is flywheel { teeth 132, module 2.54 mm, ring depth 17.4 mm }
//! part start is starter fills starter { fitted on Dunlin, teeth 10, module 2.54 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit other for flywheel }
//! ```
//!
//! ## What it is held against
//!
//! What was there before, which worked: where the starter stays, the new ring must have the old one's
//! teeth and depth; a plate between engine and gearbox moves the starter back by its thickness, an
//! engine whose crank stands farther back moves the ring.
//!
//! ## References
//!
//! Gear geometry: `trunnion explain gear_centres`. Modules within 1 %, centres within 0.5 mm, depth
//! within 1 mm of what it was: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::chain::{Link, add, plates, shift, take};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/starter", source: include_str!("fit_starter.rs"), judge: Judge::World(judge) };

/// How far two modules may differ, in per cent: common practice, no source.
const MODULE: f64 = 1.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(starter), Some(ring)) = (ctx.only_of_kind("starter"), ctx.only_of_kind("flywheel")) else {
        return Vec::new();
    };
    [mesh(ctx, starter, ring), depth(ctx, starter, ring)].into_iter().flatten().collect()
}

/// Modules and teeth.
fn mesh(ctx: &Ctx<'_>, starter: &Place, ring: &Place) -> Option<Verdict> {
    let changes = ctx.world.conversion.is_none() || starter.changed() || ring.changed();
    let both = |measure: &str| ctx.stated(starter, measure) && ctx.stated(ring, measure);
    let begun = ctx.stated(ring, "teeth") || ctx.stated(ring, "module");
    let alone = ctx.world.conversion.is_none() && !both("module");
    if !changes || !begun || alone {
        return None;
    }
    let site = ring.done.last().or(starter.done.last()).map_or(ring.site, |it| it.site);
    let hangs = "whether pinion and ring gear mesh";
    Sum::new(ctx, CHECK.name, format!("{}.teeth", starter.name), site, hangs).work(|sum| {
        if both("module") {
            let pinion = sum.figure(starter, "module")?;
            let wheel = sum.figure(ring, "module")?;
            let allowed = Quantity::exact(MODULE, "%").ok()?;
            sum.source(format!("modules within {MODULE} %: common practice, no source"));
            let same = wheel.within(&pinion, &allowed).ok()?;
            if same != Truth::Yes || ctx.world.conversion.is_none() {
                let said = format!("the ring gear has module {}", wheel.display());
                let needed = format!("the pinion has module {}", pinion.display());
                sum.fixes(others(ctx, ring, "module", pinion));
                return Some(Answer::within(wheel, pinion, allowed, &said, &needed));
            }
        }
        if starter.changed() {
            // Another pinion: its module against that of the ring, or of the one that meshed before.
            let after = sum.figure(starter, "module");
            let before = match ring.changed() {
                true => sum.figure(ring, "module"),
                false if ctx.stated(ring, "module") => sum.figure(ring, "module"),
                false => sum.figure_before(starter, "module"),
            };
            let teeth = sum.figure(starter, "teeth").zip(sum.figure_before(starter, "teeth"));
            let (after, before, (new, old)) = (after?, before?, teeth?);
            let allowed = Quantity::exact(MODULE, "%").ok()?;
            if after.within(&before, &allowed).ok()? != Truth::Yes {
                let said = format!("the new pinion has module {}", after.display());
                let needed = format!("the ring gear has module {}", before.display());
                return Some(Answer::within(after, before, allowed, &said, &needed));
            }
            if !ring.changed() {
                return centres(ctx, sum, ring, after, (new, old), "pinion");
            }
        }
        let new = sum.figure(ring, "teeth");
        let old = sum.figure_before(ring, "teeth");
        let (new, old) = (new?, old?);
        if new.overlaps(&old) == Ok(true) {
            sum.note("The flange of the starter must sit where it sat: its holes and its spigot are looked at by themselves.");
            let said = format!("the ring gear has {} teeth", new.display());
            let answer = Answer::told(Truth::Yes, &said, "so had the one that the starter worked with");
            return Some(answer.need(old.display(), new.display()));
        }
        let module = sum.figure(starter, "module")?;
        centres(ctx, sum, ring, module, (new, old), "ring gear")
    })
}

/// How far other teeth move the centres apart.
fn centres(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    ring: &Place,
    module: Quantity,
    (new, old): (Quantity, Quantity),
    which: &str,
) -> Option<Answer> {
    let allowed = sum.basis_or("centre_distance", 0.5, "mm")?;
    let step = new.sub(&old).ok()?.abs().ok()?;
    let apart = module.mul(&step).ok()?.div(&Quantity::number(2.0).ok()?).ok()?.shown_in("mm").ok()?;
    sum.formula(format!(
        "{} × |{} − {}| / 2 = {}",
        module.display(),
        new.display(),
        old.display(),
        apart.display()
    ));
    if which == "ring gear" {
        sum.fixes(others(ctx, ring, "teeth", old));
    }
    let said = format!(
        "a {which} of {} teeth for {} moves the centres by {}",
        new.display(),
        old.display(),
        apart.display()
    );
    Some(Answer::at_most(apart, allowed, &said, &format!("{} are good", allowed.display())))
}

/// Parts with the wanted figure.
fn others(
    ctx: &Ctx<'_>,
    place: &Place,
    measure: &str,
    wanted: Quantity,
) -> Vec<trunnion_model::verdict::Fix> {
    replacements(ctx, place, &|id| {
        let found = trunnion_model::known::of_part(ctx.db, ctx.workspace, id, measure);
        found.first().and_then(|it| it.quantity()).is_some_and(|it| it.overlaps(&wanted) == Ok(true))
    })
}

/// How far the ring moves away from where the pinion finds it.
fn depth(ctx: &Ctx<'_>, starter: &Place, ring: &Place) -> Option<Verdict> {
    let engine = ctx.only_of_kind("engine");
    // A starter on the block does not move with the gearbox.
    let on_block = engine.is_some_and(|engine| {
        let mut joints = ctx.world.joints.iter().filter(|it| it.after);
        joints.any(|it| {
            let ends = [&it.a.place, &it.b.place];
            ends.contains(&&starter.name) && ends.contains(&&engine.name)
        })
    });
    let plates = if on_block { Vec::new() } else { plates(ctx) };
    let mut places = vec![ring, starter];
    places.extend(engine);
    places.extend(&plates);
    if !ctx.stated(ring, "ring_depth") || !places.iter().any(|it| it.changed()) {
        return None;
    }
    let site = places.iter().find_map(|it| it.done.last()).map_or(ring.site, |it| it.site);
    let hangs = "whether the pinion reaches the ring gear and keeps clear of it at rest";
    Sum::new(ctx, CHECK.name, format!("{}.ring_depth", ring.name), site, hangs).work(|sum| {
        let mut links: Vec<Link<'_>> = vec![add(ring, "ring_depth")];
        links.extend(engine.map(|it| add(it, "crank_height")));
        links.extend(plates.iter().map(|it| take(it, "thickness")));
        links.push(take(starter, "pinion_depth"));
        let moved = shift(ctx, sum, &links);
        let allowed = sum.basis_or("ring_shift", 1.0, "mm")?;
        let (moved, most) = (moved?, allowed.in_unit("mm")?);
        let window = Quantity::range(-most, most, "mm").ok()?;
        let middle = moved.in_unit("mm")?;
        let said = match middle {
            _ if middle.abs() < 0.005 => "the ring gear sits where the pinion found it".to_owned(),
            _ if middle > 0.0 => format!("the ring gear sits {} nearer to the gearbox", moved.display()),
            _ => format!("the ring gear sits {} farther from the gearbox", moved.neg().ok()?.display()),
        };
        let needed = format!("the pinion takes {} either way", allowed.display());
        Some(Answer::inside(moved, window, &said, &needed))
    })
}

#[cfg(test)]
mod tests;
