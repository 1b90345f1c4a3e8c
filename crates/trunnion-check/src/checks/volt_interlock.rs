//! # volt/interlock
//!
//! The interlock wire is one closed loop: it goes through every unit on the pack, once, and comes back
//! to where it starts.
//!
//! ## Why it matters
//!
//! A cover that is not in the loop can be opened on live parts. A loop that branches stays closed when
//! one branch opens. Licensed work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V
//!   plug X { 7 signal interlock in, 8 signal interlock out } }
//! part drive is inverter { plug X { 7 signal interlock in, 8 signal interlock out } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter
//!   wire traction_battery.X[8] to inverter.X[7] 0.5 mm2 OG }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V
//!   plug X { 7 signal interlock in, 8 signal interlock out } }
//! part drive is inverter { plug X { 7 signal interlock in, 8 signal interlock out } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter
//!   wire traction_battery.X[8] to inverter.X[7] 0.5 mm2 OG
//!   wire inverter.X[8] to traction_battery.X[7] 0.5 mm2 OG }
//! ```
//!
//! ## References
//!
//! A loop through every cover and plug: common practice, no source; the maker of the pack says what
//! opens it.

use std::collections::BTreeMap;

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::pack::{Pack, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/interlock", source: include_str!("volt_interlock.rs"), judge: Judge::World(judge) };

/// A cavity of the loop.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Pin(EndAt, u32);

impl Pin {
    fn text(&self) -> String {
        format!("{}[{}]", self.0.text(), self.1)
    }
}

/// The cavities of a unit that the loop goes in and out by, in pairs as they follow one another.
fn through(ctx: &Ctx<'_>, place: &Place) -> (Vec<Pin>, Vec<Pin>) {
    let (mut ins, mut outs) = (Vec::new(), Vec::new());
    let part = place.after.part().and_then(|it| ctx.part(it));
    for end in part.into_iter().flat_map(|it| &it.ends) {
        for cavity in &end.cavities {
            let loops = cavity.what.as_ref().is_some_and(|it| it.head() == "interlock");
            let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
            match (loops, cavity.out) {
                (true, Some(true)) => outs.push(Pin(at, cavity.number.value)),
                (true, _) => ins.push(Pin(at, cavity.number.value)),
                _ => {}
            }
        }
    }
    (ins, outs)
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    one(ctx, &pack).into_iter().collect()
}

fn one(ctx: &Ctx<'_>, pack: &Pack<'_>) -> Option<Verdict> {
    let site = pack.place.done.last().map_or(pack.place.site, |it| it.site);
    let subject = format!("{}.interlock", pack.place.name);
    let hangs = "whether opening any cover switches the pack off";
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[pack.place]);
    sum.source("a loop through every cover and plug: common practice, no source");
    // Other units of low voltage may be in the loop too: who watches it.
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let pins: Vec<_> = places.map(|it| (it, through(ctx, it))).collect();
    let in_loop = |it: &Place| {
        pins.iter().any(|(at, pins)| at.name == it.name && !pins.0.is_empty() && !pins.1.is_empty())
    };
    let outside: Vec<String> = pack.all().filter(|it| !in_loop(it)).map(|it| ctx.part_shown(it)).collect();
    let unsaid =
        pack.all().filter(|it| !in_loop(it)).any(|it| it.after.part().is_none_or(|id| no_plug(ctx, id)));
    sum.work(|sum| {
        if !outside.is_empty() && unsaid {
            let what = format!("which cavities of {} the interlock goes through", listed(&outside));
            sum.lacks(what.clone(), question(what, hangs));
            return None;
        }
        let said =
            format!("the interlock goes through {} units", pins.iter().filter(|(it, _)| in_loop(it)).count());
        if !outside.is_empty() {
            return Some(Answer::told(Truth::No, &said, &format!("not through {}", listed(&outside))));
        }
        Some(match walk(ctx, &pins) {
            Ok(count) => {
                let said = format!("the interlock goes once through {count} units");
                Answer::told(Truth::Yes, &said, "it comes back to where it starts")
                    .need("one closed loop", "one closed loop")
            }
            Err(why) => Answer::told(Truth::No, "the interlock must be one closed loop", &why),
        })
    })
}

/// Whether a part states no plug at all, so that nothing can be said of its cavities.
fn no_plug(ctx: &Ctx<'_>, id: trunnion_model::name::Id) -> bool {
    ctx.part(id).is_none_or(|it| it.ends.iter().all(|end| end.cavities.is_empty()))
}

type Pins<'p> = [(&'p Place, (Vec<Pin>, Vec<Pin>))];

/// Follows the loop from unit to unit; how many it goes through, or where it does not close.
fn walk(ctx: &Ctx<'_>, pins: &Pins<'_>) -> Result<usize, String> {
    let mut leads: BTreeMap<&EndAt, Vec<(u32, &WireEnd)>> = BTreeMap::new();
    for wire in &ctx.world.wires {
        for (here, other) in [(&wire.a, &wire.b), (&wire.b, &wire.a)] {
            if let WireEnd::Cavity(end, number) = here {
                leads.entry(end).or_default().push((*number, other));
            }
        }
    }
    let next = |pin: &Pin| -> Result<Pin, String> {
        let here = leads.get(&pin.0).into_iter().flatten().filter(|(number, _)| *number == pin.1);
        match here.map(|(_, other)| *other).collect::<Vec<_>>().as_slice() {
            [WireEnd::Cavity(end, number)] => Ok(Pin(end.clone(), *number)),
            [] => Err(format!("no wire leads on from {}", pin.text())),
            [other] => Err(format!("from {} it goes to {}, which is in no unit", pin.text(), other.text())),
            _ => Err(format!("it branches at {}", pin.text())),
        }
    };
    let all: Vec<(&Pin, &Pin)> = pins.iter().flat_map(|(_, (ins, outs))| ins.iter().zip(outs)).collect();
    let Some((first, mut out)) = all.first().copied() else { return Err("nobody is in it".to_owned()) };
    for passed in 1..=all.len() {
        let at = next(out)?;
        if at == *first {
            return match passed == all.len() {
                true => Ok(passed),
                false => {
                    let left = all.len() - passed;
                    Err(format!("it closes after {passed}, and {left} are in a loop of their own or in none"))
                }
            };
        }
        let Some((_, on)) = all.iter().find(|(into, _)| **into == at) else {
            return Err(format!("from {} it goes to {}, which does not pass it on", out.text(), at.text()));
        };
        out = *on;
    }
    Err("it does not come back to where it starts".to_owned())
}

fn question(what: String, hangs: &str) -> Question {
    Question {
        what,
        good: Some("one in and one out of each unit".to_owned()),
        tool: Some("data sheet; meter with the pack parted, by a licensed person".to_owned()),
        precision: None,
        minutes: Some(20),
        who: Who::Maker,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some("plug … { 7 signal interlock in, 8 signal interlock out }".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn looped(drive: &str, wires: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter
  place charger is charger }}
part block is traction_battery {{ voltage window 300 V to 400 V
  plug X {{ 7 signal interlock in, 8 signal interlock out }} }}
part drive is inverter {{ {drive} }}
part filler is charger {{ plug X {{ 7 signal interlock in, 8 signal interlock out }} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter
  fit filler for charger
  {wires} }}"
        )
    }

    const X: &str = "plug X { 7 signal interlock in, 8 signal interlock out }";
    const OUT: &str = "wire traction_battery.X[8] to inverter.X[7] 0.5 mm2 OG";
    const ON: &str = "\n wire inverter.X[8] to charger.X[7] 0.5 mm2 OG";
    const BACK: &str = "\n wire charger.X[8] to traction_battery.X[7] 0.5 mm2 OG";

    #[test]
    fn one_loop_through_all_is_clear() {
        check("volt/interlock", &looped(X, &format!("{OUT}{ON}{BACK}")))
            .clear("The interlock goes once through 3 units; it comes back to where it starts.");
    }

    #[test]
    fn a_loop_that_ends_is_a_clash() {
        check("volt/interlock", &looped(X, &format!("{OUT}{ON}")))
            .clash("The interlock must be one closed loop, but no wire leads on from charger.X[8].");
    }

    #[test]
    fn a_loop_that_leaves_one_out_is_a_clash() {
        let short = format!("{OUT}\n wire inverter.X[8] to traction_battery.X[7] 0.5 mm2 OG");
        check("volt/interlock", &looped(X, &short)).clash(
            "The interlock must be one closed loop, but it closes after 2, and 1 are in a loop of their own or in none.",
        );
        let other = "plug Y { 1 supply 12 V, 2 ground }";
        check("volt/interlock", &looped(other, ""))
            .clash("The interlock goes through 2 units, but not through drive.");
    }

    #[test]
    fn a_branch_is_a_clash() {
        let text =
            looped(X, &format!("{OUT}{ON}{BACK}\n wire inverter.X[8] to traction_battery.X[7] 0.5 mm2 OG"));
        let found = check("volt/interlock", &text);
        found.clash("The interlock must be one closed loop, but it branches at inverter.X[8].");
        assert_eq!(found.text(), "fit block for traction_battery");
    }

    #[test]
    fn a_unit_without_a_plug_is_open() {
        check("volt/interlock", &looped("power 60 kW", "")).open(
            "Nobody has said which cavities of drive the interlock goes through: it decides whether opening any cover \
             switches the pack off.",
        );
    }
}
