//! # drive/road-speed
//!
//! At the cruise speed that the owner wants, the engine turns no faster (or no slower) than the aim
//! says. Beside it stand the speed per 1000 rpm in each gear and the gaps between the gears, which
//! must be listed from first to top.
//!
//! ## Why it matters
//!
//! A gearbox with one gear more promises quiet and does not keep it: with the old axle the engine
//! may scream all day, with a taller one it may not pull top gear at all.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is gearbox
//!   place final_drive is final_drive }
//! part axle_428 is final_drive fills final_drive { fitted on Dunlin, ratio 4.28 }
//! part auto_five is gearbox fills gearbox { ratios 3.51, 2.02, 1.39, 1.00, 0.81 }
//! vehicle van is Dunlin { built 2012-04, rolling circumference 2046 mm }
//! conversion easy { recipient van, fit auto_five
//!   aim cruise 110 km/h at most 2600 rpm }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is gearbox
//!   place final_drive is final_drive }
//! part axle_428 is final_drive fills final_drive { fitted on Dunlin, ratio 4.28 }
//! part auto_six is gearbox fills gearbox { ratios 4.31, 2.47, 1.59, 1.17, 0.88, 0.66 }
//! vehicle van is Dunlin { built 2012-04, rolling circumference 2046 mm }
//! conversion easy { recipient van, fit auto_six
//!   aim cruise 110 km/h at most 2600 rpm }
//! ```
//!
//! ## References
//!
//! Kinematics of a wheel that rolls without slip. What a tyre rolls, where nobody measured it:
//! `trunnion explain rolling_circumference`. Five per cent for an aim of "about": common practice,
//! no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::{Bound, Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, trimmed};
use crate::driveline::{beside, circumference, final_drive, gearbox, number, rolls};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check = Check {
    name: "drive/road-speed",
    source: include_str!("drive_road_speed.rs"),
    judge: Judge::World(judge),
};

/// How far off "about" may be, in per cent: common practice, no source.
const ABOUT: f64 = 5.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(gearbox), Some(axle)) = (gearbox(ctx), final_drive(ctx)) else { return Vec::new() };
    let engine = ctx.only_of_kind("engine");
    cruise(ctx, engine, gearbox, axle).into_iter().chain(gears(ctx, engine, gearbox, axle)).collect()
}

/// The engine speed at cruise, against the aim.
fn cruise(ctx: &Ctx<'_>, engine: Option<&Place>, gearbox: &Place, axle: &Place) -> Option<Verdict> {
    let (aim, found) = ctx.aim("cruise")?;
    let speed = aim.values.first()?.quantity()?;
    let begun = ctx.stated(gearbox, "ratios") || ctx.stated(axle, "ratio") || rolls(ctx);
    if !begun || !ctx.concerns(&[gearbox, axle]) && !engine.is_some_and(Place::changed) {
        return None;
    }
    let subject = format!("{}.cruise", gearbox.name);
    let hangs = format!("how fast the engine turns at {}", speed.display());
    Sum::new(ctx, CHECK.name, subject, found.site, hangs).work(|sum| {
        let ratios = sum.figures(gearbox, "ratios");
        let last = sum_axle(ctx, sum, axle, aim.limit, speed, ratios.as_deref());
        let rolled = circumference(ctx, sum);
        let limit = match (aim.limit, engine) {
            (Some(limit), _) => Some(limit),
            (None, Some(engine)) => sum.figure(engine, "peak_speed"),
            (None, None) => None,
        };
        let top = *ratios?.last()?;
        let (last, rolled, limit) = (last?, rolled?, limit?);
        let turns = sum.call("engine_speed", &[speed, top, last, rolled])?.shown_in("rpm").ok()?;
        sum.name("engine speed at cruise", &turns, "rpm");
        let said = format!(
            "at {} the engine turns {} in top gear ({} × {})",
            speed.display(),
            turns.display(),
            top.display(),
            last.display()
        );
        let bound = aim.bound.filter(|_| aim.limit.is_some()).unwrap_or(Bound::Most);
        if bound == Bound::Most && turns.lo() > limit.hi() {
            let share = limit.lo() / turns.hi();
            sum.fixes(shorter(ctx, axle, "ratio", last.nominal() * share));
            sum.fixes(shorter(ctx, gearbox, "ratios", top.nominal() * share));
        }
        Some(match (bound, aim.limit) {
            (Bound::Least, _) => {
                let needed = format!("the aim is at least {}", limit.display());
                Answer::at_least(turns, limit, &said, &needed)
            }
            (Bound::About, _) => {
                let allowed = Quantity::exact(ABOUT, "%").ok()?;
                sum.source(format!("{ABOUT} % for an aim of \"about\": common practice, no source"));
                Answer::within(turns, limit, allowed, &said, &format!("the aim is about {}", limit.display()))
            }
            (Bound::Most, Some(_)) => {
                Answer::at_most(turns, limit, &said, &format!("the aim is at most {}", limit.display()))
            }
            (Bound::Most, None) => {
                Answer::at_most(turns, limit, &said, &format!("it may turn {}", limit.display()))
            }
        })
    })
}

/// The ratio of the axle; where nobody stated it, what would be good follows from the rest.
fn sum_axle(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    axle: &Place,
    limit: Option<Quantity>,
    speed: Quantity,
    ratios: Option<&[Quantity]>,
) -> Option<Quantity> {
    if let (false, Some(limit), Some(top)) = (ctx.stated(axle, "ratio"), limit, ratios.and_then(<[_]>::last))
        && let Known::Stated(rolled) =
            known::of_vehicle(ctx.db, ctx.workspace, ctx.world, "rolling_circumference")
        && let Some(rolled) = rolled.first().and_then(Found::quantity)
        && let Some(plain) = beside("engine_speed", &[speed, *top, number(1.0)?, rolled])
    {
        sum.good(format!("at most {}", trimmed(limit.lo() / plain.hi(), 2)));
    }
    sum.figure(axle, "ratio")
}

/// Parts whose ratio, or whose top gear, is at most so long.
fn shorter(ctx: &Ctx<'_>, place: &Place, measure: &str, most: f64) -> Vec<trunnion_model::verdict::Fix> {
    replacements(ctx, place, &|id| {
        let found = known::of_part(ctx.db, ctx.workspace, id, measure);
        let last = found.first().and_then(|it| it.values.last()?.quantity());
        last.is_some_and(|it| it.nominal() <= most)
    })
}

/// The gears one by one, where all that they follow from is known.
fn gears(ctx: &Ctx<'_>, engine: Option<&Place>, gearbox: &Place, axle: &Place) -> Option<Verdict> {
    let known = !ctx.fact(gearbox, "ratios").claims().is_empty() && ctx.stated(axle, "ratio") && rolls(ctx);
    if !known || !ctx.concerns(&[gearbox, axle]) {
        return None;
    }
    let site = ctx.fact(gearbox, "ratios").claims().first().map(|it| it.site)?;
    let hangs = "how fast it runs in each gear";
    let verdict = Sum::new(ctx, CHECK.name, &*gearbox.name, site, hangs).work(|sum| {
        let ratios = sum.figures(gearbox, "ratios")?;
        let last = sum.figure(axle, "ratio")?;
        let rolled = circumference(ctx, sum)?;
        let redline = engine.and_then(|it| sum.maybe(it, "peak_speed"));
        let thousand = Quantity::exact(1000.0, "rpm").ok()?;
        let mut speeds = Vec::new();
        for (nth, ratio) in ratios.iter().enumerate() {
            let gear = nth + 1;
            let speed = match nth {
                0 => sum.call("road_speed", &[thousand, *ratio, last, rolled])?,
                _ => beside("road_speed", &[thousand, *ratio, last, rolled])?,
            };
            sum.name(&format!("gear {gear}, per 1000 rpm"), &tenths(speed)?, "km/h");
            speeds.push(speed);
            if let Some(most) = redline {
                let fastest = beside("road_speed", &[most, *ratio, last, rolled])?;
                sum.name(&format!("gear {gear}, at {}", most.display()), &tenths(fastest)?, "km/h");
                if let Some(next) = ratios.get(gear) {
                    let lands = beside("shift_drop", &[most, *ratio, *next])?.shown_in("rpm").ok()?;
                    let lands = Quantity::exact(lands.in_unit("rpm")?.round(), "rpm").ok()?;
                    sum.name(&format!("gear {gear} to {}, after the shift", gear + 1), &lands, "rpm");
                }
            }
            if let Some(next) = ratios.get(gear) {
                let gap = (1.0 - next.nominal() / ratio.nominal()) * 100.0;
                let gap = Quantity::exact((gap * 10.0).round() / 10.0, "%").ok()?;
                sum.name(&format!("gear {gear} to {}, gap", gear + 1), &gap, "%");
            }
        }
        let rises = ratios.windows(2).position(|it| it[0].nominal() <= it[1].nominal());
        let shown = |it: Option<&Quantity>| Some(tenths(*it?)?.display());
        let clear = format!(
            "1000 rpm make {} in first gear and {} in top gear.",
            shown(speeds.first())?,
            shown(speeds.last())?
        );
        let (truth, clash) = match rises {
            None => (Truth::Yes, String::new()),
            Some(at) => (
                Truth::No,
                format!(
                    "The gears of the {} are not listed from first to top: gear {} has {}, but gear {} has {}.",
                    gearbox.shown(),
                    at + 1,
                    ratios[at].display(),
                    at + 2,
                    ratios[at + 1].display()
                ),
            ),
        };
        Some(Answer::sentences(truth, clear, clash))
    });
    // What is missing or disputed is asked by the aim, or by the kind.
    verdict.filter(|it| it.outcome != Outcome::Open)
}

/// A speed to a tenth of a km/h.
fn tenths(speed: Quantity) -> Option<Quantity> {
    Quantity::exact((speed.in_unit("km/h")? * 10.0).round() / 10.0, "km/h").ok()
}

#[cfg(test)]
mod tests;
