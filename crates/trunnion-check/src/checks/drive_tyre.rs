//! # drive/tyre
//!
//! The tyres carry the axles and stand the top speed by their load index and speed symbol, and tyres
//! of another size say how much farther they roll than those that came off.
//!
//! ## Why it matters
//!
//! A tyre that is too weak for its axle runs hot inside and bursts when it is warm, loaded and fast.
//! A tyre of another size moves the speedometer, the gearing and the reading of every wheel-speed ring.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place wheel_rear both sides is wheel }
//! part alloy is wheel { tyre 205/65 R16, load index "95H" }
//! vehicle van is Dunlin { built 2012-04, rear axle limit 1500 kg, top speed 155 km/h }
//! conversion wheels { recipient van, fit alloy for wheel_rear }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place wheel_rear both sides is wheel }
//! part steel is wheel { tyre 205/65 R16, load index "107/105T" }
//! vehicle van is Dunlin { built 2012-04, rear axle limit 1500 kg, top speed 155 km/h }
//! conversion wheels { recipient van, fit steel for wheel_rear }
//! ```
//!
//! ## References
//!
//! Load indices and speed symbols: UN Regulations No. 30 and No. 54, load-capacity and
//! speed-category tables. Sizes by the marking: `trunnion explain tyre_diameter`. A size that rolls
//! within 3 % of the one before needs no more than the other checks say: common practice, no source;
//! local rules on approved sizes hold.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_handbook::registry::{self, Argument};
use trunnion_handbook::tyre::Tyre;
use trunnion_model::built::vehicle;
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{number, of_marking};
use crate::rolling::{is_wheel, tyre_on};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/tyre", source: include_str!("drive_tyre.rs"), judge: Judge::World(judge) };

/// How far a tyre of another size may roll from the one before, in per cent: common practice.
const OTHER_SIZE: f64 = 3.0;

/// The axles: the word in the name of a wheel's place, and the measure of the axle's limit.
const AXLES: [(&str, &str); 2] = [("front", "front_axle_limit"), ("rear", "rear_axle_limit")];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let wheels: Vec<&Place> = ctx.world.places.iter().filter(|it| is_wheel(it)).collect();
    let mut verdicts = Vec::new();
    for wheel in &wheels {
        if ctx.world.conversion.is_some() && !wheel.changed() {
            continue;
        }
        let axle = AXLES.into_iter().find(|(word, _)| wheel.name.contains(word));
        verdicts.extend(axle.and_then(|(word, limit)| load(ctx, wheel, word, limit)));
        verdicts.extend(speed(ctx, wheel));
        verdicts.extend(size(ctx, wheel));
    }
    verdicts
}

/// Load index and speed symbol of a wheel's tyre: from `load index`, else from the whole marking.
fn service(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, wheel: &Place) -> Option<Tyre> {
    let text = match begun(ctx, wheel) {
        // `107/105T` is the tail of a marking; a size in front of it makes it a whole one.
        Some("load_index") => sum.word(wheel, "load_index").map(|it| format!("205/65 R16 {it}")),
        Some(_) => tyre_on(ctx).map(|(marking, found)| {
            sum.rests_on(&found);
            marking
        }),
        None => {
            sum.word(wheel, "load_index");
            None
        }
    }?;
    match Tyre::parse(&text) {
        Ok(it) => Some(it),
        Err(_) => {
            let said = text.trim_start_matches("205/65 R16 ");
            sum.refuse(format!("`{said}` is no load index with a speed symbol, such as 107/105T"));
            None
        }
    }
}

/// What tells the load index: the fact of that name, or a marking that has it.
fn begun(ctx: &Ctx<'_>, wheel: &Place) -> Option<&'static str> {
    if ctx.stated(wheel, "load_index") {
        return Some("load_index");
    }
    let (marking, _) = tyre_on(ctx)?;
    Tyre::parse(&marking).ok()?.load.map(|_| "tyre")
}

fn site(ctx: &Ctx<'_>, wheel: &Place) -> trunnion_model::db::Site {
    let stated = ctx.fact(wheel, "load_index").claims().first().map(|it| it.site);
    wheel.done.last().map(|it| it.site).or(stated).unwrap_or_else(|| ctx.root_site())
}

/// What all tyres of the axle carry, against the axle's limit.
fn load(ctx: &Ctx<'_>, wheel: &Place, word: &str, limit: &str) -> Option<Verdict> {
    let of_axle = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, limit);
    if begun(ctx, wheel).is_none() && (of_axle.claims().is_empty() || !wheel.after.is_filled()) {
        return None;
    }
    let subject = format!("{}.load", wheel.name);
    let hangs = format!("whether the tyres carry the {word} axle");
    Sum::new(ctx, CHECK.name, subject, site(ctx, wheel), hangs).work(|sum| {
        sum.safety_of(&[wheel]);
        let tyre = service(ctx, sum, wheel);
        let limit = sum.of_vehicle(limit);
        let (tyre, limit) = (tyre?, limit?);
        let twin = wheel.count >= 4;
        let index = if twin { tyre.load_twin.or(tyre.load) } else { tyre.load };
        let Some(index) = index else {
            sum.refuse("the marking has no load index");
            return None;
        };
        let each = sum.call("load_of_index", &[number(f64::from(index))?])?;
        let count = if twin { 4.0 } else { 2.0 };
        let carried = each.mul(&number(count)?).ok()?.shown_in("kg").ok()?;
        sum.formula(format!("{count} × {} = {}", each.display(), carried.display()));
        let said = format!("{count} tyres of load index {index} carry {}", carried.display());
        let needed = format!("the {word} axle may weigh {}", limit.display());
        Some(Answer::at_least(carried, limit, &said, &needed))
    })
}

/// What the speed symbol stands for, against the top speed.
fn speed(ctx: &Ctx<'_>, wheel: &Place) -> Option<Verdict> {
    let top = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, "top_speed");
    if begun(ctx, wheel).is_none() || matches!(top, Known::Unknown | Known::Nothing(_)) {
        return None;
    }
    let subject = format!("{}.speed", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(ctx, wheel), "whether the tyres stand the top speed").work(
        |sum| {
            sum.safety_of(&[wheel]);
            let tyre = service(ctx, sum, wheel);
            let top = sum.of_vehicle("top_speed");
            let tyre = tyre?;
            let Some(symbol) = tyre.speed else {
                sum.refuse("the marking has no speed symbol");
                return None;
            };
            let stands = of_symbol(sum, symbol)?;
            let top = top?;
            let said = format!("the speed symbol {symbol} stands for {}", stands.display());
            let needed = format!("the top speed is {}", top.display());
            Some(Answer::at_least(stands, top, &said, &needed))
        },
    )
}

/// What a speed symbol stands for.
fn of_symbol(sum: &mut Sum<'_, '_>, symbol: char) -> Option<Quantity> {
    let function = registry::function("speed_of_symbol")?;
    match function.call_with(&[Argument::Word(&symbol.to_string())]) {
        Ok(made) => {
            sum.formula(made.with_numbers);
            for source in function.sources {
                sum.source(source.to_string());
            }
            Some(made.value)
        }
        Err(error) => {
            sum.refuse(error.to_string());
            None
        }
    }
}

/// How much farther another size rolls than the one that came off.
fn size(ctx: &Ctx<'_>, wheel: &Place) -> Option<Verdict> {
    let new = ctx.fact(wheel, "tyre").best().filter(|_| wheel.changed())?.clone();
    let old = ctx.fact_before(wheel, "tyre").best().cloned();
    let (before, rests_on) = match old {
        Some(it) => (it.display(), Some(it)),
        None => (vehicle(ctx.db, ctx.built().vehicle)?.tyre.as_ref()?.0.value.to_string(), None),
    };
    let after = new.display();
    if [&before, &after].iter().any(|it| Tyre::parse(it).is_err()) {
        return None;
    }
    let subject = format!("{}.size", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(ctx, wheel), "how far the new tyres roll").work(|sum| {
        sum.safety_of(&[wheel]);
        sum.rests_on(&new);
        if let Some(it) = &rests_on {
            sum.rests_on(it);
        }
        let old = of_marking(sum, &before);
        let rolled = of_marking(sum, &after);
        let (old, rolled) = (old?, rolled?);
        let plain = |it: &Quantity| number(it.in_unit("mm")?);
        // The spread of makes is the same for both; the design figures are compared.
        let off = sum.call("ratio_error", &[plain(&rolled)?, plain(&old)?])?;
        let share = off.in_unit("%")?;
        sum.name("difference of the tyres", &off, "%");
        let allowed = sum.basis_or("tyre_size", OTHER_SIZE, "%")?;
        let side = if share < 0.0 { "less" } else { "farther" };
        let shown = Quantity::exact((share.abs() * 10.0).round() / 10.0, "%").ok()?;
        let truth = if share.abs() <= allowed.in_unit("%")? + 1e-9 { Truth::Yes } else { Truth::No };
        let said = match share.abs() < 0.05 {
            true => format!("{after} rolls as far as {before}"),
            false => format!("{after} rolls {} {side} than {before}", shown.display()),
        };
        let answer = Answer::told(truth, &said, &format!("up to {} are usual", allowed.display()));
        Some(answer.need(allowed.display(), shown.display()))
    })
}

#[cfg(test)]
mod tests;
