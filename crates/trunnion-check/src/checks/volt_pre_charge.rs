//! # volt/pre-charge
//!
//! The pre-charge resistor takes the energy of filling the capacitors, and fills them before the main
//! contactor closes.
//!
//! ## Why it matters
//!
//! A contactor that closes on empty capacitors welds: then nothing can switch the pack off. A resistor
//! that is too small burns open, and the next start is that one. Licensed work: clear on paper is not
//! permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter
//!   place precharge is precharge_resistor }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { capacitance 1000 µF }
//! part filler is precharge_resistor { resistance 50 Ω, pulse energy 60 J, precharge time 1 s }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter, fit filler for precharge }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter
//!   place precharge is precharge_resistor }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { capacitance 1000 µF }
//! part filler is precharge_resistor { resistance 50 Ω, pulse energy 150 J, precharge time 1 s }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter, fit filler for precharge }
//! ```
//!
//! ## References
//!
//! Energy of a charged capacitor, ½ C U²: the resistor takes as much each time. Charging through a
//! resistor: see `trunnion explain precharge_time`. 5 % left when the contactor closes: common
//! practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{Pack, highest, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/pre-charge", source: include_str!("volt_pre_charge.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx) else { return Vec::new() };
    let resistors = ctx.of_kind("precharge_resistor");
    resistors.into_iter().flat_map(|it| [energy(ctx, &pack, it), time(ctx, &pack, it)]).flatten().collect()
}

fn sum<'c, 'a>(
    ctx: &'c Ctx<'a>,
    pack: &Pack<'_>,
    resistor: &Place,
    subject: &str,
    hangs: &str,
) -> Sum<'c, 'a> {
    let site = resistor.done.last().map_or(resistor.site, |it| it.site);
    let subject = format!("{}.{subject}", resistor.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[pack.place, resistor]);
    sum
}

/// What is to be filled: the capacitors of all units that state or are asked for some.
fn capacitance(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, pack: &Pack<'_>) -> Option<Quantity> {
    let holds = |it: &Place| {
        let asked = ctx.kind_after(it).is_some_and(|(_, kind)| kind.ask("capacitance").is_some());
        asked || ctx.stated(it, "capacitance")
    };
    let each: Vec<_> =
        pack.units.iter().filter(|it| holds(it)).map(|it| sum.figure(it, "capacitance")).collect();
    let each: Vec<Quantity> = each.into_iter().collect::<Option<_>>()?;
    let (first, rest) = each.split_first()?;
    rest.iter().try_fold(*first, |all, it| all.add(it).ok())
}

fn energy(ctx: &Ctx<'_>, pack: &Pack<'_>, resistor: &Place) -> Option<Verdict> {
    let what = ctx.part_shown(resistor);
    sum(ctx, pack, resistor, "pulse_energy", "whether the pre-charge resistor survives a start").work(|sum| {
        let window = sum.figure(pack.place, "voltage_window");
        let filled = capacitance(ctx, sum, pack);
        let stands = sum.figure(resistor, "pulse_energy");
        let taken = sum.call("capacitor_energy", &[filled?, highest(&window?)?])?;
        sum.good(format!("at least {}", taken.display()));
        let stands = stands?;
        let said = format!("filling the capacitors puts {} into {what}", taken.display());
        Some(Answer::at_most(taken, stands, &said, &format!("it stands {}", stands.display())))
    })
}

fn time(ctx: &Ctx<'_>, pack: &Pack<'_>, resistor: &Place) -> Option<Verdict> {
    let hangs = "whether the main contactor closes on filled capacitors";
    sum(ctx, pack, resistor, "precharge_time", hangs).work(|sum| {
        let resistance = sum.figure(resistor, "resistance");
        let filled = capacitance(ctx, sum, pack);
        let left = sum.basis_or("precharge_gap", 5.0, "%");
        let closes = sum.figure(resistor, "precharge_time");
        let takes = sum.call("precharge_time", &[resistance?, filled?, left?])?;
        sum.good(format!("at least {}", takes.display()));
        let closes = closes?;
        let said = format!("the capacitors are filled but for {} after {}", left?.display(), takes.display());
        Some(Answer::at_most(
            takes,
            closes,
            &said,
            &format!("the contactor closes after {}", closes.display()),
        ))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn filler(facts: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter
  place precharge is precharge_resistor }}
part block is traction_battery {{ voltage window 300 V to 400 V }}
part drive is inverter {{ capacitance 1000 µF }}
part filler is precharge_resistor {{ resistance 50 Ω, {facts} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter, fit filler for precharge }}"
        )
    }

    #[test]
    fn energy_and_time_that_hold_are_clear() {
        let found = check("volt/pre-charge", &filler("pulse energy 100 J, precharge time 0.5 s"));
        let energy = found.about("precharge.pulse_energy");
        assert_eq!(energy.message, "Filling the capacitors puts 80 J into filler; it stands 100 J.");
        assert!(energy.formula.as_deref().is_some_and(|it| it.ends_with(" = 80 J")), "{:?}", energy.formula);
        let time = found.about("precharge.precharge_time");
        assert_eq!(
            time.message,
            "The capacitors are filled but for 5 % after 0.1498 s; the contactor closes after 0.5 s."
        );
    }

    #[test]
    fn a_contactor_that_closes_too_soon_is_a_clash() {
        let found = check("volt/pre-charge", &filler("pulse energy 100 J, precharge time 0.1 s"));
        let time = found.about("precharge.precharge_time");
        assert_eq!(time.outcome.word(), "clash");
        assert_eq!(found.text_of(time), "fit filler for precharge");
    }

    #[test]
    fn a_resistor_that_burns_is_a_clash() {
        let found = check("volt/pre-charge", &filler("pulse energy 60 J, precharge time 1 s"));
        let energy = found.about("precharge.pulse_energy");
        assert_eq!(energy.message, "Filling the capacitors puts 80 J into filler, but it stands 60 J.");
        assert_eq!(energy.margin.as_deref(), Some("−20 J"));
    }

    #[test]
    fn what_it_stands_is_asked_with_what_would_be_good() {
        let found = check("volt/pre-charge", &filler("precharge time 1 s"));
        let question = found.about("precharge.pulse_energy").question.as_ref().expect("asked");
        assert_eq!(question.good.as_deref(), Some("at least 80 J"));
    }
}
