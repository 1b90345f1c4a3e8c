//! # drive/axle
//!
//! No axle carries more than its plate allows once the work is done.
//!
//! ## Why it matters
//!
//! A heavier engine sits almost wholly on the front axle: springs, tyres, steering and brakes were
//! chosen for the lighter one. The total on the plate may still be kept while one axle is over.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind engine { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   engine.behind_axle -200 mm }
//! part small is engine fills engine { fitted on Dunlin, mass 150 kg }
//! part large is engine fills engine { mass 260 kg }
//! vehicle van is Dunlin { built 2012-04, wheelbase 3200 mm, front axle load 980 kg, front axle limit 1050 kg }
//! conversion stronger { recipient van, fit large }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind engine { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   engine.behind_axle -200 mm }
//! part small is engine fills engine { fitted on Dunlin, mass 150 kg }
//! part large is engine fills engine { mass 205 kg }
//! vehicle van is Dunlin { built 2012-04, wheelbase 3200 mm, front axle load 980 kg, front axle limit 1050 kg }
//! conversion stronger { recipient van, fit large }
//! ```
//!
//! ## References
//!
//! Statics of a beam on two axles; see `trunnion explain support_share`. A change of 5 kg or less whose
//! place nobody stated counts in full on either axle when it comes, not at all when it goes: common
//! practice, no source. A load that was measured after all of the work outranks the sum. Where the owner
//! wants to carry something, the loads laden are asked for.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::Event;
use trunnion_model::fact::{Found, Standing};
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::masses::{Moved, any_stated, moved, nothing, of_vehicle, plated, site_of};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/axle", source: include_str!("drive_axle.rs"), judge: Judge::World(judge) };

/// A change in mass, in kg, up to which its place need not be known: common practice, no source.
const SMALL: f64 = 5.0;

/// One of the two axles.
struct Axle {
    name: &'static str,
    shown: &'static str,
    load: &'static str,
    laden: &'static str,
    limit: &'static str,
    rear: bool,
}

const AXLES: [Axle; 2] = [
    Axle {
        name: "front_axle",
        shown: "front axle",
        load: "front_axle_load",
        laden: "laden_front_axle_load",
        limit: "front_axle_limit",
        rear: false,
    },
    Axle {
        name: "rear_axle",
        shown: "rear axle",
        load: "rear_axle_load",
        laden: "laden_rear_axle_load",
        limit: "rear_axle_limit",
        rear: true,
    },
];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    if !(alone || any_stated(ctx)) {
        return Vec::new();
    }
    AXLES.iter().filter_map(|it| one(ctx, it)).map(plated).collect()
}

fn one(ctx: &Ctx<'_>, axle: &Axle) -> Option<Verdict> {
    let stated = |it: &str| !of_vehicle(ctx, it).claims().is_empty();
    if !stated(axle.limit) && !stated(axle.load) && !stated(axle.laden) {
        return None;
    }
    let hangs = format!("whether the {} carries what the work brings", axle.shown);
    let mut sum = Sum::new(ctx, CHECK.name, axle.name, site_of(ctx, axle.limit), hangs);
    sum.safety(["wheels".to_owned()]);
    sum.work(|sum| {
        let limit = sum.of_vehicle(axle.limit);
        for measure in [axle.laden, axle.load] {
            if let Some((load, true)) = weighed(sum, ctx, measure) {
                let how = if measure == axle.laden { "laden" } else { "with nothing on it" };
                let said =
                    format!("the {} carries {} {how}, weighed after the work", axle.shown, load.display());
                let needed = format!("the plate allows {}", limit?.display());
                return Some(Answer::at_most(load, limit?, &said, &needed));
            }
        }
        let laden = stated(axle.laden) || ctx.aim("payload").is_some();
        let measure = if laden { axle.laden } else { axle.load };
        let before = match weighed(sum, ctx, measure) {
            Some((load, _)) => Some(load),
            None => sum.of_vehicle(measure),
        };
        let changes = moved(sum, ctx);
        let share = changes.and_then(|it| share(sum, ctx, axle, &it));
        if !laden {
            sum.note("with nothing on it: nobody stated the loads laden");
        }
        let (before, limit, share) = (before?, limit?, share?);
        let after = before.add(&share).ok()?.shown_in("kg").ok()?;
        sum.formula(
            format!("{} + {} = {}", before.display(), share.display(), after.display()).replace("+ -", "− "),
        );
        let how = if laden { "laden" } else { "with nothing on it" };
        let said =
            format!("the {} carries {} {how}, {} before", axle.shown, after.display(), before.display());
        Some(Answer::at_most(after, limit, &said, &format!("the plate allows {}", limit.display())))
    })
}

/// What of the changes falls to an axle.
fn share(sum: &mut Sum<'_, '_>, ctx: &Ctx<'_>, axle: &Axle, moved: &[Moved<'_>]) -> Option<Quantity> {
    let mut total = nothing()?;
    let (mut in_full, mut missing) = (Vec::new(), false);
    let far: Vec<&Moved<'_>> =
        moved.iter().filter(|it| it.change.lo() != 0.0 || it.change.hi() != 0.0).collect();
    let wheelbase =
        if far.iter().any(|it| !small(ctx, it)) { Some(sum.of_vehicle("wheelbase")) } else { None };
    for it in far {
        if small(ctx, it) {
            if it.change.hi() > 0.0 {
                total = total.add(&Quantity::si(it.change.hi(), it.change.dimension()).ok()?).ok()?;
                in_full.push(it.place.shown());
            }
            continue;
        }
        let behind = sum.figure(it.place, "behind_axle");
        let (Some(behind), Some(Some(wheelbase))) = (behind, wheelbase) else {
            missing = true;
            continue;
        };
        let part = if axle.rear {
            sum.call("support_share", &[it.change, behind, wheelbase])?
        } else {
            sum.call("support_share", &[it.change, wheelbase.sub(&behind).ok()?, wheelbase])?
        };
        total = total.add(&part).ok()?;
    }
    if !in_full.is_empty() {
        sum.note(format!(
            "counted in full, for it is small and its place is not stated: {}",
            in_full.join(", ")
        ));
    }
    (!missing).then(|| total.shown_in("kg").ok()).flatten()
}

/// Whether a change is small and nobody stated where it sits.
fn small(ctx: &Ctx<'_>, moved: &Moved<'_>) -> bool {
    let size = moved.change.lo().abs().max(moved.change.hi().abs());
    size <= SMALL && !ctx.stated(moved.place, "behind_axle")
}

/// The newest load that was measured of the vehicle, and whether all of the work was done by then.
fn weighed(sum: &mut Sum<'_, '_>, ctx: &Ctx<'_>, measure: &str) -> Option<(Quantity, bool)> {
    let vehicle = ctx.built().vehicle;
    let name = vehicle.name(ctx.db);
    let logs = known::logs(ctx.db, ctx.workspace, ctx.world, vehicle);
    let entries = || logs.iter().flat_map(|(id, log)| log.entries.iter().map(move |it| (*id, it)));
    let measured = entries().filter_map(|(id, entry)| match &entry.event {
        Event::Measured { fact, precision, .. } => {
            let own = match fact.target.as_slice() {
                [] => true,
                [only] => only.value == name,
                _ => false,
            };
            (own && fact.name.value == measure).then_some((id, entry, fact, *precision))
        }
        _ => None,
    });
    let (id, entry, fact, precision) = measured.max_by_key(|it| it.1.date)?;
    let done = |place: &Place| {
        entries().any(|(_, it)| match &it.event {
            Event::Done { what, .. } => {
                it.date <= entry.date
                    && what
                        .split(|c: char| !c.is_alphanumeric() && c != '_')
                        .any(|it| it == place.name.as_str())
            }
            _ => false,
        })
    };
    let all_done = ctx.world.places.iter().filter(|it| it.changed()).all(done);
    let figure = fact.values.first()?.quantity()?;
    let usual = known::measure(ctx.db, ctx.workspace, ctx.world.root(), measure);
    let precision = precision.or(usual.and_then(|it| it.find_out.precision));
    let figure = match precision {
        Some(by) if figure.is_exact() => figure.plus_minus(&by).unwrap_or(figure),
        _ => figure,
    };
    sum.rests_on(&Found {
        values: fact.values.clone(),
        bound: fact.bound,
        standing: Standing::Measured,
        source: format!("job log, {} (measured)", entry.date),
        source_item: Some(id.item),
        site: id.site(entry.span),
    });
    Some((figure, all_done))
}

#[cfg(test)]
mod tests;
