//! # drive/mass
//!
//! The vehicle stays within the total mass on its plate once the work is done, with what the owner
//! wants to carry.
//!
//! ## Why it matters
//!
//! Units of another vehicle are seldom lighter. What they weigh more is taken from what may be loaded,
//! and the weighbridge and the insurer look at the plate, not at the engine.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part manual_five is box fills gearbox { fitted on Dunlin, mass 47 kg }
//! part auto_six is box fills gearbox { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04, empty mass 1890 kg, plated mass 2800 kg }
//! conversion easy { recipient van, fit auto_six, aim payload 900 kg }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part manual_five is box fills gearbox { fitted on Dunlin, mass 47 kg }
//! part auto_six is box fills gearbox { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04, empty mass 1890 kg, plated mass 2800 kg }
//! conversion easy { recipient van, fit auto_six, aim payload 850 kg }
//! ```
//!
//! ## References
//!
//! Sums of what is stated: empty mass + what comes − what goes + what is carried ≤ mass on the plate.
//! What goes and whose mass nobody stated counts as nothing. Whether the empty mass on paper holds a
//! driver and a full tank differs between registers: weigh the vehicle as it is meant.

use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::masses::{any_stated, moved, of_vehicle, payload, plated, site_of};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/mass", source: include_str!("drive_mass.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let begun = ["plated_mass", "empty_mass"].iter().any(|it| !of_vehicle(ctx, it).claims().is_empty());
    let alone = ctx.world.conversion.is_none();
    if !begun || !(alone || any_stated(ctx) || ctx.aim("payload").is_some()) {
        return Vec::new();
    }
    let vehicle = ctx.built().vehicle;
    let hangs = "whether the vehicle stays within the mass on its plate";
    let sum = Sum::new(ctx, CHECK.name, vehicle.name(ctx.db), site_of(ctx, "plated_mass"), hangs);
    let verdict = sum.work(|sum| {
        let empty = sum.of_vehicle("empty_mass");
        let limit = sum.of_vehicle("plated_mass");
        let moved = moved(sum, ctx);
        let load = payload(sum, ctx);
        let (empty, limit) = (empty?, limit?);
        let (mut total, mut formula) = (empty, empty.display());
        for it in &moved? {
            total = total.add(&it.change).ok()?;
            formula.push_str(&format!(" + ({})", it.worked));
        }
        let total_empty = total.shown_in("kg").ok()?;
        if let Some(load) = &load {
            total = total.add(load).ok()?.shown_in("kg").ok()?;
            formula.push_str(&format!(" + {}", load.display()));
        }
        sum.formula(format!("{formula} = {}", total.display()));
        let who = vehicle.shown(ctx.db);
        let (said, needed) = match &load {
            Some(load) => (
                format!(
                    "{who} weighs {} with {} on it, {} without",
                    total.display(),
                    load.display(),
                    total_empty.display()
                ),
                format!("the plate allows {}", limit.display()),
            ),
            None => (
                format!("{who} weighs {} with nothing on it", total.display()),
                format!("the plate allows {}", limit.display()),
            ),
        };
        if load.is_none() {
            sum.note("nobody stated what it is to carry (`aim payload …`): the margin is what may be loaded");
        }
        Some(Answer::at_most(total, limit, &said, &needed))
    });
    verdict.map(plated).into_iter().collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(vehicle: &str, change: &str) -> String {
        format!(
            r#"
source papers "Vehicle papers" documented
source club "Club notes" reported
kind box {{ asks mass }}
kind lamp {{ asks lamp power }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  place seat both sides is box
  place work_lamp is lamp }}
part manual_five is box fills gearbox {{ fitted on Dunlin, mass 47 kg }}
part auto_six is box fills gearbox {{ mass 86 kg }}
part unknown_six is box fills gearbox
part bench is box fills seat {{ mass 20 kg }}
part bright is lamp fills work_lamp
vehicle van is Dunlin "our van" {{ built 2012-04, {vehicle} }}
conversion easy {{ recipient van, {change} }}"#
        )
    }

    const PLATE: &str = "empty mass 1890 kg per papers, plated mass 2800 kg per papers";

    #[test]
    fn within_the_plate_is_clear_with_what_is_left() {
        let found =
            check("drive/mass", &van(PLATE, "fit auto_six, fit bench, fit bright, aim payload 600 kg"));
        found.clear("Our van weighs 2569 kg with 600 kg on it, 1969 kg without; the plate allows 2800 kg.");
        assert_eq!(
            found.only().formula.as_deref(),
            Some("1890 kg + (86 kg − 47 kg) + (2 × (20 kg)) + 600 kg = 2569 kg")
        );
        assert_eq!(found.only().margin.as_deref(), Some("231 kg"));
        assert_eq!(found.text(), "plated mass 2800 kg per papers");
        assert!(found.only().notes[0].contains("work lamp"), "{:?}", found.only().notes);
        let found = check("drive/mass", &van(PLATE, "fit auto_six"));
        found.clear("Our van weighs 1929 kg with nothing on it; the plate allows 2800 kg.");
    }

    #[test]
    fn over_the_plate_is_a_clash() {
        let found = check("drive/mass", &van(PLATE, "fit auto_six, aim payload 900 kg"));
        found.clash(
            "Our van weighs 2829 kg with 900 kg on it, 1929 kg without, but the plate allows 2800 kg.",
        );
        assert_eq!(found.only().margin.as_deref(), Some("−29 kg"));
    }

    #[test]
    fn a_mass_that_nobody_stated_is_open() {
        check("drive/mass", &van(PLATE, "fit unknown_six")).open(
            "Nobody has said the mass of the gearbox: it decides whether the vehicle stays within the mass on its plate.",
        );
        let found = check("drive/mass", &van("plated mass 2800 kg", "fit auto_six"));
        found.open(
            "Nobody has said the mass empty of the vehicle: it decides whether the vehicle stays within the mass on its plate.",
        );
        assert!(found.fixed(0).contains("empty mass … kg"), "{}", found.fixed(0));
        let two = "empty mass 1890 kg per papers, empty mass 1960 kg per club, plated mass 2800 kg";
        let found = check("drive/mass", &van(two, "fit auto_six"));
        assert_eq!(found.only().outcome.word(), "open");
        let range = "empty mass 1890 kg ± 30 kg, plated mass 2800 kg";
        let found = check("drive/mass", &van(range, "fit auto_six, aim payload 860 kg"));
        assert_eq!(found.only().outcome.word(), "open");
    }

    #[test]
    fn without_a_plate_or_a_mass_it_is_silent() {
        check("drive/mass", &van("tows 750 kg", "fit auto_six")).silent();
        check("drive/mass", &van(PLATE, "fit bright")).silent();
    }
}
