//! # wire/budget
//!
//! The alternator gives what everything draws together while the engine runs, and the battery bears what
//! is drawn while the vehicle stands.
//!
//! ## Why it matters
//!
//! What is fitted is added to what was there. The lamps go yellow at idle, and after three weeks at the
//! airport it does not start.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place heater is fuel_heater }
//! part battery_70 is starter_battery fills starter_battery { fitted on Dunlin, charge capacity 70 Ah, standing drain 18 mA }
//! part heater_2 is fuel_heater { standing drain 60 mA }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion warm { recipient van, fit heater_2 for heater, aim parked 4 weeks }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place heater is fuel_heater }
//! part battery_70 is starter_battery fills starter_battery { fitted on Dunlin, charge capacity 70 Ah, standing drain 18 mA }
//! part heater_2 is fuel_heater { standing drain 4 mA }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion warm { recipient van, fit heater_2 for heater, aim parked 4 weeks }
//! ```
//!
//! ## References
//!
//! Sums of currents; charge over time: see `trunnion explain current_total` and
//! `trunnion explain standing_drain_most`. 30 % of the charge may be drawn so that it still cranks:
//! common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/budget", source: include_str!("wire_budget.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    running(ctx).into_iter().chain(standing(ctx)).collect()
}

/// The places of which the part states a draw at a supply cavity, or a current of its own, without what
/// gives current itself.
fn drawing<'a>(ctx: &Ctx<'a>) -> Vec<(&'a Place, Quantity)> {
    let mut all = Vec::new();
    for place in &ctx.world.places {
        let Some(part) = place.after.part().and_then(|it| ctx.part(it)) else { continue };
        let cavities = part.ends.iter().flat_map(|it| &it.cavities);
        let draws = cavities.filter_map(|it| it.draw.filter(|_| !crate::pack::is_high(it)));
        if let Some(sum) = draws.reduce(|all, it| all.add(&it).unwrap_or(all)) {
            all.push((place, sum));
        }
    }
    all
}

fn running(ctx: &Ctx<'_>) -> Option<Verdict> {
    let alternator = ctx.only_of_kind("alternator")?;
    let draws = drawing(ctx);
    if !draws.iter().any(|(it, _)| it.changed()) && !alternator.changed() {
        return None;
    }
    let site = alternator.done.last().map_or_else(|| ctx.root_site(), |it| it.site);
    let subject = format!("{}.current", alternator.name);
    Sum::new(ctx, CHECK.name, subject, site, "whether the battery is charged while all is on").work(|sum| {
        let gives = sum.figure(alternator, "current");
        let all: Vec<Quantity> = draws.iter().map(|it| it.1).collect();
        let drawn = sum.call("current_total", &all)?;
        sum.note("only what states a draw is counted: what the vehicle drew before is part of it where it is stated");
        let gives = gives?;
        let said = format!("what states a draw ({} in all) takes {} together", all.len(), drawn.display());
        let needed = format!("{} gives {}", ctx.part_shown(alternator), gives.display());
        Some(Answer::at_most(drawn, gives, &said, &needed))
    })
}

fn standing(ctx: &Ctx<'_>) -> Option<Verdict> {
    let battery = ctx.only_of_kind("starter_battery")?;
    let draining: Vec<&Place> = ctx
        .world
        .places
        .iter()
        .filter(|it| it.after.is_filled() && ctx.stated(it, "standing_drain"))
        .collect();
    let (aim, wanted) = ctx.aim("parked")?;
    if draining.is_empty() || !draining.iter().any(|it| it.changed()) && !battery.changed() {
        return None;
    }
    let time = aim.values.first()?.quantity()?;
    let hangs = format!("whether it starts after {}", time.display());
    Sum::new(ctx, CHECK.name, format!("{}.parked", battery.name), wanted.site, hangs).work(|sum| {
        let capacity = sum.figure(battery, "charge_capacity");
        let each: Vec<_> = draining.iter().map(|it| sum.figure(it, "standing_drain")).collect();
        let share = sum.basis_or("standing_charge", 30.0, "%")?;
        sum.rests_on(&wanted);
        let each: Vec<Quantity> = each.into_iter().collect::<Option<_>>()?;
        let drawn = sum.call("current_total", &each)?.shown_in("mA").ok()?;
        let bears = sum.call("standing_drain_most", &[capacity?, share, time])?;
        let said = format!("standing it draws {}", drawn.display());
        let needed = format!("{} bears {} for {}", ctx.part_shown(battery), bears.display(), time.display());
        Some(Answer::at_most(drawn, bears, &said, &needed))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(heater: &str, aims: &str) -> String {
        format!(
            r"
family Dunlin {{ built 2009-06 to 2018-12
  place starter_battery is starter_battery
  place alternator is alternator
  place heater is fuel_heater }}
part battery_70 is starter_battery fills starter_battery {{ fitted on Dunlin, charge capacity 70 Ah, standing drain 20 mA }}
part alternator_90 is alternator fills alternator {{ fitted on Dunlin, current 90 A }}
part warmer is fuel_heater {{ {heater} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion warm {{ recipient van, fit warmer for heater {aims} }}"
        )
    }

    #[test]
    fn what_stands_and_still_starts_is_clear() {
        let found = check("wire/budget", &van("standing drain 5 mA", ", aim parked 4 weeks"));
        // 70 Ah × 30 % over 28 days of 24 h is 31.25 mA.
        found.clear("Standing it draws 25 mA; battery 70 bears 31.25 mA for 4 weeks.");
        assert_eq!(found.only().margin.as_deref(), Some("6.25 mA"));
    }

    #[test]
    fn a_drain_that_empties_it_is_a_clash() {
        let found = check("wire/budget", &van("standing drain 40 mA", ", aim parked 4 weeks"));
        found.clash("Standing it draws 60 mA, but battery 70 bears 31.25 mA for 4 weeks.");
        assert_eq!(found.text(), "aim parked 4 weeks");
    }

    #[test]
    fn running_by_the_alternator() {
        let draw = |amps: &str| format!("plug W {{ 1 supply 12 V draw {amps}, 2 ground }}");
        check("wire/budget", &van(&draw("12 A"), ""))
            .clear("What states a draw (1 in all) takes 12 A together; alternator 90 gives 90 A.");
        check("wire/budget", &van(&draw("120 A"), ""))
            .clash("What states a draw (1 in all) takes 120 A together, but alternator 90 gives 90 A.");
    }

    #[test]
    fn without_a_capacity_it_is_open() {
        let text = van("standing drain 5 mA", ", aim parked 4 weeks").replace("charge capacity 70 Ah, ", "");
        check("wire/budget", &text).open(
            "Nobody has said the capacity of the battery of the starter battery: it decides whether it starts after 4 \
             weeks.",
        );
    }
}
