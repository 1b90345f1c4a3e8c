//! # volt/converter
//!
//! The converter that takes the alternator's place gives as much current as the 12 V side draws with
//! everything on.
//!
//! ## Why it matters
//!
//! Lights, wipers, heater fan and brake servo pump on a wet night empty a 12 V battery that is not kept up,
//! and then the contactors of the pack fall open while driving. Licensed work: clear on paper is not
//! permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Plover { built 1968-01 to 1974-12
//!   place converter is voltage_converter
//!   place lights, servo_pump is unit }
//! part lamps is unit fills lights { fitted on Plover, plug L { 1 supply 12 V draw 25 A } }
//! part pump is unit { plug P { 1 supply 12 V draw 30 A } }
//! part small is voltage_converter { current 40 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit small for converter, fit pump for servo_pump }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Plover { built 1968-01 to 1974-12
//!   place converter is voltage_converter
//!   place lights, servo_pump is unit }
//! part lamps is unit fills lights { fitted on Plover, plug L { 1 supply 12 V draw 25 A } }
//! part pump is unit { plug P { 1 supply 12 V draw 30 A } }
//! part large is voltage_converter { current 100 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit large for converter, fit pump for servo_pump }
//! ```
//!
//! ## References
//!
//! Sums: see `trunnion explain current_total` and `trunnion explain pack_current`. That all is taken as on
//! at once: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::pack::is_high;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/converter", source: include_str!("volt_converter.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(place) = ctx.only_of_kind("voltage_converter") else { return Vec::new() };
    let begun = ["current", "power"].iter().any(|it| ctx.stated(place, it));
    if !begun || ctx.world.conversion.is_some() && !ctx.world.places.iter().any(Place::changed) {
        return Vec::new();
    }
    one(ctx, place).into_iter().collect()
}

/// What the 12 V side draws: each stated draw, and the places of which nobody has said it.
fn draws(ctx: &Ctx<'_>, converter: &Place, sum: &mut Sum<'_, '_>) -> (Vec<Quantity>, Vec<String>) {
    let (mut found, mut unsaid): (Vec<Quantity>, Vec<String>) = (Vec::new(), Vec::new());
    for place in ctx.world.places.iter().filter(|it| it.name != converter.name) {
        let Some((id, part)) = place.after.part().and_then(|it| Some((it, ctx.part(it)?))) else { continue };
        for cavity in part.ends.iter().flat_map(|it| &it.cavities) {
            if cavity.role.value != "supply" || is_high(cavity) {
                continue;
            }
            match cavity.draw {
                Some(draw) => {
                    found.push(draw);
                    sum.rests_on(&known::said(ctx.db, ctx.workspace, id, &cavity.claim, cavity.span));
                }
                // What lets through or gives draws nothing itself.
                None if cavity.out.is_some() || cavity.gives.is_some() || !part.contacts.is_empty() => {}
                None if ctx.kind_after(place).is_some_and(|(_, it)| it.is(ctx.db, "battery")) => {}
                None => {
                    let who = format!("the {}", place.shown());
                    if !unsaid.contains(&who) {
                        unsaid.push(who);
                    }
                }
            }
        }
    }
    (found, unsaid)
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let changed = ctx.world.places.iter().rev().find_map(|it| it.done.last());
    let site = place.done.last().or(changed).map_or(place.site, |it| it.site);
    let what = ctx.part_shown(place);
    let subject = format!("{}.current", place.name);
    let sum = Sum::new(ctx, CHECK.name, subject, site, format!("whether {what} keeps the 12 V battery up"));
    sum.work(|sum| {
        sum.safety_of(&[place]);
        sum.source("everything on at once: common practice, no source");
        let gives = match ctx.stated(place, "current") {
            true => sum.figure(place, "current"),
            false => {
                let power = sum.figure(place, "power");
                let battery = ctx.only_of_kind("starter_battery");
                let volts = match battery {
                    Some(it) => sum.figure(it, "charge_voltage"),
                    None => sum.basis("charge_voltage", "the voltage at which the 12 V side is kept"),
                };
                sum.call("pack_current", &[power?, volts?])
            }
        };
        let (draws, unsaid) = draws(ctx, place, sum);
        let gives = gives?;
        if draws.is_empty() {
            ask(sum, "what the 12 V side draws".to_owned());
            return None;
        }
        let total = sum.call("current_total", &draws)?;
        // What is known may be too much already, whatever the rest comes to.
        if !unsaid.is_empty() && total.at_most(&gives).ok()? != Truth::No {
            ask(sum, format!("what {} draw{}", listed(&unsaid), if unsaid.len() > 1 { "" } else { "s" }));
            return None;
        }
        let said = format!("the 12 V side draws {} with everything on", total.display());
        Some(Answer::at_most(total, gives, &said, &format!("{what} gives {}", gives.display())))
    })
}

fn ask(sum: &mut Sum<'_, '_>, what: String) {
    let question = Question {
        what: what.clone(),
        good: None,
        tool: Some("clamp meter".to_owned()),
        precision: Some("0.5 A".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Road,
        hangs: sum.hangs(),
        type_in: Some("1 supply 12 V draw … A".to_owned()),
    };
    sum.lacks(what, question);
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn car(converter: &str, pump: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Plover {{ built 1968-01 to 1974-12
  place starter_battery is starter_battery
  place converter is voltage_converter
  place lights, servo_pump is unit }}
part store is starter_battery fills starter_battery {{ fitted on Plover, charge voltage 14 V, plug P {{ 1 supply 12 V, 2 ground }} }}
part lamps is unit fills lights {{ fitted on Plover, plug L {{ 1 supply 12 V draw 25 A }} }}
part pump is unit {{ plug P {{ 1 supply 12 V{pump} }} }}
part giver is voltage_converter {{ {converter} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit giver for converter, fit pump for servo_pump }}"
        )
    }

    #[test]
    fn a_large_one_is_clear() {
        let found = check("volt/converter", &car("current 100 A", " draw 30 A"));
        found.clear("The 12 V side draws 55 A with everything on; giver gives 100 A.");
        assert_eq!(found.only().margin.as_deref(), Some("45 A"));
        assert_eq!(found.text(), "fit giver for converter");
    }

    /// 700 W / 14 V = 50 A.
    #[test]
    fn a_small_one_clashes_by_its_power() {
        check("volt/converter", &car("power 700 W", " draw 30 A"))
            .clash("The 12 V side draws 55 A with everything on, but giver gives 50 A.");
    }

    #[test]
    fn a_draw_that_nobody_said_is_open_unless_the_rest_is_too_much() {
        check("volt/converter", &car("current 100 A", "")).open(
            "Nobody has said what the servo pump draws: it decides whether giver keeps the 12 V battery up.",
        );
        check("volt/converter", &car("current 20 A", ""))
            .clash("The 12 V side draws 25 A with everything on, but giver gives 20 A.");
    }
}
