//! # brake/vacuum
//!
//! What gives the brake servo its vacuum gives as much as the servo needs, and a line joins them.
//!
//! ## Why it matters
//!
//! A diesel has no throttle and a turbocharged petrol engine makes vacuum when it likes: without a pump
//! the pedal goes hard at the second stop. Brakes decide lives; they are proven only on the tester.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place brake_servo is brake_servo
//!   line vacuum_hose joins engine.vacuum to brake_servo.vacuum, 10 mm bore, carrying vacuum }
//! part turbo is engine { port vacuum carrying vacuum, vacuum 0.4 bar }
//! part servo is brake_servo fills brake_servo { fitted on Dunlin, port vacuum carrying vacuum, vacuum 0.65 bar }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit turbo for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place brake_servo is brake_servo }
//! part turbo is engine { port vacuum none }
//! part pump is vacuum_pump { port inlet carrying vacuum, vacuum 0.8 bar }
//! part servo is brake_servo fills brake_servo { fitted on Dunlin, port vacuum carrying vacuum, vacuum 0.65 bar }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit turbo for engine
//!   place vacuum_pump is vacuum_pump
//!   fit pump for vacuum_pump
//!   line hose joins vacuum_pump.inlet to brake_servo.vacuum, 10 mm bore, carrying vacuum }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated, both below the air outside; on a pass there is less of it. What the
//! servo then pushes: `trunnion explain servo_force`.

use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::routes::{Route, route};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "brake/vacuum", source: include_str!("brake_vacuum.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let servos = ctx.of_kind("brake_servo").into_iter().filter(|it| ctx.stated(it, "vacuum"));
    servos.filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, servo: &Place) -> Option<Verdict> {
    let at = EndAt { place: servo.name.clone(), end: "vacuum".into() };
    let engines = ctx.of_kind("engine");
    let pumps = ctx.of_kind("vacuum_pump");
    let sources = |it: &Place| engines.iter().chain(&pumps).any(|other| other.name == it.name);
    let way = route(ctx, &at, |it, _| sources(it) || ctx.stated(it, "vacuum"));
    // Where the engine goes, what it gave goes with it.
    let gone = ctx
        .world
        .places
        .iter()
        .any(|it| it.changed() && ctx.kind_before(it).is_some_and(|(_, kind)| kind.is(ctx.db, "engine")));
    let new = way.as_ref().is_some_and(|it| it.place.changed() || it.lines.iter().any(|it| !it.joint.before));
    if !(ctx.concerns(&[servo]) || gone || new) {
        return None;
    }
    let giver = way.as_ref().map(|it| it.place);
    let site = giver.and_then(|it| it.done.last()).or(servo.done.last()).map_or(servo.site, |it| it.site);
    let hangs = format!("whether the {} helps the foot", servo.shown());
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.vacuum", servo.name), site, hangs);
    sum.safety_of(&[servo]);
    sum.work(|sum| {
        let needed = sum.figure(servo, "vacuum");
        let Some(Route { place, .. }) = way else {
            let question = unjoined(servo, sum.hangs());
            sum.lacks(question.what.clone(), question);
            return None;
        };
        sum.good(format!("at least {}", needed?.display()));
        let given = sum.figure(place, "vacuum");
        let (needed, given) = (needed?, given?);
        let said = format!("{} gives {}", ctx.part_shown(place), given.display());
        let wanted = format!("{} needs {}", ctx.part_shown(servo), needed.display());
        Some(Answer::at_least(given, needed, &said, &wanted))
    })
}

fn unjoined(servo: &Place, hangs: String) -> Question {
    Question {
        what: format!("which line joins the {} to what gives it vacuum", servo.shown()),
        good: None,
        tool: Some("follow the hose from the servo".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Road,
        hangs,
        type_in: Some(format!("line … joins … to {}.vacuum, carrying vacuum", servo.name)),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(engine: &str, servo: &str, line: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place brake_servo is brake_servo
  {line} }}
part turbo is engine {{ {engine} }}
part servo is brake_servo fills brake_servo {{ fitted on Dunlin, port vacuum carrying vacuum, {servo} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion stronger {{ recipient van, fit turbo for engine }}"#
        )
    }

    const HOSE: &str = "line hose joins engine.vacuum to brake_servo.vacuum, carrying vacuum";

    #[test]
    fn enough_is_clear_and_too_little_a_clash() {
        let engine = |it: &str| format!("port vacuum carrying vacuum, vacuum {it} per manual");
        let servo = "vacuum 0.65 bar per manual";
        let found = check("brake/vacuum", &van(&engine("0.8 bar"), servo, HOSE));
        found.clear("Turbo gives 0.8 bar; servo needs 0.65 bar.");
        assert_eq!(found.only().margin.as_deref(), Some("0.15 bar"));
        assert_eq!(found.only().cautions().len(), 1);
        let found = check("brake/vacuum", &van(&engine("0.4 bar"), servo, HOSE));
        found.clash("Turbo gives 0.4 bar, but servo needs 0.65 bar.");
        assert_eq!(found.text(), "fit turbo for engine");
    }

    #[test]
    fn what_the_engine_gives_is_asked() {
        let found = check("brake/vacuum", &van("port vacuum carrying vacuum", "vacuum 0.65 bar", HOSE));
        found.open(
            "Nobody has said the vacuum given or needed of the engine; good would be at least 0.65 bar: \
             it decides whether the brake servo helps the foot.",
        );
    }

    #[test]
    fn a_servo_that_nothing_is_joined_to_is_open() {
        let found = check("brake/vacuum", &van("vacuum 0.8 bar", "vacuum 0.65 bar", ""));
        found.open(
            "Nobody has said which line joins the brake servo to what gives it vacuum: \
             it decides whether the brake servo helps the foot.",
        );
        check("brake/vacuum", &van("vacuum 0.8 bar", "boost ratio 3.2", "")).silent();
    }
}
