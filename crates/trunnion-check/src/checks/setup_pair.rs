//! # setup/pair
//!
//! Every control unit that comes in and must be paired to the vehicle is paired: the unit says `paired`, or
//! it is known to be locked to a set.
//!
//! ## Why it matters
//!
//! A unit that was never paired answers the tester, shows no fault, and releases nothing. Where pairing needs
//! the old keys, a code card or the maker's computer, that is to be known before the donor is scrapped.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox_controller is unit }
//! module late_unit is unit fills gearbox_controller { paired }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox_controller is unit }
//! module late_unit is unit fills gearbox_controller { paired }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit, pair gearbox_controller }
//! ```
//!
//! ## References
//!
//! What the specification states of its modules. Pairing is done with the maker's means, by whoever is
//! entitled to it.

use trunnion_model::decl::Verb;
use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital};

/// The check.
pub static CHECK: Check =
    Check { name: "setup/pair", source: include_str!("setup_pair.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.world.places.iter().filter_map(|it| one(ctx, it)).collect()
}

/// The statement that pairs what sits in a place.
fn pairing(ctx: &Ctx<'_>, place: &Place) -> Option<Found> {
    let id = ctx.world.conversion?;
    let change = ctx.world.changes.iter().find(|it| match &it.verb {
        Verb::Pair { places } => places.iter().any(|it| *it.head() == place.name),
        _ => false,
    })?;
    Some(known::said(ctx.db, ctx.workspace, id, &change.claim, change.span))
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let id = place.after.part()?;
    let part = ctx.part(id)?;
    let demand =
        part.paired.as_ref().map(|(claim, span)| known::said(ctx.db, ctx.workspace, id, claim, *span));
    let locked = match ctx.fact(place, "immobiliser") {
        Known::Stated(all) => all.into_iter().next(),
        _ => None,
    };
    let pairing = pairing(ctx, place);
    if !place.changed() && pairing.is_none() || demand.is_none() && locked.is_none() {
        return None;
    }
    let who = id.shown(ctx.db);
    let set = locked.as_ref().map(|it| format!(" ({})", it.display())).unwrap_or_default();
    let site = place.done.last().map_or(place.site, |it| it.site);
    let statement = format!("pair {}", place.name);
    let subject = place.name.to_string();
    let mut verdict = match (pairing, demand) {
        (Some(pairing), demand) => {
            let at = pairing.site;
            let message = format!("{} is paired to the vehicle{set}.", capital(&who));
            let found: Vec<Found> = [Some(pairing), demand, locked].into_iter().flatten().collect();
            ctx.clear(CHECK.name, subject, at, message, &found)
        }
        (None, Some(demand)) => {
            let message =
                format!("{} must be paired to the vehicle, and nothing pairs it{set}.", capital(&who));
            let found: Vec<Found> = [Some(demand), locked].into_iter().flatten().collect();
            let fix = ctx.add_change(format!("pair the {}", place.shown()), &statement);
            ctx.clash(CHECK.name, subject, site, message, &found).with_fixes(fix)
        }
        (None, None) => {
            let message = format!(
                "{} is locked to a set{set}; nobody has said that it is paired to this vehicle.",
                capital(&who)
            );
            let question = Question {
                what: format!("whether {who} can be paired to this vehicle, and with what"),
                good: Some("it comes with its whole set, or a code card and keys".to_owned()),
                tool: Some("the maker's papers, or whoever pairs it".to_owned()),
                precision: None,
                minutes: Some(20),
                who: Who::Maker,
                gate: Gate::Buying,
                hangs: format!("whether {who} releases anything in this vehicle"),
                type_in: Some(statement.clone()),
            };
            let fix = ctx.add_change(format!("pair the {}", place.shown()), &statement);
            let verdict = ctx.open(CHECK.name, subject, site, message, question).with_fixes(fix);
            crate::ctx::with_found(verdict, &locked.into_iter().collect::<Vec<_>>())
        }
    };
    verdict.safety = ctx.safety(place);
    Some(verdict)
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn units(part: &str, changes: &str) -> Found {
        let source = format!(
            r#"
source maker "Maker's sheet" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox_controller, cluster is unit }}
module late_unit is unit fills gearbox_controller {{ mass 1 kg
  {part} }}
module old_cluster is unit fills cluster {{ fitted on Dunlin, paired }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van
  fit late_unit
  {changes} }}"#
        );
        check("setup/pair", &source)
    }

    #[test]
    fn what_is_paired_is_clear() {
        let found = units("paired per maker", "pair gearbox_controller per maker");
        found.clear("Late unit is paired to the vehicle.");
        assert_eq!(found.text(), "pair gearbox_controller per maker");
    }

    #[test]
    fn what_nothing_pairs_is_a_clash_with_the_statement_that_does() {
        let found = units("paired per maker", "budget 1 EUR");
        found.clash("Late unit must be paired to the vehicle, and nothing pairs it.");
        assert_eq!(found.text(), "fit late_unit");
        assert!(found.fixed(0).contains("  pair gearbox_controller"), "{}", found.fixed(0));
    }

    #[test]
    fn what_is_locked_to_a_set_is_open() {
        let found = units("immobiliser \"set of three: controller, reader, key\" per maker", "budget 1 EUR");
        found.open(
            "Late unit is locked to a set (set of three: controller, reader, key); nobody has said that it is paired \
             to this vehicle.",
        );
    }

    #[test]
    fn what_needs_no_pairing_or_stays_is_not_looked_at() {
        units("immobiliser none", "budget 1 EUR").silent();
        units("part number \"seen\"", "budget 1 EUR").silent();
    }
}
