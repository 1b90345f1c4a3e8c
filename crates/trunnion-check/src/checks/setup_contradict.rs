//! # setup/contradict
//!
//! Settings of the same name on several control units say the same once the work is done, and no setting is
//! made twice with different values.
//!
//! ## Why it matters
//!
//! Two units that were told different things do not complain at once. The engine releases torque as for a
//! manual, the brakes wait for an automatic, and the fault that is stored names neither.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van
//!   setup engine_controller "gearbox type" is "automatic"
//!   setup brake_controller "gearbox type" is "manual" }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van
//!   setup engine_controller "gearbox type" is "automatic"
//!   setup brake_controller "gearbox type" is "automatic" }
//! ```
//!
//! ## References
//!
//! What the specification states of its modules. That settings of one name mean one thing: common practice,
//! no source. What a part demands beside that is judged by need, and a ratio that a controller expects by
//! drive/ratio.

use trunnion_model::fact::Found;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::settings::{Setting, same, settings};

/// The check.
pub static CHECK: Check = Check {
    name: "setup/contradict",
    source: include_str!("setup_contradict.rs"),
    judge: Judge::World(judge),
};

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let all = settings(ctx);
    let mut verdicts: Vec<Verdict> = all.iter().filter_map(|it| twice(ctx, it)).collect();
    let mut said: Vec<&str> = Vec::new();
    for first in &all {
        if said.iter().any(|it| same(it, &first.name)) {
            continue;
        }
        said.push(&first.name);
        let alike: Vec<&Setting<'_>> = all.iter().filter(|it| same(&it.name, &first.name)).collect();
        verdicts.extend(among(ctx, &alike));
    }
    verdicts
}

/// One setting made twice with different values.
fn twice(ctx: &Ctx<'_>, setting: &Setting<'_>) -> Option<Verdict> {
    let last = setting.made.last()?;
    let other = setting.made.iter().find(|it| !same(&it.value, &last.value))?;
    let subject = format!("{}.{}", setting.place.name, setting.name.replace([' ', '.'], "_"));
    let message =
        format!("{} is set twice: to {} and to {}.", capital(&setting.shown()), other.value, last.value);
    let found = [other.found.clone(), last.found.clone()];
    let fix = Fix::replace(
        format!("set it to {} in both", other.value),
        last.value_site,
        format!("\"{}\"", other.value),
    );
    Some(ctx.clash(CHECK.name, subject, last.value_site, message, &found).with_fix(fix))
}

/// Settings of one name on several units.
fn among(ctx: &Ctx<'_>, alike: &[&Setting<'_>]) -> Option<Verdict> {
    let known: Vec<(&Setting<'_>, &str, &Found)> =
        alike.iter().filter_map(|it| it.after().map(|(value, found)| (*it, value, found))).collect();
    let concerned = alike.iter().any(|it| it.concerned(ctx));
    let (first, value, _) = *known.first().filter(|_| concerned && alike.len() > 1)?;
    let site = known.iter().find_map(|it| it.0.made.last()).map_or(first.stated.site, |it| it.value_site);
    let subject = first.name.replace([' ', '.'], "_");
    let found: Vec<Found> = known.iter().map(|it| it.2.clone()).collect();
    // A unit that cannot be set to the other's value calls its values something else.
    let comparable = |it: &Setting<'_>| it.values.iter().any(|it| same(it, value));
    let against = known.iter().find(|it| !same(it.1, value) && comparable(it.0));
    if let Some((other, there, _)) = against {
        let message = format!(
            "\"{}\" of the {} is {value}, but that of the {} is {there}.",
            first.name,
            first.place.shown(),
            other.place.shown()
        );
        let verdict = ctx.clash(CHECK.name, subject, site, message, &found).with_need(value, *there);
        return Some(verdict.with_fixes(ways_out(ctx, &[(first, there), (other, value)])));
    }
    // What the changes ask for is asked by setup/setting; what else is not known, here.
    let silent = alike.iter().find(|it| it.after().is_none() && !it.concerned(ctx) && comparable(it));
    if let Some(silent) = silent {
        let message = format!(
            "\"{}\" of the {} is {value}; nobody has said what that of the {} is.",
            first.name,
            first.place.shown(),
            silent.place.shown()
        );
        let question = Question {
            what: format!("what {} is set to", silent.shown()),
            good: Some(value.to_owned()),
            tool: Some("diagnostic reader".to_owned()),
            precision: None,
            minutes: Some(10),
            who: Who::Tape,
            gate: Gate::Power,
            hangs: format!(
                "whether the {} and the {} were told the same",
                first.place.shown(),
                silent.place.shown()
            ),
            type_in: Some(format!(
                "in vehicle {}: {}.coding \"…\"",
                ctx.built().vehicle.name(ctx.db),
                silent.place.name
            )),
        };
        let verdict = ctx.open(CHECK.name, subject, site, message, question);
        return Some(verdict.with_fixes(ways_out(ctx, &[(silent, value)])));
    }
    let agreeing: Vec<String> =
        known.iter().filter(|it| same(it.1, value)).map(|it| format!("the {}", it.0.place.shown())).collect();
    if agreeing.len() < 2 {
        return None;
    }
    let message = format!("\"{}\" is {value} in all that have it: {}.", first.name, listed(&agreeing));
    Some(ctx.clear(CHECK.name, subject, site, message, &found))
}

/// For each of these, the value it would have to have.
fn ways_out(ctx: &Ctx<'_>, wanted: &[(&Setting<'_>, &str)]) -> Vec<Fix> {
    let one = |(setting, value): &(&Setting<'_>, &str)| {
        let title = format!("set that of the {} to {value}", setting.place.shown());
        match setting.made.last() {
            Some(made) => Some(Fix::replace(title, made.value_site, format!("\"{value}\""))),
            None => {
                let statement = format!("setup {} \"{}\" is \"{value}\"", setting.place.name, setting.name);
                ctx.add_change(title, &statement)
            }
        }
    };
    wanted.iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn set(vehicle: &str, changes: &str) -> Found {
        let source = format!(
            r#"
source yard "Read at the yard" measured
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine_controller, cluster, radio is unit }}
module engine_unit is unit fills engine_controller {{ fitted on Dunlin }}
module cluster_unit is unit fills cluster {{ fitted on Dunlin, setting "display language" is "de", "en" }}
module radio_unit is unit fills radio {{ fitted on Dunlin, setting "display language" is "de", "en", "fr" }}
vehicle van is Dunlin {{ built 2012-04
  {vehicle} }}
conversion easy {{ recipient van
  {changes} }}"#
        );
        check("setup/contradict", &source)
    }

    #[test]
    fn what_agrees_is_clear() {
        let found = set(
            "radio.coding \"en, eight speakers\" per yard",
            "setup cluster \"display language\" is \"en\"",
        );
        found.clear("\"display language\" is en in all that have it: the cluster and the radio.");
        assert_eq!(found.text(), "\"en\"");
    }

    #[test]
    fn what_differs_is_a_clash_with_both_ways_out() {
        let found = set("radio.coding \"de\" per yard", "setup cluster \"display language\" is \"en\"");
        found.clash("\"display language\" of the cluster is en, but that of the radio is de.");
        assert!(
            found.fixed(0).contains("setup cluster \"display language\" is \"de\""),
            "{}",
            found.fixed(0)
        );
        assert!(found.fixed(1).contains("setup radio \"display language\" is \"en\""), "{}", found.fixed(1));
    }

    #[test]
    fn one_setting_made_twice_is_a_clash() {
        let twice = "setup cluster \"display language\" is \"en\"\n  setup cluster \"display language\" is \"de\"\n  \
                     setup radio \"display language\" is \"de\"";
        let found = set("engine_controller.mass 1 kg", twice);
        let clash = found.about("cluster.display_language");
        assert_eq!(clash.message, "\"display language\" of the cluster is set twice: to en and to de.");
    }

    #[test]
    fn what_nobody_read_is_open() {
        let found = set("engine_controller.mass 1 kg", "setup cluster \"display language\" is \"en\"");
        found.open("\"display language\" of the cluster is en; nobody has said what that of the radio is.");
        assert!(found.fixed(0).contains("setup radio \"display language\" is \"en\""));
    }

    #[test]
    fn where_nothing_is_asked_nothing_is_said() {
        set("radio.coding \"de\", cluster.coding \"en\"", "budget 1 EUR").silent();
    }
}
