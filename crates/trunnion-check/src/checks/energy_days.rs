//! # energy/days
//!
//! The battery lasts the days away that the owner wants, with what driving and the sun put back; and a
//! traction battery the range.
//!
//! ## Why it matters
//!
//! A fridge is paid for in amp-hours. On the third morning it is warm, and the battery is spoilt besides
//! if it was emptied too far.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Curlew { built 2014-01 to 2020-12
//!   place leisure_battery is leisure_battery
//!   place fridge is fridge }
//! part small_60 is leisure_battery { charge capacity 60 Ah }
//! part fridge_45 is fridge { daily use 340 Wh }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion power { recipient camper, fit small_60 for leisure_battery, fit fridge_45 for fridge, aim days away 3 days }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { usable charge 90 % }
//! family Curlew { built 2014-01 to 2020-12
//!   place leisure_battery is leisure_battery
//!   place fridge is fridge }
//! part large_110 is leisure_battery { charge capacity 110 Ah }
//! part fridge_45 is fridge { daily use 340 Wh }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion power { recipient camper, fit large_110 for leisure_battery, fit fridge_45 for fridge, aim days away 3 days }
//! ```
//!
//! ## References
//!
//! Energy balance. Half of the charge is used where the `basis` names no other share (lead batteries are
//! spoilt below it), at 12 V: common practice, no source. Range: see `trunnion explain driving_range`.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "energy/days", source: include_str!("energy_days.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let aboard = ctx.of_kind("leisure_battery");
    let days = aboard.into_iter().filter(|it| ctx.concerns(&[it])).filter_map(|it| days(ctx, it));
    let packs = ctx.of_kind("traction_battery");
    days.chain(packs.into_iter().filter(|it| ctx.concerns(&[it])).filter_map(|it| range(ctx, it))).collect()
}

/// What uses energy aboard: what states a daily use, and consumers of which nobody stated it.
fn consumers<'a>(ctx: &Ctx<'a>) -> Vec<&'a Place> {
    let mut all = ctx.of_kind("consumer");
    for place in ctx.world.places.iter().filter(|it| it.after.is_filled() && ctx.stated(it, "daily_use")) {
        if !all.iter().any(|it| it.name == place.name) {
            all.push(place);
        }
    }
    all
}

fn days(ctx: &Ctx<'_>, battery: &Place) -> Option<Verdict> {
    let (aim, wanted) = ctx.aim("days_away")?;
    let days = aim.values.first()?.quantity()?;
    let users = consumers(ctx);
    if users.is_empty() && !ctx.stated(battery, "charge_capacity") {
        return None;
    }
    let hangs = format!("whether it lasts {} away", days.display());
    Sum::new(ctx, CHECK.name, format!("{}.days", battery.name), wanted.site, hangs).work(|sum| {
        let capacity = sum.figure(battery, "charge_capacity");
        let used: Vec<_> = users.iter().map(|it| sum.figure(it, "daily_use")).collect();
        let voltage = sum.basis_or("nominal_voltage", 12.0, "V")?;
        let share = sum.basis_or("usable_charge", 50.0, "%")?;
        let back = restored(ctx, sum, voltage);
        sum.rests_on(&wanted);
        let used: Vec<Quantity> = used.into_iter().collect::<Option<_>>()?;
        let mut a_day = *used.first()?;
        for one in &used[1..] {
            a_day = a_day.add(one).ok()?;
        }
        let back = back?;
        let kept = capacity?.mul(&voltage).ok()?.mul(&share).ok()?.shown_in("Wh").ok()?;
        let net = match &back {
            Some((back, _)) => a_day.sub(back).ok()?,
            None => a_day,
        };
        let count = days.in_unit("days")?;
        let whole = net.mul(&Quantity::number(count).ok()?).ok()?.shown_in("Wh").ok()?;
        let shown_uses: Vec<String> = used.iter().map(Quantity::display).collect();
        let minus = back.as_ref().map(|(it, how)| format!(" − {} ({how})", it.display())).unwrap_or_default();
        sum.formula(format!(
            "{} × ({}{minus}) = {}; {} × {} × {} = {}",
            days.display(),
            shown_uses.join(" + "),
            whole.display(),
            capacity?.display(),
            voltage.display(),
            share.display(),
            kept.display()
        ));
        let said = format!("{} away take {} from the battery", days.display(), whole.display());
        let holds = format!("{} gives {}", ctx.part_shown(battery), kept.display());
        Some(Answer::at_most(whole, kept, &said, &holds))
    })
}

/// What driving and the sun put back in a day, with how; nothing where neither is stated. None where
/// something about it is missing.
#[allow(clippy::option_option, reason = "nothing put back and not known are two things")]
fn restored(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, voltage: Quantity) -> Option<Option<(Quantity, String)>> {
    let mut all: Vec<(Quantity, String)> = Vec::new();
    if let Some((aim, found)) = ctx.aim("driving")
        && let Some(charger) = ctx.only_of_kind("dc_converter")
    {
        let hours = aim.values.first()?.quantity()?;
        sum.rests_on(&found);
        let current = sum.figure(charger, "current")?;
        let charge = sum.call("charge_used", &[current, hours])?;
        let energy = charge.mul(&voltage).ok()?.shown_in("Wh").ok()?;
        all.push((energy, format!("{} of driving", hours.display())));
    }
    for panel in ctx.of_kind("solar_panel") {
        let power = sum.figure(panel, "power")?;
        let sun = sum.basis("sun", "hours of full sun a day, for the place and the season")?;
        let energy = power.mul(&sun).ok()?.shown_in("Wh").ok()?;
        all.push((energy, format!("{} of full sun", sun.display())));
    }
    let Some(((first, _), rest)) = all.split_first() else { return Some(None) };
    let total = rest.iter().try_fold(*first, |all, (it, _)| all.add(it)).ok()?;
    let how: Vec<String> = all.iter().map(|it| it.1.clone()).collect();
    Some(Some((total, listed(&how))))
}

fn range(ctx: &Ctx<'_>, battery: &Place) -> Option<Verdict> {
    let (aim, wanted) = ctx.aim("range")?;
    let far = aim.values.first()?.quantity()?;
    if !ctx.stated(battery, "energy") {
        return None;
    }
    let hangs = format!("whether it reaches {}", far.display());
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.range", battery.name), wanted.site, hangs);
    sum.safety_of(&[battery]);
    sum.work(|sum| {
        let energy = sum.figure(battery, "energy");
        let used = sum.of_vehicle("consumption");
        let health = sum.maybe(battery, "battery_health");
        let share = sum.basis_or("usable_energy", 90.0, "%")?;
        sum.rests_on(&wanted);
        let share = match health {
            Some(it) => it.mul(&share).ok()?.shown_in("%").ok()?,
            None => share,
        };
        let reach = sum.call("driving_range", &[energy?, share, used?])?;
        for charger in ctx.of_kind("charger") {
            let power = sum.maybe(charger, "power");
            let kept = Quantity::exact(90.0, "%").ok()?;
            if let Some(time) = power.and_then(|it| sum.call("charge_time", &[energy?, it, kept])) {
                sum.note("90 % of what the charger takes is stored: common practice, no source");
                sum.name("time to charge from empty", &time, "h");
            }
        }
        let said = format!("{} reaches {}", ctx.part_shown(battery), reach.display());
        Some(Answer::at_least(reach, far, &said, &format!("{} are wanted", far.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn camper(facts: &str, aims: &str) -> String {
        format!(
            r#"
family Curlew {{ built 2014-01 to 2020-12
  place leisure_battery is leisure_battery
  place charger is dc_converter
  place fridge is fridge
  place lights is camper_light }}
part lead_100 is leisure_battery {{ charge capacity 100 Ah }}
part charger_20 is dc_converter {{ current 20 A }}
part fridge_45 is fridge {{ daily use 340 Wh }}
part led is camper_light {{ {facts} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion power {{ recipient camper, fit lead_100 for leisure_battery, fit charger_20 for charger
  fit fridge_45 for fridge, fit led for lights, aim days away 3 days {aims} }}"#
        )
    }

    #[test]
    fn with_an_hour_of_driving_a_day_it_lasts() {
        let found = check("energy/days", &camper("daily use 60 Wh", "\n aim driving 1 h"));
        found.clear("3 days away take 480 Wh from the battery; lead 100 gives 600 Wh.");
        let formula = found.only().formula.as_deref().unwrap_or_default();
        assert!(
            formula.ends_with(
                "3 days × (340 Wh + 60 Wh − 240 Wh (1 h of driving)) = 480 Wh; 100 Ah × 12 V × 50 % = 600 Wh"
            ),
            "{formula}"
        );
        assert_eq!(found.only().margin.as_deref(), Some("120 Wh"));
    }

    #[test]
    fn standing_still_it_does_not() {
        let found = check("energy/days", &camper("daily use 60 Wh", ""));
        found.clash("3 days away take 1200 Wh from the battery, but lead 100 gives 600 Wh.");
        assert_eq!(found.text(), "aim days away 3 days");
    }

    #[test]
    fn a_consumer_of_which_nobody_said_what_it_uses_leaves_it_open() {
        check("energy/days", &camper("current 2 A", "")).open(
            "Nobody has said the energy used a day of the lights: it decides whether it lasts 3 days away.",
        );
    }

    fn roadster(vehicle: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place charger is charger }}
part block is traction_battery {{ energy 20 kWh }}
part filler is charger {{ power 3000 W }}
vehicle roadster is Plover {{ built 1971-05, {vehicle} }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit filler for charger, aim range 90 km }}"
        )
    }

    #[test]
    fn a_traction_battery_by_its_range() {
        let found = check("energy/days", &roadster("consumption 180 Wh/km"));
        // 20 kWh × 90 % / 180 Wh/km = 100 km; 20 kWh / (3 kW × 90 %) = 7.4 h.
        found.clear("Block reaches 100 km; 90 km are wanted.");
        assert!(found.only().figures.iter().any(|it| it.value == "7.407"), "{:?}", found.only().figures);
        check("energy/days", &roadster("consumption 240 Wh/km"))
            .clash("Block reaches 75 km, but 90 km are wanted.");
        assert_eq!(check("energy/days", &roadster("tyre 165/80 R13")).only().outcome.word(), "open");
    }
}
