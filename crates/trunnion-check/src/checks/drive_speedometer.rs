//! # drive/speedometer
//!
//! The speedometer shows no less than the true speed, and no more than the chosen regulation allows:
//! as measured beside a satellite receiver, else as it follows from pulses, final drive and tyres
//! against what the cluster is set for.
//!
//! ## Why it matters
//!
//! One tooth more on a sensor ring, another axle or taller tyres, and the needle shows less than it
//! runs: the fines are real, and the inspection does not pass it.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { speedometer is unece_39 }
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place gearbox is gearbox
//!   place cluster is cluster }
//! part six is gearbox fills gearbox { pulses 8 }
//! module dash is cluster fills cluster { fitted on Dunlin, expected pulses 9 }
//! vehicle van is Dunlin { built 2012-04, top speed 155 km/h }
//! conversion easy { recipient van, fit six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { speedometer is unece_39 }
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place gearbox is gearbox
//!   place cluster is cluster }
//! part six is gearbox fills gearbox { pulses 8 }
//! module dash is cluster fills cluster { fitted on Dunlin, expected pulses 8 }
//! vehicle van is Dunlin { built 2012-04, top speed 155 km/h }
//! conversion easy { recipient van, fit six }
//! ```
//!
//! ## What a sum leaves out
//!
//! The cluster's own error: it is taken to show exactly what it counts. Only a measurement beside a
//! satellite receiver tells that, and it goes before every sum: write the true speed into the tool,
//! `with "satellite receiver at 80 km/h"`. Proven is it on the tester.
//!
//! ## References
//!
//! UN Regulation No. 39, 5.3, and its test speeds; see `trunnion explain speedometer_most`. Other
//! jurisdictions have other rules: `basis { speedometer is … }` chooses.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::Event;
use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{beside, circumference, final_drive, gearbox, number};
use crate::rolling::is_wheel;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check = Check {
    name: "drive/speedometer",
    source: include_str!("drive_speedometer.rs"),
    judge: Judge::World(judge),
};

/// What a cluster is set for.
const SET_FOR: [&str; 3] = ["expected_pulses", "expected_circumference", "expected_ratio"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.of_kind("cluster").into_iter().filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, cluster: &Place) -> Option<Verdict> {
    let shown = ctx.fact(cluster, "shown_speed");
    let measured = shown.best().cloned();
    let giver = giver(ctx).or_else(|| gearbox(ctx));
    let sets = SET_FOR.iter().any(|it| ctx.stated(cluster, it) && !is_none(ctx, cluster, it));
    let wheels = ctx.world.places.iter().any(|it| is_wheel(it) && it.changed());
    let changes = [Some(cluster), giver, final_drive(ctx)].into_iter().flatten().any(Place::changed);
    let concerns = ctx.world.conversion.is_none() || changes || wheels;
    if measured.is_none() && !(sets && concerns) {
        return None;
    }
    let site = match &measured {
        Some(it) => it.site,
        None => giver.and_then(|it| it.done.last()).map_or(cluster.site, |it| it.site),
    };
    let hangs = "whether the speedometer shows what the regulation allows";
    Sum::new(ctx, CHECK.name, &*cluster.name, site, hangs).work(|sum| {
        let rule = sum.basis_word("speedometer", "unece_39");
        if let Some(other) = rule.as_ref().filter(|it| *it != "unece_39") {
            sum.refuse(format!("the handbook has no rule {other}; it has unece_39"));
        }
        sum.note("Clear on paper is not permission: the tester measures.");
        match &measured {
            Some(found) => as_measured(ctx, sum, cluster, found),
            None => as_worked_out(ctx, sum, cluster, giver),
        }
    })
}

/// Whether a unit says that it expects none: it does not count this.
fn is_none(ctx: &Ctx<'_>, place: &Place, measure: &str) -> bool {
    matches!(ctx.fact(place, measure), Known::Nothing(_))
}

/// What turns with the road and gives the pulses: behind the gears first, else at a wheel.
fn giver<'a>(ctx: &Ctx<'a>) -> Option<&'a Place> {
    let kinds = ["transfer_case", "gearbox", "final_drive", "hub"];
    kinds
        .iter()
        .flat_map(|it| ctx.of_kind(it))
        .find(|it| ctx.stated(it, "pulses") && !is_none(ctx, it, "pulses"))
}

/// A speed that was read off beside a true one.
fn as_measured(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, cluster: &Place, found: &Found) -> Option<Answer> {
    let shown = sum.figure(cluster, "shown_speed")?;
    let Some(at) = true_speed(ctx, found) else {
        let what = "at which true speed the shown speed was read";
        sum.lacks(
            what,
            Question {
                what: what.to_owned(),
                good: None,
                tool: Some("satellite receiver beside it, steady speed".to_owned()),
                precision: Some("1 km/h".to_owned()),
                minutes: Some(30),
                who: Who::Tape,
                gate: Gate::Road,
                hangs: "whether the speedometer shows what the regulation allows".to_owned(),
                type_in: Some("with \"satellite receiver at … km/h\"".to_owned()),
            },
        );
        return None;
    };
    let most = sum.call("speedometer_most", &[at])?;
    let allowed = Quantity::between(&at, &most).ok()?;
    let said = format!("at a true {} it shows {}", at.display(), shown.display());
    let needed = format!("{} to {} are allowed", figure(at)?, most.display());
    Some(Answer::inside(shown, allowed, &said, &needed))
}

/// The true speed in the tool of a measurement: "satellite receiver at 80 km/h".
fn true_speed(ctx: &Ctx<'_>, found: &Found) -> Option<Quantity> {
    let vehicle = ctx.built().vehicle;
    let logs = known::logs(ctx.db, ctx.workspace, ctx.world, vehicle);
    let entries = logs.iter().flat_map(|(id, log)| log.entries.iter().map(move |it| (id.site(it.span), it)));
    let tool = entries.into_iter().find_map(|(site, entry)| match &entry.event {
        Event::Measured { .. } if site == found.site => entry.tool.clone(),
        _ => None,
    })?;
    let words: Vec<&str> = tool.split_whitespace().collect();
    let at = words.windows(2).find(|it| it[1].starts_with("km/h") || it[1].starts_with("mph"))?;
    let unit = if at[1].starts_with("mph") { "mph" } else { "km/h" };
    Quantity::exact(at[0].replace(',', ".").parse().ok()?, unit).ok()
}

/// What follows from pulses, final drive and tyres.
fn as_worked_out(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    cluster: &Place,
    giver: Option<&Place>,
) -> Option<Answer> {
    let mut factors: Vec<Option<(Quantity, Quantity)>> = Vec::new();
    let expects = |measure: &str| ctx.stated(cluster, measure) && !is_none(ctx, cluster, measure);
    if expects("expected_pulses") {
        let expected = sum.figure(cluster, "expected_pulses");
        let given = giver.and_then(|it| sum.figure(it, "pulses"));
        factors.push(given.zip(expected));
    }
    if let (true, Some(axle)) = (expects("expected_ratio"), final_drive(ctx)) {
        let given = sum.figure(axle, "ratio");
        factors.push(given.zip(sum.figure(cluster, "expected_ratio")));
    }
    if expects("expected_circumference") {
        // A tyre that rolls farther turns less often: the cluster counts too little.
        let expected = sum.figure(cluster, "expected_circumference");
        let rolled = circumference(ctx, sum);
        factors.push(expected.zip(rolled));
    }
    let top = sum.of_vehicle("top_speed");
    let mut share = number(1.0)?;
    for factor in factors {
        let (above, below) = factor?;
        let one = above.div(&below).ok()?;
        sum.formula(format!("{} / {} = {}", above.display(), below.display(), plain(one)));
        share = share.mul(&one).ok()?;
    }
    let speeds = test_speeds(top?.in_unit("km/h")?);
    let mut worst: Option<(Quantity, Quantity, Quantity, Truth)> = None;
    for kmh in speeds {
        let at = Quantity::exact(kmh, "km/h").ok()?;
        let shown = at.mul(&share).ok()?.shown_in("km/h").ok()?;
        let most = beside("speedometer_most", &[at])?;
        let truth = shown.inside(&Quantity::between(&at, &most).ok()?).ok()?;
        sum.name(&format!("shown at {}", at.display()), &shown, "km/h");
        let rank = |it: Truth| [Truth::No, Truth::Maybe, Truth::Yes].iter().position(|other| *other == it);
        // Of equal answers the last speaks: the allowance is narrowest at the highest speed.
        if worst.as_ref().is_none_or(|it| rank(truth) <= rank(it.3)) {
            worst = Some((at, shown, most, truth));
        }
    }
    let (at, shown, ..) = worst?;
    let most = sum.call("speedometer_most", &[at])?;
    sum.formula(format!("{} × {} = {}", at.display(), plain(share), shown.display()));
    sum.note("The cluster is taken to show exactly what it counts; its own error is not in the sum.");
    let allowed = Quantity::between(&at, &most).ok()?;
    let said = format!("at a true {} it shows {}", at.display(), shown.display());
    let needed = format!("{} to {} are allowed", figure(at)?, most.display());
    Some(Answer::inside(shown, allowed, &said, &needed))
}

fn plain(share: Quantity) -> String {
    let [least, _, most] = [share.lo(), share.nominal(), share.hi()].map(|it| crate::ctx::trimmed(it, 3));
    if least == most { least } else { format!("{least} to {most}") }
}

/// A speed without its unit.
fn figure(speed: Quantity) -> Option<String> {
    Some(crate::ctx::trimmed(speed.in_unit("km/h")?, 1))
}

/// The true speeds at which UN Regulation No. 39 tests, by the top speed in km/h.
fn test_speeds(top: f64) -> Vec<f64> {
    match top {
        _ if top > 150.0 => vec![40.0, 80.0, 120.0],
        _ if top > 100.0 => vec![40.0, 80.0, 0.8 * top],
        _ if top > 45.0 => vec![40.0, 0.8 * top],
        _ => vec![0.8 * top],
    }
}

#[cfg(test)]
mod tests;
