//! # volt/isolation
//!
//! All units on the pack together keep so much resistance to the body as the regulation chosen in the
//! `basis` asks for the highest voltage of the pack.
//!
//! ## Why it matters
//!
//! Each unit leaks a little; they leak side by side. A car whose isolation is too low gives a shock
//! at the door handle when a second fault comes. Licensed work: clear on paper is not permission;
//! isolation is proven with an insulation tester by a licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { isolation is unece_100 }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 410 V, isolation 0.3 MΩ }
//! part drive is inverter { isolation 0.5 MΩ, galvanic joined }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { isolation is unece_100 }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 410 V, isolation 2 MΩ }
//! part drive is inverter { isolation 5 MΩ, galvanic joined }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## References
//!
//! UN Regulation No. 100, 02 series of amendments, 5.1.3.1 and 5.1.3.2: 100 Ω/V for a direct-current bus
//! kept apart, 500 Ω/V where direct and alternating buses are galvanically joined. See
//! `trunnion explain isolation_needed`. Resistances side by side: Ohm's law.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{Pack, highest, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/isolation", source: include_str!("volt_isolation.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    one(ctx, &pack).into_iter().collect()
}

fn one(ctx: &Ctx<'_>, pack: &Pack<'_>) -> Option<Verdict> {
    let site = pack.place.done.last().map_or(pack.place.site, |it| it.site);
    let subject = format!("{}.isolation", pack.place.name);
    let hangs = "whether a first fault leaves the body safe to touch";
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[pack.place]);
    sum.work(|sum| {
        let rule = sum.basis_word("isolation", "unece_100");
        let window = sum.figure(pack.place, "voltage_window");
        let mut joined = Some(0.0);
        for unit in ctx.of_kind("inverter") {
            match sum.word(unit, "galvanic").as_deref() {
                Some("joined") => joined = joined.map(|_: f64| 1.0),
                Some("apart") => {}
                Some(other) => {
                    sum.refuse(format!("galvanic is `{other}` where it is joined or apart"));
                    joined = None;
                }
                None => joined = None,
            }
        }
        let each: Vec<_> = pack.all().map(|it| sum.figure(it, "isolation")).collect();
        if rule.as_deref().is_some_and(|it| it != "unece_100") {
            sum.refuse(format!("no rule for isolation is known as {}", rule?.replace('_', " ")));
            return None;
        }
        let (voltage, zero) = (highest(&window?)?, Quantity::number(0.0).ok()?);
        let joined = Quantity::number(joined?).ok()?;
        let needed = sum.call("isolation_needed", &[voltage, zero, joined, zero])?;
        sum.good(format!("at least {} of all together", needed.display()));
        let each: Vec<Quantity> = each.into_iter().collect::<Option<_>>()?;
        let all = side_by_side(&each)?;
        let shown: Vec<String> = each.iter().map(|it| format!("1/{}", it.display())).collect();
        sum.formula(format!("together = 1 / ({}) = {}", shown.join(" + "), all.display()));
        sum.source("resistances side by side: Ohm's law");
        let said = format!("{} units side by side keep {} to the body", each.len(), all.display());
        let wanted =
            format!("{} are needed at {} by UN Regulation No. 100", needed.display(), voltage.display());
        Some(Answer::at_least(all, needed, &said, &wanted))
    })
}

/// The resistance of several side by side.
fn side_by_side(each: &[Quantity]) -> Option<Quantity> {
    let one = Quantity::number(1.0).ok()?;
    let (first, rest) = each.split_first()?;
    let first = one.div(first).ok()?;
    let all = rest.iter().try_fold(first, |all, it| all.add(&one.div(it).ok()?).ok())?;
    one.div(&all).ok()?.shown_in("kΩ").ok()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pack(basis: &str, inverter: &str) -> String {
        format!(
            r"
{basis}
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ voltage window 300 V to 400 V, isolation 1 MΩ }}
part drive is inverter {{ {inverter} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter }}"
        )
    }

    const BASIS: &str = "basis { isolation is unece_100 }";

    #[test]
    fn kept_apart_a_hundred_ohms_a_volt_are_enough() {
        check("volt/isolation", &pack(BASIS, "isolation 0.1 MΩ, galvanic apart")).clear(
            "2 units side by side keep 90.91 kΩ to the body; 40 kΩ are needed at 400 V by UN Regulation No. 100.",
        );
    }

    #[test]
    fn joined_five_hundred_are_needed() {
        let found = check("volt/isolation", &pack(BASIS, "isolation 0.1 MΩ, galvanic joined"));
        found.clash(
            "2 units side by side keep 90.91 kΩ to the body, but 200 kΩ are needed at 400 V by UN Regulation No. 100.",
        );
        assert_eq!(found.text(), "fit block for traction_battery");
    }

    #[test]
    fn without_a_basis_it_is_open() {
        let found = check("volt/isolation", &pack("", "isolation 0.1 MΩ, galvanic joined"));
        found.open(
            "Nobody has said which basis is taken for the isolation; good would be at least 200 kΩ of all together: it \
             decides whether a first fault leaves the body safe to touch.",
        );
    }

    #[test]
    fn whether_they_are_joined_decides() {
        let found = check("volt/isolation", &pack(BASIS, "isolation 0.1 MΩ"));
        assert_eq!(found.only().outcome.word(), "open");
        assert!(
            found.only().message.contains("whether its two sides are joined"),
            "{}",
            found.only().message
        );
    }
}
