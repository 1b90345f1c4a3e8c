//! # volt/pilot
//!
//! A charging inlet that works with a pilot has its pilot wire led to the unit that listens to it.
//!
//! ## Why it matters
//!
//! The pilot tells the vehicle how much it may draw, and the charging point that the cable is in. Without
//! it the point gives nothing; a charger that does without it may draw more than the cable bears.
//! Licensed work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind socket { asks inlet kind }
//! family Plover { built 1968-01 to 1974-12
//!   place charger is charger
//!   place inlet is socket }
//! part filler is charger { plug X { 5 signal pilot in } }
//! part flap is socket { inlet kind "type with pilot and proximity", plug I { 1 signal pilot out } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit filler for charger, fit flap for inlet }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind socket { asks inlet kind }
//! family Plover { built 1968-01 to 1974-12
//!   place charger is charger
//!   place inlet is socket }
//! part filler is charger { plug X { 5 signal pilot in } }
//! part flap is socket { inlet kind "type with pilot and proximity", plug I { 1 signal pilot out } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit filler for charger, fit flap for inlet
//!   wire inlet.I[1] to charger.X[5] 0.5 mm2 }
//! ```
//!
//! ## References
//!
//! Control pilot function, mandatory where energy passes only by it: IEC 61851-1, 2017 (from memory, unverified). What the
//! duty cycle of the pilot allows: `trunnion explain pilot_current`.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};
use crate::wiring::{Wired, same_net, wired};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/pilot", source: include_str!("volt_pilot.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let mut inlets: Vec<&Place> = filled.filter(|it| ctx.concerns(&[it]) && has_pilot(ctx, it)).collect();
    // A charger that says the same of its inlet is the other end of the same wire.
    let chargers = ctx.of_kind("charger");
    let is_charger = |it: &&Place| chargers.iter().any(|other| other.name == it.name);
    if !inlets.iter().all(is_charger) {
        inlets.retain(|it| !is_charger(it));
    }
    inlets.into_iter().filter_map(|it| one(ctx, it)).collect()
}

/// Whether anybody says that its inlet works with a pilot.
fn has_pilot(ctx: &Ctx<'_>, place: &Place) -> bool {
    let claims = ctx.fact(place, "inlet_kind").claims().to_vec();
    claims.iter().flat_map(|it| &it.values).any(|it| {
        it.word()
            .is_some_and(|it| it.to_lowercase().contains("pilot") && !it.to_lowercase().contains("no pilot"))
    })
}

/// The cavities in which the pilot ends, with their places.
fn pilots<'a>(ctx: &Ctx<'a>) -> Vec<(&'a Place, EndAt, u32)> {
    let mut found = Vec::new();
    for place in &ctx.world.places {
        let Some(part) = place.after.part().and_then(|it| ctx.part(it)) else { continue };
        for end in &part.ends {
            for it in end.cavities.iter().filter(|it| it.what.as_ref().is_some_and(|it| it.head() == "pilot"))
            {
                let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
                found.push((place, at, it.number.value));
            }
        }
    }
    found
}

/// Whether a wire leads from one cavity to another.
fn joined(ctx: &Ctx<'_>, wired: &Wired<'_>, a: &(&Place, EndAt, u32), b: &(&Place, EndAt, u32)) -> bool {
    let (from, to) = (WireEnd::Cavity(a.1.clone(), a.2), WireEnd::Cavity(b.1.clone(), b.2));
    let nowhere = WireEnd::Strange(String::new());
    same_net(ctx.world, wired, &nowhere, &from, &to)
}

fn one(ctx: &Ctx<'_>, inlet: &Place) -> Option<Verdict> {
    let site = inlet.done.last().map_or(inlet.site, |it| it.site);
    let what = ctx.part_shown(inlet);
    let hangs = format!("whether {what} gets current from a charging point");
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.pilot", inlet.name), site, &*hangs);
    sum.safety_of(&[inlet]);
    sum.safety(["high_voltage".to_owned()]);
    sum.source("IEC 61851-1, 2017: control pilot function (from memory, unverified)");
    sum.work(|sum| {
        sum.word(inlet, "inlet_kind");
        let all = pilots(ctx);
        let (own, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|it| it.0.name == inlet.name);
        if own.is_empty() || others.is_empty() {
            let asked = match own.is_empty() {
                true => format!("which cavity of {what} the pilot is in"),
                false => "which other unit hears the pilot".to_owned(),
            };
            sum.lacks(asked.clone(), question(asked, &hangs));
            return None;
        }
        let wired = wired(ctx.world);
        let pair = own.iter().find_map(|a| others.iter().find(|b| joined(ctx, &wired, a, b)).map(|b| (a, b)));
        let text = |it: &(&Place, EndAt, u32)| format!("{}[{}]", it.1.text(), it.2);
        let (own, other) = (&own[0], &others[0]);
        let said = format!("{what} works with a pilot");
        Some(match pair {
            Some((a, b)) => {
                Answer::told(Truth::Yes, &said, &format!("a wire leads from {} to {}", text(a), text(b)))
            }
            None => {
                let fix = ctx.add_change(
                    "run the pilot wire",
                    &format!("wire {} to {} 0.5 mm2", text(own), text(other)),
                );
                sum.fix(fix);
                Answer::told(
                    Truth::No,
                    &said,
                    &format!("no wire leads from {} to {}", text(own), text(other)),
                )
            }
        })
    })
}

fn question(what: String, hangs: &str) -> Question {
    Question {
        what,
        good: None,
        tool: Some("data sheet".to_owned()),
        precision: None,
        minutes: Some(15),
        who: Who::Maker,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some("plug … { 5 signal pilot in }".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn inlet(charger: &str, flap: &str, wire: &str) -> String {
        format!(
            r"
kind socket {{ asks inlet kind }}
family Plover {{ built 1968-01 to 1974-12
  place charger is charger
  place inlet is socket }}
part filler is charger {{ {charger} }}
part flap is socket {{ {flap} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit filler for charger, fit flap for inlet{wire} }}"
        )
    }

    const CHARGER: &str = "plug X { 5 signal pilot in }";
    const FLAP: &str = "inlet kind \"type with pilot and proximity\", plug I { 1 signal pilot out }";

    #[test]
    fn a_pilot_that_is_led_on_is_clear() {
        let wire = ", wire inlet.I[1] to charger.X[5] 0.5 mm2";
        check("volt/pilot", &inlet(CHARGER, FLAP, wire))
            .clear("Flap works with a pilot; a wire leads from inlet.I[1] to charger.X[5].");
    }

    #[test]
    fn without_its_wire_it_clashes_and_the_wire_mends_it() {
        let found = check("volt/pilot", &inlet(CHARGER, FLAP, ""));
        found.clash("Flap works with a pilot, but no wire leads from inlet.I[1] to charger.X[5].");
        assert_eq!(found.text(), "fit flap for inlet");
        check("volt/pilot", &found.fixed(0))
            .clear("Flap works with a pilot; a wire leads from inlet.I[1] to charger.X[5].");
    }

    #[test]
    fn who_hears_it_is_asked() {
        check("volt/pilot", &inlet("power 3300 W", FLAP, "")).open(
            "Nobody has said which other unit hears the pilot: it decides whether flap gets current from a \
             charging point.",
        );
        check("volt/pilot", &inlet(CHARGER, "inlet kind \"type with pilot\"", "")).open(
            "Nobody has said which cavity of flap the pilot is in: it decides whether flap gets current from a \
             charging point.",
        );
        check("volt/pilot", &inlet(CHARGER, "inlet kind \"plain mains\"", "")).silent();
    }
}
