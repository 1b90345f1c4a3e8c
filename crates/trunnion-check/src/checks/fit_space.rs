//! # fit/space
//!
//! A part goes into its place: its length, width and height are at most the room that is stated
//! for the place.
//!
//! ## Why it matters
//!
//! Bolts and plugs may all be right, and the unit still does not go past the steering box, or the
//! bonnet does not close over it.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks length }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   gearbox.room_length 680 mm }
//! part auto_six is box fills gearbox { length 694 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks length }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   gearbox.room_length 720 mm }
//! part auto_six is box fills gearbox { length 694 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Geometry: the box around the part against the box that is free, by the worst case of the stated
//! tolerances. Only the directions in which a room is stated are looked at, and the verdict names the
//! others. How it is brought in, and what it needs to move, is not in these figures.

use trunnion_handbook::quantity::Truth;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, listed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/space", source: include_str!("fit_space.rs"), judge: Judge::World(judge) };

/// Size of the part, room of the place, and the direction in words.
const SIDES: [(&str, &str, &str); 3] = [
    ("length", "room_length", "along the vehicle"),
    ("width", "room_width", "across"),
    ("height", "room_height", "upward"),
];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled() && (alone || it.changed()));
    places.filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let (known, unsaid): (Vec<_>, Vec<_>) = SIDES.iter().partition(|it| ctx.stated(place, it.1));
    if known.is_empty() {
        return None;
    }
    let site = place.done.last().map_or(place.site, |it| it.site);
    let hangs = format!("whether the {} has room", place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, &*place.name, site, hangs);
    sum.safety_of(&[place]);
    sum.work(|sum| {
        let figures: Vec<_> =
            known.iter().map(|(size, room, _)| (sum.figure(place, size), sum.figure(place, room))).collect();
        if !unsaid.is_empty() {
            let others: Vec<String> = unsaid.iter().map(|it| it.2.to_owned()).collect();
            sum.note(format!("not looked at, for no room is stated: {}", listed(&others)));
        }
        let (mut well, mut over, mut truth) = (Vec::new(), Vec::new(), Truth::Yes);
        let (mut needs, mut rooms, mut left) = (Vec::new(), Vec::new(), Vec::new());
        for ((_, _, way), (size, room)) in known.iter().zip(&figures) {
            let (Some(size), Some(room)) = (size, room) else { continue };
            let one = size.at_most(room).ok()?;
            let margin = room.sub(size).ok()?;
            let row = format!("{} {way} in a room of {}", size.display(), room.display());
            if one == Truth::No {
                over.push(row)
            } else {
                well.push(row)
            }
            if one == Truth::No || truth == Truth::Yes {
                truth = one;
            }
            sum.formula(format!("{} ≤ {}", size.display(), room.display()));
            needs.push(size.display());
            rooms.push(room.display());
            left.push(margin.display());
        }
        let who = capital(&ctx.part_shown(place));
        let clear = format!("{who} has room: {}.", listed(&well));
        let clash = format!("{who} does not go in: {}.", listed(&over));
        if truth == Truth::No {
            sum.fixes(replacements(ctx, place, &|id| goes_in(ctx, place, id)));
        }
        let answer = Answer::sentences(truth, clear, clash).margin(left.join(", "));
        Some(answer.need(needs.join(", "), rooms.join(", ")))
    })
}

/// Whether a part states sizes that go into every stated room of a place.
fn goes_in(ctx: &Ctx<'_>, place: &Place, id: Id) -> bool {
    SIDES.iter().filter(|it| ctx.stated(place, it.1)).all(|(size, room, _)| {
        let claims = known::of_part(ctx.db, ctx.workspace, id, size);
        let size = claims.first().and_then(trunnion_model::fact::Found::quantity);
        match (size, ctx.fact(place, room).quantity()) {
            (Some(size), Some(room)) => size.at_most(&room) == Ok(Truth::Yes),
            _ => false,
        }
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn placed(part: &str, room: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
kind box {{ asks mass
  safety lifting }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  {room} }}
part auto_six "automatic" is box fills gearbox {{ {part} }}
part short_six "short automatic" is box fills gearbox {{ length 640 mm, width 380 mm, offer 400 EUR }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six }}"#
        )
    }

    #[test]
    fn what_goes_in_is_clear_and_names_what_was_not_looked_at() {
        let rooms = "gearbox.room_length 720 mm\n gearbox.room_width 430 mm";
        let found = check("fit/space", &placed("length 694 mm, width 410 mm, height 395 mm", rooms));
        found.clear(
            "Automatic has room: 694 mm along the vehicle in a room of 720 mm and 410 mm across in a room of 430 mm.",
        );
        assert_eq!(found.only().margin.as_deref(), Some("26 mm, 20 mm"));
        assert_eq!(found.only().notes, ["not looked at, for no room is stated: upward"]);
        assert_eq!(found.only().safety, ["lifting"]);
    }

    #[test]
    fn what_does_not_is_a_clash_with_the_part_that_would() {
        let rooms = "gearbox.room_length 680 mm\n gearbox.room_width 430 mm";
        let found = check("fit/space", &placed("length 694 mm, width 410 mm", rooms));
        found.clash("Automatic does not go in: 694 mm along the vehicle in a room of 680 mm.");
        assert_eq!(found.text(), "fit auto_six");
        assert!(found.fixed(0).contains("replace gearbox with short_six"), "{}", found.fixed(0));
    }

    #[test]
    fn a_size_that_nobody_stated_is_open() {
        let found = check("fit/space", &placed("length 694 mm", "gearbox.room_height 400 mm"));
        found.open("Nobody has said the height of the gearbox: it decides whether the gearbox has room.");
        assert!(found.fixed(0).contains("height … mm"), "{}", found.fixed(0));
        check("fit/space", &placed("height 398 mm ± 3 mm", "gearbox.room_height 400 mm")).open(
            "Automatic has room: 398 mm ± 3 mm upward in a room of 400 mm: the tolerances leave both possible.",
        );
        check("fit/space", &placed("length 694 mm", "gearbox.behind_axle 600 mm")).silent();
    }
}
