//! # heat/cooler
//!
//! The coolers that a unit's oil or water flows through carry off the heat it gives, on the hottest day
//! of the `basis` (40 °C where none is stated).
//!
//! ## Why it matters
//!
//! An automatic's oil is burnt on one long climb with a trailer, and nobody notices before the
//! gearbox slips. The cooler that came with the radiator was chosen for another unit.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! medium gearbox_oil
//! kind box { asks port cooler_out carrying gearbox_oil, cooler }
//! kind cooler { asks port inlet carrying gearbox_oil, cooler }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place oil_cooler is cooler
//!   line hose joins gearbox.cooler_out to oil_cooler.inlet, carrying gearbox_oil }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil, cooler 5.2 kW, temperature limit 120 °C }
//! part core is cooler fills oil_cooler { fitted on Dunlin, port inlet carrying gearbox_oil, cooler 4 kW, rated difference 80 K }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! medium gearbox_oil
//! kind box { asks port cooler_out carrying gearbox_oil, cooler }
//! kind cooler { asks port inlet carrying gearbox_oil, cooler }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place oil_cooler is cooler
//!   line hose joins gearbox.cooler_out to oil_cooler.inlet, carrying gearbox_oil }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil, cooler 5.2 kW, temperature limit 120 °C }
//! part core is cooler fills oil_cooler { fitted on Dunlin, port inlet carrying gearbox_oil, cooler 6.5 kW, rated difference 80 K }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Balance of heat; a cooler carries off heat in proportion to the difference of temperature, see `trunnion
//! explain cooler_heat`. The hot side is the highest temperature that the unit permits, else the one it has
//! in use. Coolers in a row are added up, each as if it got the air first: a cooler behind another carries
//! off less. 40 °C: common practice, no source. A radiator with an oil cooler in its tank states the heat of
//! that; heat of one port is stated as `top.cooler 62 kW`.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::EndClass;
use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{EndAt, Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, listed};
use crate::masses::of_vehicle;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "heat/cooler", source: include_str!("heat_cooler.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled() && !cools(ctx, it));
    places.filter_map(|it| one(ctx, it)).collect()
}

/// Whether a cooler or radiator sits there.
fn cools(ctx: &Ctx<'_>, place: &Place) -> bool {
    let is = |it: &str| ctx.kind_after(place).is_some_and(|(_, kind)| kind.is(ctx.db, it));
    is("cooler") || is("radiator")
}

/// A cooler on the way, and the port at which it is entered.
struct Cooler<'a> {
    place: &'a Place,
    port: EndAt,
}

/// The coolers that what flows out of a place runs through, of the first medium that meets any.
fn coolers<'a>(ctx: &Ctx<'a>, from: &Place) -> (Option<String>, Vec<Cooler<'a>>) {
    let mut medium: Option<String> = None;
    let mut found: Vec<Cooler<'a>> = Vec::new();
    let mut next = vec![from.name.clone()];
    while let Some(at) = next.pop() {
        for line in ctx.world.lines.iter().filter(|it| it.joint.after) {
            let (here, there) = if line.joint.a.place == at {
                (&line.joint.a, &line.joint.b)
            } else if line.joint.b.place == at {
                (&line.joint.b, &line.joint.a)
            } else {
                continue;
            };
            let carries = line.line.medium.as_ref().map(|it| it.head().to_string());
            // A line that carries something else than its port is line/mate's.
            let of_port = carried(ctx, here);
            let other = of_port.is_some() && of_port != carries;
            if carries.is_none() || (medium.is_some() && carries != medium) || other {
                continue;
            }
            let Some(place) = ctx.world.place(&there.place).filter(|it| it.after.is_filled()) else {
                continue;
            };
            if !cools(ctx, place) || found.iter().any(|it| it.place.name == place.name) {
                continue;
            }
            medium = medium.or(carries);
            next.push(place.name.clone());
            found.push(Cooler { place, port: there.clone() });
        }
    }
    (medium, found)
}

/// What a port carries, as its part states.
fn carried(ctx: &Ctx<'_>, at: &EndAt) -> Option<String> {
    let part = ctx.part(ctx.world.place(&at.place)?.after.part()?)?;
    Some(part.end(&at.end)?.carrying.as_ref()?.head().to_string())
}

/// What is known of the heat that a cooler carries off: by the port entered, else by itself.
fn rated(ctx: &Ctx<'_>, cooler: &Cooler<'_>, medium: &str) -> Known {
    let of_port = match cooler.place.after.part() {
        Some(id) => known::of_part_about(ctx.db, ctx.workspace, id, &cooler.port.end, "cooler"),
        None => Known::Unknown,
    };
    if of_port != Known::Unknown {
        return of_port;
    }
    let ends = ctx.ends(cooler.place, When::After);
    let oil = ends
        .iter()
        .any(|it| it.class == EndClass::Port && it.name == "oil_in" && it.stated.is_some() && !it.absent);
    if medium == "coolant" && oil { Known::Unknown } else { ctx.fact(cooler.place, "cooler") }
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let (medium, coolers) = coolers(ctx, place);
    let medium = medium?;
    let changes = place.changed() || coolers.iter().any(|it| it.place.changed());
    let gives = ctx.stated(place, "cooler");
    let carried = coolers.iter().any(|it| !rated(ctx, it, &medium).claims().is_empty());
    if !(changes || ctx.world.conversion.is_none()) || !(gives || carried) {
        return None;
    }
    let site = place.done.last().or(coolers.iter().find_map(|it| it.place.done.last()));
    let hangs = format!("whether the heat of the {} is carried off", place.shown());
    let sum = Sum::new(ctx, CHECK.name, &*place.name, site.map_or(place.site, |it| it.site), hangs.clone());
    sum.work(|sum| {
        let heat = sum.figure(place, "cooler");
        let hot = sum.maybe(place, "temperature_limit").or_else(|| sum.figure(place, "temperature"));
        let air = sum.basis_or("ambient", 40.0, "°C");
        let rated: Vec<_> = coolers.iter().map(|it| figure(sum, ctx, it, &medium, &hangs)).collect();
        let differences: Vec<_> = coolers.iter().map(|it| sum.figure(it.place, "rated_difference")).collect();
        let (heat, over) = (heat?, hot?.sub(&air?).ok()?);
        let mut total: Option<Quantity> = None;
        for (rated, difference) in rated.into_iter().zip(differences) {
            let one = sum.call("cooler_heat", &[rated?, difference?, over])?.shown_in("kW").ok()?;
            total = Some(match total {
                Some(it) => it.add(&one).ok()?.shown_in("kW").ok()?,
                None => one,
            });
        }
        let total = total?;
        if let Some(tows) = of_vehicle(ctx, "tows").quantity() {
            sum.note(format!(
                "it tows {}: the heat stated must be the one with that trailer",
                tows.display()
            ));
        }
        if coolers.len() > 1 {
            sum.note("a cooler behind another gets warmer air and carries off less than is counted here");
        }
        if let [only] = coolers.as_slice() {
            sum.fixes(replacements(ctx, only.place, &|id| carries(ctx, id, &heat, &over)));
        }
        let who: Vec<String> = coolers.iter().map(|it| ctx.part_shown(it.place)).collect();
        let s = if who.len() == 1 { "s" } else { "" };
        let said = format!(
            "{} carr{} off {} at {} over the air",
            listed(&who),
            if s == "s" { "ies" } else { "y" },
            total.display(),
            over.display()
        );
        let needed = format!("{} gives {}", ctx.part_shown(place), heat.display());
        Some(Answer::at_least(total, heat, &said, &needed))
    })
}

/// The figure of a cooler, kept as what the sum rests on; asked for where nobody stated it.
fn figure(
    sum: &mut Sum<'_, '_>,
    ctx: &Ctx<'_>,
    cooler: &Cooler<'_>,
    medium: &str,
    hangs: &str,
) -> Option<Quantity> {
    match rated(ctx, cooler, medium) {
        Known::Stated(claims) => {
            let best = claims.first()?;
            sum.rests_on(best);
            best.quantity()
        }
        Known::Disputed(_) => sum.figure(cooler.place, "cooler"),
        Known::Nothing(found) => {
            sum.rests_on(&found);
            sum.refuse(format!("{} carries off none, it says", ctx.part_shown(cooler.place)));
            None
        }
        Known::Unknown if ctx.stated(cooler.place, "cooler") => {
            let mut question = ctx.question(cooler.place, "cooler", hangs);
            question.what = format!(
                "the heat that the {} carries off by its {}",
                cooler.place.shown(),
                cooler.port.end.replace('_', " ")
            );
            question.type_in = cooler
                .place
                .after
                .part()
                .map(|id| format!("in part {}: {}.cooler … kW", id.name(ctx.db), cooler.port.end));
            sum.lacks(question.what.clone(), question);
            None
        }
        Known::Unknown => {
            let mut question = ctx.question(cooler.place, "cooler", hangs);
            question.what = format!("the heat that the {} carries off", cooler.place.shown());
            let fix = ctx.state_fact(cooler.place, "cooler", Some("kW"));
            sum.settle_with(&Known::Unknown, question, fix)?.quantity()
        }
    }
}

/// Whether a part of the catalogue carries off the heat at that difference.
fn carries(ctx: &Ctx<'_>, id: Id, heat: &Quantity, over: &Quantity) -> bool {
    let figure = |name: &str| {
        let claims = known::of_part(ctx.db, ctx.workspace, id, name);
        claims.first().and_then(Found::quantity)
    };
    let (Some(rated), Some(difference)) = (figure("cooler"), figure("rated_difference")) else {
        return false;
    };
    let function = trunnion_handbook::registry::function("cooler_heat");
    let made = function.and_then(|it| it.call(&[rated, difference, *over]).ok());
    made.is_some_and(|it| it.value.at_least(heat) == Ok(Truth::Yes))
}

#[cfg(test)]
mod tests;
