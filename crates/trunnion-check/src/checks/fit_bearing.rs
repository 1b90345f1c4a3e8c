//! # fit/bearing
//!
//! The ring of a wheel bearing that turns with the load is pressed on its seat, and the bearing is set
//! as it is meant to be: with preload and no play, or with no more play than the `basis` allows.
//!
//! ## Why it matters
//!
//! A ring that may creep on its seat wears the seat away, and the wheel wanders. A preloaded bearing
//! with play has worn out; one that was meant to have play and was tightened runs hot and seizes.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place knuckle is knuckle
//!   place bearing is wheel_bearing
//!   joint knuckle.seat to bearing.outside }
//! part old_knuckle is knuckle fills knuckle { fitted on Dunlin, face seat { register 72 mm H7 } }
//! part pressed_in is wheel_bearing { face outside { register 72 mm h6 } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion axles { recipient van, fit pressed_in for bearing }
//! kind knuckle { asks face seat }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place knuckle is knuckle
//!   place bearing is wheel_bearing
//!   joint knuckle.seat to bearing.outside }
//! part old_knuckle is knuckle fills knuckle { fitted on Dunlin, face seat { register 72 mm P7 } }
//! part pressed_in is wheel_bearing { face outside { register 72 mm h6 } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion axles { recipient van, fit pressed_in for bearing }
//! kind knuckle { asks face seat }
//! ```
//!
//! ## Which seat
//!
//! Every seat that a `wheel_bearing` states is held to be one that is pressed. A ring that stands still
//! on its spindle and slides there by design is accepted with that reason.
//!
//! ## References
//!
//! Limits of the tolerance classes: ISO 286-1:2010. Pressed on the mean of both sizes, as N7 and P7 in
//! a housing or k6 on a shaft are: common practice, no source. At most 0.05 mm of play: common practice,
//! no source. The preload and how it is set: workshop data.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::db::Site;
use trunnion_model::fact::Known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, Mate};
use crate::spigot::{Form, shown as registers_shown, sized, together};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/bearing", source: include_str!("fit_bearing.rs"), judge: Judge::World(judge) };

/// The play of a wheel bearing that is still good, in mm: common practice, no source.
const PLAY: f64 = 0.05;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let bearing = |it: &Place| ctx.of_kind("wheel_bearing").iter().any(|other| other.name == it.name);
    let mates = ctx.mates();
    let seats = mates.iter().filter(|(a, b, _)| bearing(a.place) || bearing(b.place));
    let mut verdicts: Vec<Verdict> = seats.filter_map(|(a, b, site)| seat(ctx, a, b, *site)).collect();
    let set = ["wheel_bearing", "hub"].into_iter().flat_map(|it| ctx.of_kind(it));
    let set = set.filter(|it| ctx.stated(it, "play") && ctx.concerns(&[it]));
    verdicts.extend(set.filter_map(|it| play(ctx, it)));
    verdicts
}

/// Whether a ring is pressed on its seat.
fn seat(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, joint: Site) -> Option<Verdict> {
    let (ga, gb) = (a.geometry.as_ref()?, b.geometry.as_ref()?);
    let (first, second) = (ga.registers.first()?, gb.registers.first()?);
    // What is no pair at all is fit/register's.
    if together(ga, gb).answer != crate::spigot::Answer::Clear {
        return None;
    }
    let (one, other) = (sized(ga, first).ok()?, sized(gb, second).ok()?);
    let (bore, spigot) = if one.form == Some(Form::Bore) { (one, other) } else { (other, one) };
    let (least, most) = (bore.lo - spigot.hi, bore.hi - spigot.lo);
    let hangs = format!("whether the ring creeps between {} and {}", a.place.shown(), b.place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}-{}", a.at.text(), b.at.text()), joint, hangs);
    sum.safety_of(&[a.place, b.place]);
    sum.work(|sum| {
        for found in [&a.found, &b.found].into_iter().flatten() {
            sum.rests_on(found);
        }
        sum.source("ISO 286-1:2010");
        sum.source("pressed on the mean of both sizes: common practice, no source");
        let clearance = Quantity::range(least * 1e3, most * 1e3, "µm").ok()?.display().replace('-', "−");
        sum.formula(format!("bore − spigot = {}", clearance));
        let mean = (least + most) / 2.0;
        let truth = match (mean < 0.0, least >= 0.0) {
            (true, _) => Truth::Yes,
            (_, true) => Truth::No,
            _ => Truth::Maybe,
        };
        if most > 0.0 && mean < 0.0 {
            sum.note("At the loosest the ring slides on: measure both before it is pressed.");
        }
        let seats = format!("{} in {}", registers_shown(&gb.registers), registers_shown(&ga.registers));
        let said = format!("the ring sits with {} of clearance ({seats})", clearance);
        Some(
            Answer::told(truth, &said, "it has to be pressed, below nil on the mean")
                .margin(Quantity::exact(-mean * 1e3, "µm").ok()?.display()),
        )
    })
}

/// Whether the play goes with how the bearing is set.
fn play(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let stated = ctx.fact(place, "play").claims().first().map(|it| it.site);
    let site = place.done.last().map(|it| it.site).or(stated).unwrap_or(place.site);
    let hangs = format!("whether the bearing of the {} is set right", place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.play", place.name), site, hangs);
    sum.safety_of(&[place]);
    sum.work(|sum| {
        let play = sum.figure(place, "play");
        let preload = match ctx.fact(place, "preload") {
            Known::Nothing(found) => {
                sum.rests_on(&found);
                None
            }
            _ => sum.maybe(place, "preload"),
        };
        let said = format!("the bearing of the {} has {} of play", place.shown(), play?.display());
        if let Some(preload) = preload {
            let nil = Quantity::exact(0.0, "mm").ok()?;
            let needed = format!("it is set with a preload of {}, which leaves none", preload.display());
            return Some(Answer::at_most(play?, nil, &said, &needed));
        }
        let limit = sum.basis_or("bearing_play", PLAY, "mm")?;
        Some(Answer::at_most(play?, limit, &said, &format!("{} are still good", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn axle(knuckle: &str, ring: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
kind knuckle {{ asks face seat }}
family Dunlin {{ built 2009-06 to 2018-12
  place knuckle is knuckle
  place bearing is wheel_bearing
  joint knuckle.seat to bearing.outside }}
part upright is knuckle fills knuckle {{ fitted on Dunlin, face seat {{ register 72 mm {knuckle} }} per manual }}
part ball is wheel_bearing {{ face outside {{ register 72 mm {ring} }} per manual }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion axles {{ recipient van, fit ball for bearing }}"#
        )
    }

    fn hub(facts: &str) -> String {
        format!(
            r#"
source bench "Measured" measured
family Dunlin {{ built 2009-06 to 2018-12
  place hub_front is hub }}
part hub_five is hub {{ {facts} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion axles {{ recipient van, fit hub_five for hub_front }}"#
        )
    }

    /// ISO 286-2:2010 tables: 72 mm N7 −39 to −9 µm, h6 −19 to 0 µm; H7 0 to +30 µm.
    #[test]
    fn a_seat_is_pressed_or_creeps() {
        let found = check("fit/bearing", &axle("N7", "h6"));
        found.clear(
            "The ring sits with −39 to 10 µm of clearance (72 mm h6 in 72 mm N7); it has to be pressed, below nil on the mean.",
        );
        assert_eq!(
            found.only().notes,
            ["At the loosest the ring slides on: measure both before it is pressed."]
        );
        assert_eq!(found.only().margin.as_deref(), Some("14.5 µm"));
        let found = check("fit/bearing", &axle("H7", "h6"));
        found.clash(
            "The ring sits with 0 to 49 µm of clearance (72 mm h6 in 72 mm H7), but it has to be pressed, below nil on the mean.",
        );
        assert_eq!(found.text(), "joint knuckle.seat to bearing.outside");
        assert_eq!(found.only().safety, ["wheels"]);
        // 72 mm K7 −21 to +9 µm: as often loose as tight.
        let found = check("fit/bearing", &axle("K7", "h6"));
        assert_eq!(found.only().outcome.word(), "open");
        check("fit/bearing", &axle("74 mm", "h6").replace("72 mm 74 mm", "74 mm H7")).silent();
    }

    #[test]
    fn play_is_held_against_practice_and_the_basis() {
        let found = check("fit/bearing", &hub("play 0.03 mm ± 0.01 mm per bench"));
        found.clear("The bearing of the hub front has 0.03 mm ± 0.01 mm of play; 0.05 mm are still good.");
        let found = check("fit/bearing", &hub("play 0.12 mm ± 0.01 mm per bench, preload none"));
        found
            .clash("The bearing of the hub front has 0.12 mm ± 0.01 mm of play, but 0.05 mm are still good.");
        assert_eq!(found.text(), "fit hub_five for hub_front");
        let wide = format!("basis {{ bearing play 0.2 mm }}\n{}", hub("play 0.12 mm ± 0.01 mm per bench"));
        assert_eq!(check("fit/bearing", &wide).only().outcome.word(), "clear");
    }

    #[test]
    fn a_preloaded_bearing_has_none() {
        let found =
            check("fit/bearing", &hub("play 0.03 mm ± 0.01 mm per bench, preload 2 Nm to 4 Nm per bench"));
        found.clash(
            "The bearing of the hub front has 0.03 mm ± 0.01 mm of play, but it is set with a preload of 2 to 4 Nm, which leaves none.",
        );
        check("fit/bearing", &hub("preload 2 Nm to 4 Nm per bench")).silent();
        // As the dial gauge reads it, to 0.01 mm, it may be either.
        let found = check("fit/bearing", &hub("play 0.05 mm per bench"));
        assert_eq!(found.only().outcome.word(), "open");
    }
}
