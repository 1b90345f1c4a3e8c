//! # wire/strap
//!
//! The ground strap loses little under the starter's current: worked out from its length and size, or as it
//! was measured.
//!
//! ## Why it matters
//!
//! All current of the starter comes back through it. A thin, long or rusty strap makes the starter slow,
//! lifts every ground of the engine's sensors, and sends the current home through cables and bearings.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place starter is starter
//!   zone bay
//!   ground G1 at bay }
//! part store is starter_battery fills starter_battery { fitted on Dunlin, plug P { 2 ground } }
//! part turner is starter { peak current 600 A }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion big { recipient van, fit turner for starter
//!   wire starter_battery.P[2] to G1 16 mm2 BK by bay, 0.9 m long }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place starter is starter
//!   zone bay
//!   ground G1 at bay }
//! part store is starter_battery fills starter_battery { fitted on Dunlin, plug P { 2 ground } }
//! part turner is starter { peak current 600 A }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion big { recipient van, fit turner for starter
//!   wire starter_battery.P[2] to G1 50 mm2 BK by bay, 0.4 m long }
//! ```
//!
//! ## References
//!
//! Resistance of the strap: `trunnion explain vehicle_wire_resistance`; drop: `trunnion explain
//! series_drop`. That 0.2 V are good while cranking: common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{Laid, Place, WireAt, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::cavity;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/strap", source: include_str!("wire_strap.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = Vec::new();
    if let Some((battery, starter)) = ctx.only_of_kind("starter_battery").zip(ctx.only_of_kind("starter")) {
        let straps = ctx.world.wires.iter().filter(|it| is_strap(ctx, battery, starter, it));
        let near = straps.filter(|it| it.laid == Laid::Conversion || ctx.concerns(&[battery, starter]));
        let begun = near.filter(|it| it.wire.size.is_some() && ctx.stated(starter, "peak_current"));
        verdicts.extend(begun.filter_map(|it| worked(ctx, battery, starter, it)));
    }
    for kind in ["engine", "starter", "alternator"] {
        let measured = ctx.of_kind(kind).into_iter().filter(|it| ctx.stated(it, "earth_drop"));
        verdicts.extend(measured.filter(|it| ctx.concerns(&[it])).filter_map(|it| read(ctx, it)));
    }
    verdicts
}

/// From a ground post of the battery or the starter to a ground, or from the engine's block to the body.
fn is_strap(ctx: &Ctx<'_>, battery: &Place, starter: &Place, wire: &WireAt) -> bool {
    let own = |end: &WireEnd| {
        cavity(ctx, end).is_some_and(|(place, it)| {
            (place.name == battery.name || place.name == starter.name) && it.role.value == "ground"
        })
    };
    let case = |end: &WireEnd| match end {
        WireEnd::Ground(_) => true,
        WireEnd::Strange(text) => ["body.", "engine.", "gearbox."].iter().any(|it| text.starts_with(it)),
        _ => false,
    };
    let (a, b) = (&wire.a, &wire.b);
    own(a) && case(b) || own(b) && case(a) || case(a) && case(b)
}

fn limit(sum: &mut Sum<'_, '_>) -> Option<Quantity> {
    sum.basis_or("strap_drop", 0.2, "V")
}

fn worked(ctx: &Ctx<'_>, battery: &Place, starter: &Place, wire: &WireAt) -> Option<Verdict> {
    let changed = [starter, battery].into_iter().find_map(|it| it.done.last());
    let own = wire.id.site(wire.wire.span);
    let site = if wire.laid == Laid::Conversion { own } else { changed.map_or(own, |it| it.site) };
    let name = format!("{} to {}", wire.a.text(), wire.b.text());
    let sum = Sum::new(ctx, CHECK.name, name.clone(), site, "whether the starter's current comes home");
    sum.work(|sum| {
        sum.rests_on(&known::said(ctx.db, ctx.workspace, wire.id, &wire.wire.claim, wire.wire.span));
        sum.note("bolts and paint under a lug lose more: measure it while cranking");
        let limit = limit(sum);
        let peak = sum.figure(starter, "peak_current");
        let temperature = sum.basis_or("strap_temperature", 80.0, "°C");
        if wire.wire.length.is_none() {
            let mut question = ctx.question(starter, "peak_current", sum.hangs());
            question.what = format!("how long the strap {name} is");
            question.tool = Some("tape".to_owned());
            question.type_in = Some("wire … … m long".to_owned());
            sum.lacks(question.what.clone(), question);
        }
        let each = sum.call("vehicle_wire_resistance", &[wire.wire.size?, temperature?])?;
        let length = wire.wire.length?;
        let whole = each.mul(&length).ok()?.shown_in("mΩ").ok()?;
        sum.formula(format!("resistance = {} × {} = {}", each.display(), length.display(), whole.display()));
        let drop = sum.call("series_drop", &[peak?, whole])?;
        let said = format!("at {} the strap {name} loses {}", peak?.display(), drop.display());
        Some(Answer::at_most(drop, limit?, &said, &format!("{} are good", limit?.display())))
    })
}

/// What was measured from a case to the battery's minus.
fn read(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let site = place.done.last().map_or(place.site, |it| it.site);
    let what = ctx.part_shown(place);
    let subject = format!("{}.earth_drop", place.name);
    let sum = Sum::new(ctx, CHECK.name, subject, site, format!("whether the ground of {what} is sound"));
    sum.work(|sum| {
        let limit = limit(sum);
        let drop = sum.figure(place, "earth_drop");
        let said = format!("from {what} to the battery's minus {} are lost", drop?.display());
        Some(Answer::at_most(drop?, limit?, &said, &format!("{} are good", limit?.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(starter: &str, strap: &str) -> String {
        format!(
            r"
family Dunlin {{ built 2009-06 to 2018-12
  place starter_battery is starter_battery
  place starter is starter
  zone bay
  ground G1 at bay }}
part store is starter_battery fills starter_battery {{ fitted on Dunlin, plug P {{ 2 ground }} }}
part turner is starter {{ {starter} }}
vehicle van is Dunlin {{ built 2012-04 }}
basis {{ strap temperature 20 °C }}
conversion big {{ recipient van, fit turner for starter
  {strap} }}"
        )
    }

    /// ISO 6722-1, 50 mm²: at most 0.368 mΩ/m at 20 °C; 0.5 m of it at 500 A lose 0.092 V.
    #[test]
    fn a_thick_short_strap_is_clear() {
        let found = check(
            "wire/strap",
            &van("peak current 500 A", "wire starter_battery.P[2] to G1 50 mm2 BK by bay, 0.5 m long"),
        );
        found.clear("At 500 A the strap starter_battery.P[2] to G1 loses 0.092 V; 0.2 V are good.");
        assert_eq!(found.text(), "wire starter_battery.P[2] to G1 50 mm2 BK by bay, 0.5 m long");
    }

    /// The same of 16 mm²: 1.16 mΩ/m, 1 m, 0.58 V.
    #[test]
    fn a_thin_long_one_clashes() {
        let found = check(
            "wire/strap",
            &van("peak current 500 A", "wire starter_battery.P[2] to G1 16 mm2 BK by bay, 1 m long"),
        );
        found.clash("At 500 A the strap starter_battery.P[2] to G1 loses 0.58 V, but 0.2 V are good.");
    }

    #[test]
    fn a_length_that_nobody_said_is_open() {
        let found = check(
            "wire/strap",
            &van("peak current 500 A", "wire starter_battery.P[2] to G1 16 mm2 BK by bay"),
        );
        found.open(
            "Nobody has said how long the strap starter_battery.P[2] to G1 is: it decides whether the starter's \
             current comes home.",
        );
        check("wire/strap", &van("mass 4 kg", "wire starter_battery.P[2] to G1 16 mm2 BK by bay")).silent();
    }

    #[test]
    fn what_was_measured_counts_too() {
        check("wire/strap", &van("earth drop 0.35 V", ""))
            .clash("From turner to the battery's minus 0.35 V are lost, but 0.2 V are good.");
    }
}
