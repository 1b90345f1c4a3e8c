//! # steer/supply
//!
//! The steering pump gives the pressure and the flow that the rack or box needs.
//!
//! ## Why it matters
//!
//! With too little pressure the wheels stay where they are when parking; with too little flow the
//! wheel goes heavy in the middle of a quick turn, when it is needed. Steering is proven only on the
//! tester, by a licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place steering is steering_rack
//!   place steering_pump is steering_pump }
//! part rack is steering_rack fills steering { fitted on Dunlin, pressure 90 bar, flow 8 L/min }
//! part small_pump is steering_pump { pressure 75 bar, flow 9 L/min }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit small_pump for steering_pump }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place steering is steering_rack
//!   place steering_pump is steering_pump }
//! part rack is steering_rack fills steering { fitted on Dunlin, pressure 90 bar, flow 8 L/min }
//! part pump is steering_pump { pressure 100 bar, flow 9 L/min }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit pump for steering_pump }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated: the pressure at which the pump's valve opens, and its flow at idle.
//! What the hose between stands is `line/rating`.

use trunnion_handbook::quantity::Truth;
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "steer/supply", source: include_str!("steer_supply.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let pumps = ctx.of_kind("steering_pump");
    let racks = ctx.of_kind("steering").into_iter();
    let racks = racks.filter(|it| pumps.iter().all(|pump| pump.name != it.name));
    racks.flat_map(|rack| ["pressure", "flow"].into_iter().filter_map(move |it| one(ctx, rack, it))).collect()
}

fn one(ctx: &Ctx<'_>, rack: &Place, measure: &str) -> Option<Verdict> {
    let pump = ctx.only_of_kind("steering_pump");
    let is_pump = |it: &Place| ctx.kind_before(it).is_some_and(|(_, kind)| kind.is(ctx.db, "steering_pump"));
    // A pump that another engine drives is looked at anew.
    let changes = ctx.concerns(&[rack])
        || pump.is_some_and(|it| ctx.touched(it))
        || ctx.world.places.iter().any(|it| it.changed() && is_pump(it));
    if !ctx.stated(rack, measure) || !changes {
        return None;
    }
    let done = pump.and_then(|it| it.done.last()).or(rack.done.last());
    let hangs = format!("whether the {} has its help", rack.shown());
    let subject = format!("{}.{measure}", rack.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, done.map_or(rack.site, |it| it.site), hangs);
    sum.safety_of(&[rack]);
    sum.work(|sum| {
        let needed = sum.figure(rack, measure);
        let Some(pump) = pump else {
            let question = nothing(rack, sum.hangs());
            sum.lacks(question.what.clone(), question);
            return None;
        };
        let needed = needed?;
        sum.good(format!("at least {}", needed.display()));
        let given = sum.figure(pump, measure)?;
        if given.at_least(&needed) == Ok(Truth::No) {
            sum.fixes(replacements(ctx, pump, &|id| {
                let found = known::of_part(ctx.db, ctx.workspace, id, measure);
                let other = found.first().and_then(Found::quantity);
                other.is_some_and(|it| it.at_least(&needed) == Ok(Truth::Yes))
            }));
        }
        let said = format!("{} gives {}", ctx.part_shown(pump), given.display());
        let wanted = format!("{} needs {}", ctx.part_shown(rack), needed.display());
        Some(Answer::at_least(given, needed, &said, &wanted))
    })
}

fn nothing(rack: &Place, hangs: String) -> Question {
    Question {
        what: format!("which pump supplies the {}", rack.shown()),
        good: None,
        tool: Some("follow the hoses of the steering".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Road,
        hangs,
        type_in: Some("place steering_pump is steering_pump, fit … for steering_pump".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(rack: &str, pump: &str, change: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place steering is steering_rack
  place steering_pump is steering_pump }}
part rack is steering_rack fills steering {{ fitted on Dunlin, {rack} }}
part pump is steering_pump {{ {pump} }}
part other "the larger pump" is steering_pump fills steering_pump {{ pressure 110 bar, offer 80 EUR }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, {change} }}"#
        )
    }

    #[test]
    fn pressure_and_flow_are_each_held_against_the_need() {
        let text = van(
            "pressure 90 bar per manual, flow 8 L/min per manual",
            "pressure 85 bar per manual, flow 9 L/min per manual",
            "fit pump for steering_pump",
        );
        let found = check("steer/supply", &text);
        let pressure = found.about("steering.pressure");
        assert_eq!(pressure.message, "Pump gives 85 bar, but rack needs 90 bar.");
        assert_eq!(pressure.margin.as_deref(), Some("−5 bar"));
        assert_eq!(found.text_of(pressure), "fit pump for steering_pump");
        assert_eq!(pressure.fixes[0].title, "replace the steering pump with the larger pump");
        assert_eq!(pressure.safety, ["steering"]);
        assert_eq!(found.about("steering.flow").message, "Pump gives 9 l/min; rack needs 8 l/min.");
    }

    #[test]
    fn what_the_pump_gives_is_asked() {
        let text = van("pressure 90 bar per manual", "flow 9 L/min", "fit pump for steering_pump");
        check("steer/supply", &text).open(
            "Nobody has said the working pressure of the steering pump; good would be at least 90 bar: \
             it decides whether the steering has its help.",
        );
    }

    #[test]
    fn a_rack_left_without_a_pump_is_open() {
        let fitted = van(
            "pressure 90 bar",
            "pressure 100 bar, fitted on Dunlin, fills steering_pump",
            "remove steering_pump",
        );
        let text = fitted.replace(
            "is steering_pump { pressure 100 bar, fitted on Dunlin, fills steering_pump }",
            "is steering_pump fills steering_pump { fitted on Dunlin, pressure 100 bar }",
        );
        check("steer/supply", &text).open(
            "Nobody has said which pump supplies the steering: it decides whether the steering has its help.",
        );
        check("steer/supply", &van("turns 3", "pressure 100 bar", "fit pump for steering_pump")).silent();
    }
}
