//! # drive/torque
//!
//! Each part between crank and wheel carries the peak torque that comes to it: the engine's in front
//! of the gears; behind them as multiplied by converter, lowest gear and low range, as far as the
//! tyres do not slip sooner.
//!
//! ## Why it matters
//!
//! The engine that drives the old gearbox politely on the flat strips its first gear, or the pinion
//! behind it, on the first start uphill with a trailer.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is manual_gearbox
//!   place propshaft is propshaft
//!   place final_drive is final_drive }
//! part strong is engine { peak torque 400 Nm }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, ratios 4.72, 2.53, 1.49, 1.00 }
//! part slim is propshaft fills propshaft { fitted on Dunlin, torque limit 1000 Nm }
//! part axle is final_drive fills final_drive { fitted on Dunlin, ratio 4.28 }
//! vehicle van is Dunlin { built 2012-04, rear axle load 1480 kg, tyre 205/65 R16 }
//! conversion stronger { recipient van, fit strong for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is manual_gearbox
//!   place propshaft is propshaft
//!   place final_drive is final_drive }
//! part strong is engine { peak torque 400 Nm }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, ratios 4.72, 2.53, 1.49, 1.00 }
//! part stout is propshaft { torque limit 2200 Nm }
//! part axle is final_drive fills final_drive { fitted on Dunlin, ratio 4.28 }
//! vehicle van is Dunlin { built 2012-04, rear axle load 1480 kg, tyre 205/65 R16 }
//! conversion stronger { recipient van, fit strong for engine, fit stout for propshaft }
//! ```
//!
//! ## What a limit is a limit of
//!
//! The permitted torque of a clutch, a converter or a gearbox is that of the engine in front of it.
//! That of a propshaft, a transfer case or a final drive is the torque at its input flange; that of
//! a halfshaft is its own, half of the axle's. A data sheet that gives another one is divided by the
//! ratio between. Losses are not counted: they only help.
//!
//! ## References
//!
//! Statics of gears in series; friction of the tyres: `trunnion explain driveline_torque`,
//! `trunnion explain grip_torque`. A grip of 1.0, a dry road at its best: common practice, no source.

use std::f64::consts::TAU;

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::Found;
use trunnion_model::judge::text;
use trunnion_model::known;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::driveline::{circumference, final_drive, gearbox, is_front, number, output_torque, shaft_torque};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/torque", source: include_str!("drive_torque.rs"), judge: Judge::World(judge) };

/// Where in the chain a part sits.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Seat {
    /// It gets what the engine gives.
    Engine,
    /// It gets what leaves the gearbox.
    Gearbox,
    /// It gets what goes to one axle.
    Shaft,
    /// It gets half of what the axle turns with.
    Half,
}

/// The kinds in the chain, and where they sit in it.
const SEATS: [(&str, Seat); 7] = [
    ("clutch", Seat::Engine),
    ("torque_converter", Seat::Engine),
    ("gearbox", Seat::Engine),
    ("transfer_case", Seat::Gearbox),
    ("propshaft", Seat::Shaft),
    ("final_drive", Seat::Shaft),
    ("halfshaft", Seat::Half),
];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(engine), Some(gearbox)) = (ctx.only_of_kind("engine"), gearbox(ctx)) else { return Vec::new() };
    let mut verdicts: Vec<Verdict> = Vec::new();
    for (kind, seat) in SEATS {
        for place in ctx.of_kind(kind) {
            let asked = |it: &Verdict| it.question.as_ref().map(|it| it.what.clone());
            // What is missing is asked once, though several parts hang on it.
            let new = one(ctx, engine, gearbox, place, seat).filter(|new| {
                new.outcome != Outcome::Open || verdicts.iter().all(|it| asked(it) != asked(new))
            });
            verdicts.extend(new);
        }
    }
    verdicts
}

fn one(ctx: &Ctx<'_>, engine: &Place, gearbox: &Place, place: &Place, seat: Seat) -> Option<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let changes = [engine, gearbox, place].iter().any(|it| it.changed());
    if !ctx.stated(place, "torque_limit") || !(alone || changes) {
        return None;
    }
    if seat == Seat::Engine && needed(ctx, place) {
        return None;
    }
    let site = [place, engine, gearbox].iter().find_map(|it| it.done.last()).map_or(place.site, |it| it.site);
    let hangs = format!("whether the {} carries what comes to it", place.shown());
    Sum::new(ctx, CHECK.name, &*place.name, site, hangs).work(|sum| {
        let limit = sum.figure(place, "torque_limit");
        let front = is_front(ctx, place);
        let torque = match seat {
            Seat::Engine => sum.figure(engine, "peak_torque"),
            Seat::Gearbox => output_torque(ctx, sum, engine, gearbox),
            Seat::Shaft | Seat::Half => shaft_torque(ctx, sum, engine, gearbox, front),
        };
        let axle = axle(ctx, front);
        let ratio = match (seat, axle) {
            (Seat::Half, Some(axle)) => sum.figure(axle, "ratio"),
            _ => number(1.0),
        };
        let (limit, torque, ratio) = (limit?, torque?, ratio?);
        let torque = if seat == Seat::Half { half(sum, torque, ratio)? } else { torque };
        let mut said = format!("the {} gets {}", place.shown(), torque.display());
        let mut comes = torque;
        let behind = matches!(seat, Seat::Shaft | Seat::Half);
        if behind && torque.at_most(&limit) != Ok(Truth::Yes) {
            let most = tyres_pass(ctx, sum, axle, seat, front)?;
            if most.hi() < torque.hi() {
                comes = most;
                said = format!(
                    "the {} gets {}, then the tyres slip (the engine could give {})",
                    place.shown(),
                    most.display(),
                    torque.display()
                );
            }
        }
        if comes.at_most(&limit) == Ok(Truth::No) {
            sum.fixes(replacements(ctx, place, &|id| {
                let found = known::of_part(ctx.db, ctx.workspace, id, "torque_limit");
                let other = found.first().and_then(Found::quantity);
                other.is_some_and(|it| comes.at_most(&it) == Ok(Truth::Yes))
            }));
        }
        Some(Answer::at_most(comes, limit, &said, &format!("it carries {}", limit.display())))
    })
}

/// The final drive of the axle that is meant.
fn axle<'a>(ctx: &Ctx<'a>, front: bool) -> Option<&'a Place> {
    let all = ctx.of_kind("final_drive");
    all.iter().copied().find(|it| is_front(ctx, it) == front).or_else(|| final_drive(ctx))
}

/// Half of what an axle turns with: a differential gives both sides the same.
fn half(sum: &mut Sum<'_, '_>, torque: Quantity, ratio: Quantity) -> Option<Quantity> {
    let half = torque.mul(&ratio).ok()?.div(&number(2.0)?).ok()?.shown_in("Nm").ok()?;
    sum.formula(format!("{} × {} / 2 = {}", torque.display(), ratio.display(), half.display()));
    sum.note("With the two sides locked together, one halfshaft may have to carry all of it.");
    Some(half)
}

/// What a shaft to an axle gets before the tyres slip.
pub(crate) fn tyres_pass_shaft(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, front: bool) -> Option<Quantity> {
    tyres_pass(ctx, sum, axle(ctx, front), Seat::Shaft, front)
}

/// What gets through before the tyres slip, at the shaft or halfshaft. Collects what is missing.
fn tyres_pass(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    axle: Option<&Place>,
    seat: Seat,
    front: bool,
) -> Option<Quantity> {
    let (laden, empty) = match front {
        true => ("laden_front_axle_load", "front_axle_load"),
        false => ("laden_rear_axle_load", "rear_axle_load"),
    };
    let load = sum.maybe_of_vehicle(laden).or_else(|| sum.of_vehicle(empty));
    let ratio = axle.and_then(|it| sum.figure(it, "ratio"));
    let rolled = circumference(ctx, sum);
    let grip = sum.basis_or("grip", 1.0, "");
    let radius = rolled?.div(&number(TAU)?).ok()?.shown_in("mm").ok()?;
    let at_wheels = sum.call("grip_torque", &[load?, grip?, radius])?;
    let by = if seat == Seat::Half { number(2.0)? } else { ratio? };
    let most = at_wheels.div(&by).ok()?.shown_in("Nm").ok()?;
    sum.formula(format!("{} / {} = {}", at_wheels.display(), by.display(), most.display()));
    Some(most)
}

/// Whether the limit is stated as a need somewhere, which is judged there.
fn needed(ctx: &Ctx<'_>, place: &Place) -> bool {
    let own = place.after.parts().iter().filter_map(|it| ctx.part(*it)).flat_map(|it| &it.needs);
    let others = ctx.world.places.iter().flat_map(|it| it.after.parts());
    let mut others = others.filter_map(|it| ctx.part(*it)).flat_map(|it| &it.needs);
    let limit = format!("{} torque limit", place.shown());
    own.into_iter().any(|it| text(&it.condition).contains("peak torque"))
        || others.any(|it| text(&it.condition).contains(&limit))
}

#[cfg(test)]
mod tests;
