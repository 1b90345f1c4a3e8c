//! # gap/least
//!
//! What moves or gets hot keeps its distance: the distance measured, less the way it moves over
//! travel, lock and roll, is at least the distance it needs.
//!
//! ## Why it matters
//!
//! Everything clears on the stands. The first full lock over a kerb puts the shaft on the exhaust, the
//! brake hose on the wheel, or the wiring against the manifold.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind exhaust { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place exhaust is exhaust }
//! part downpipe is exhaust fills exhaust { least clearance 15 mm, movement 12 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit downpipe, exhaust.clearance 20 mm }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind exhaust { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place exhaust is exhaust }
//! part downpipe is exhaust fills exhaust { least clearance 15 mm, movement 12 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit downpipe, exhaust.clearance 30 mm }
//! ```
//!
//! ## References
//!
//! Geometry, by the worst case of the stated tolerances: distance − movement ≥ distance needed. Where no
//! movement is stated, the distance is taken as the least over the whole of it. A distance that was
//! measured before a neighbour changed is not one of the finished vehicle.

use trunnion_model::fact::Found;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{EndAt, Place};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "gap/least", source: include_str!("gap_least.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled());
    places.filter_map(|it| one(ctx, it)).collect()
}

/// Whether something that the place is joined to, by whatever medium, changes.
fn beside_change(ctx: &Ctx<'_>, place: &Place) -> bool {
    let changes = |it: &EndAt| ctx.world.place(&it.place).is_some_and(Place::changed);
    let joints = ctx.world.joints.iter().chain(ctx.world.lines.iter().map(|it| &it.joint));
    joints.filter(|it| it.after).any(|it| {
        (it.a.place == place.name && changes(&it.b)) || (it.b.place == place.name && changes(&it.a))
    })
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let begun = ["clearance", "least_clearance"].iter().any(|it| ctx.stated(place, it));
    let concerned = ctx.world.conversion.is_none() || place.changed() || beside_change(ctx, place);
    if !begun || !concerned {
        return None;
    }
    let subject = format!("{}.clearance", place.name);
    let hangs = format!("whether the {} keeps clear", place.shown());
    let distance = ctx.fact(place, "clearance");
    let stated = distance.best().map(|it| it.site);
    let site = stated.or(place.done.last().map(|it| it.site)).unwrap_or(place.site);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[place]);
    let old = |it: &Found| {
        let built = ctx.built();
        built.vehicle.item == it.site.item || built.families.iter().any(|id| id.item == it.site.item)
    };
    let before = !place.changed()
        && ctx.world.conversion.is_some()
        && distance.best().is_some_and(|it| old(it) && ctx.world.root().item != it.site.item);
    sum.work(|sum| {
        let there = sum.figure(place, "clearance");
        let needed = sum.figure(place, "least_clearance");
        let moves = sum.maybe(place, "movement");
        if before {
            sum.refuse("the distance was taken before what is beside it changes");
        }
        let (there, needed) = (there?, needed?);
        let left = match &moves {
            Some(by) => {
                let left = there.sub(by).ok()?;
                sum.formula(format!("{} − {} = {}", there.display(), by.display(), left.display()));
                left
            }
            None => {
                sum.note(
                    "no movement is stated: the distance is taken as the least over travel, lock and roll",
                );
                there
            }
        };
        let who = ctx.part_shown(place);
        let said = match &moves {
            Some(by) => format!("{who} keeps {} − {} = {}", there.display(), by.display(), left.display()),
            None => format!("{who} keeps {}", left.display()),
        };
        Some(Answer::at_least(left, needed, &said, &format!("{} are needed", needed.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pipe(part: &str, vehicle: &str, conversion: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
source club "Club notes" reported
kind exhaust {{ asks mass
  safety fuel }}
kind engine {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place exhaust is exhaust
  joint engine.out to exhaust.front }}
part strong is engine fills engine {{ face out }}
part old is exhaust fills exhaust {{ fitted on Dunlin, face front, least clearance 15 mm }}
part downpipe "downpipe" is exhaust fills exhaust {{ face front, {part} }}
vehicle van is Dunlin {{ built 2012-04, {vehicle} }}
conversion easy {{ recipient van, {conversion} }}"#
        )
    }

    #[test]
    fn what_is_left_of_the_distance_decides() {
        let needs = "least clearance 15 mm, movement 12 mm";
        let found = check("gap/least", &pipe(needs, "price 1 EUR", "fit downpipe, exhaust.clearance 30 mm"));
        found.clear("Downpipe keeps 30 mm − 12 mm = 18 mm; 15 mm are needed.");
        assert_eq!(found.only().margin.as_deref(), Some("3 mm"));
        assert_eq!(found.only().formula.as_deref(), Some("30 mm − 12 mm = 18 mm"));
        assert_eq!(found.only().safety, ["fuel"]);
        let found = check("gap/least", &pipe(needs, "price 1 EUR", "fit downpipe, exhaust.clearance 20 mm"));
        found.clash("Downpipe keeps 20 mm − 12 mm = 8 mm, but 15 mm are needed.");
        assert_eq!(found.text(), "exhaust.clearance 20 mm");
    }

    #[test]
    fn without_a_movement_it_is_the_least_distance() {
        let found = check(
            "gap/least",
            &pipe("least clearance 15 mm", "price 1 EUR", "fit downpipe, exhaust.clearance 22 mm"),
        );
        found.clear("Downpipe keeps 22 mm; 15 mm are needed.");
        assert!(found.only().notes[0].contains("least over travel"));
    }

    #[test]
    fn what_nobody_measured_and_what_is_disputed_is_open() {
        let found = check("gap/least", &pipe("least clearance 15 mm", "price 1 EUR", "fit downpipe"));
        found.open(
            "Nobody has said the least distance to what moves or is hot of the exhaust: it decides whether the \
             exhaust keeps clear.",
        );
        assert!(found.fixed(0).contains("clearance … mm"), "{}", found.fixed(0));
        let two = "least clearance 15 mm per manual, least clearance 25 mm per club";
        let found = check("gap/least", &pipe(two, "price 1 EUR", "fit downpipe, exhaust.clearance 22 mm"));
        assert_eq!(found.only().outcome.word(), "open");
        assert!(found.only().message.contains("is disputed"), "{}", found.only().message);
        // A tape is good for 1 mm: 15 mm against 15 mm is too close.
        let log = "\nlog of van { 2026-03-05 done fit downpipe for exhaust\n 2026-03-06 measured exhaust.clearance 15 mm }";
        let text = pipe("least clearance 15 mm", "price 1 EUR", "fit downpipe") + log;
        check("gap/least", &text)
            .open("Downpipe keeps 15 mm ± 1 mm; 15 mm are needed: the tolerances leave both possible.");
    }

    #[test]
    fn a_distance_from_before_does_not_hold_once_a_neighbour_changes() {
        let found = check("gap/least", &pipe("mass 9 kg", "exhaust.clearance 30 mm", "fit strong"));
        found.open(
            "It cannot be told whether the exhaust keeps clear: the distance was taken before what is beside it changes.",
        );
        check("gap/least", &pipe("mass 9 kg", "exhaust.clearance 30 mm", "budget 1 EUR")).silent();
    }
}
