//! # setup/setting
//!
//! Every setting of a control unit that the changes ask for is made, or was found as it must be: those of
//! units that come in, those named after what changes ("gearbox type" when the gearbox does), and those that
//! the conversion sets; and what is set is a setting and a value that the unit has.
//!
//! ## Why it matters
//!
//! All bolts are in, all wires are right, and the brake controller still waits for a clutch switch. A setting
//! is five minutes at the tester, and a day of searching for whoever does not know that it is there.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox, brake_controller is unit }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! part auto_six is unit { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six for gearbox
//!   setup brake_controller "gearbox type" is "six-speed" }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox, brake_controller is unit }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, setting "gearbox type" is "manual", "automatic" }
//! part auto_six is unit { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six for gearbox
//!   setup brake_controller "gearbox type" is "automatic" }
//! ```
//!
//! ## References
//!
//! What the specification states of its modules. That a setting named after a thing belongs to it: common
//! practice, no source.

use trunnion_model::name::nearest;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::settings::{Made, Setting, made, same, settings};

/// The check.
pub static CHECK: Check =
    Check { name: "setup/setting", source: include_str!("setup_setting.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let all = settings(ctx);
    let mut verdicts: Vec<Verdict> =
        all.iter().filter(|it| it.concerned(ctx)).map(|it| one(ctx, it)).collect();
    for place in &ctx.world.places {
        for (name, made) in made(ctx, place) {
            if !all.iter().any(|it| it.place.name == place.name && same(&it.name, &name)) {
                verdicts.extend(strange(ctx, place, &name, &made, &all));
            }
        }
    }
    verdicts
}

fn subject(place: &Place, setting: &str) -> String {
    format!("{}.{}", place.name, setting.replace([' ', '.'], "_"))
}

fn one(ctx: &Ctx<'_>, setting: &Setting<'_>) -> Verdict {
    let subject = subject(setting.place, &setting.name);
    let (shown, values) = (setting.shown(), or(&setting.values));
    let mut verdict = match (setting.made.last(), &setting.read) {
        (Some(made), _) if !setting.values.iter().any(|it| same(it, &made.value)) => {
            let message = format!("{} can be {values}, not {}.", capital(&shown), made.value);
            let found = [made.found.clone(), setting.stated.clone()];
            ctx.clash(CHECK.name, subject, made.value_site, message, &found).with_fixes(
                setting
                    .values
                    .iter()
                    .map(|it| Fix::replace(format!("set it to {it}"), made.value_site, format!("\"{it}\""))),
            )
        }
        (Some(made), read) => {
            let already = read.as_ref().filter(|it| same(&it.0, &made.value));
            let message = match already {
                Some(_) => format!("{} is {} already, as it was read.", capital(&shown), made.value),
                None => format!("{} is set to {}.", capital(&shown), made.value),
            };
            let mut found = vec![made.found.clone(), setting.stated.clone()];
            found.extend(already.map(|it| it.1.clone()));
            ctx.clear(CHECK.name, subject, made.value_site, message, &found)
                .with_need(values, made.value.clone())
        }
        (None, Some((value, read))) => {
            let message = format!("{} is {value}, as it was read.", capital(&shown));
            let found = [setting.stated.clone(), read.clone()];
            ctx.clear(CHECK.name, subject, setting.stated.site, message, &found)
                .with_need(values, value.clone())
        }
        (None, None) => open(ctx, setting, subject),
    };
    verdict.safety = ctx.safety(setting.place);
    verdict
}

fn open(ctx: &Ctx<'_>, setting: &Setting<'_>, subject: String) -> Verdict {
    let (shown, values) = (setting.shown(), or(&setting.values));
    let statement = |value: &str| format!("setup {} \"{}\" is \"{value}\"", setting.place.name, setting.name);
    let fitting = setting.fitting(ctx);
    let good = fitting.as_ref().map_or_else(
        || values.clone(),
        |(value, place)| format!("{value}, by what sits in the {}", place.shown()),
    );
    let question = Question {
        what: format!("how {shown} is to be set"),
        good: Some(good),
        tool: Some("tester for this make of unit".to_owned()),
        precision: None,
        minutes: Some(10),
        who: Who::Owner,
        gate: Gate::Power,
        hangs: format!("whether the {} works with what is there", setting.place.shown()),
        type_in: Some(statement("…")),
    };
    let message = format!("Nobody has said how {shown} is to be set: {values}.");
    let offered = match &fitting {
        Some((value, _)) => std::slice::from_ref(value),
        None => setting.values.as_slice(),
    };
    let fixes = offered.iter().filter_map(|it| ctx.add_change(format!("set it to {it}"), &statement(it)));
    ctx.open(CHECK.name, subject, setting.stated.site, message, question).with_fixes(fixes)
}

/// A `setup` of something that the unit is not known to have.
fn strange(ctx: &Ctx<'_>, place: &Place, name: &str, made: &Made, all: &[Setting<'_>]) -> Option<Verdict> {
    // What nobody knows, or which of several it is, is asked by other checks.
    let part = place.after.part()?;
    let subject = subject(place, name);
    let own: Vec<&str> =
        all.iter().filter(|it| it.place.name == place.name).map(|it| it.name.as_str()).collect();
    let who = part.shown(ctx.db);
    if own.is_empty() {
        let message = format!("Nobody has said that {who} has a setting \"{name}\".");
        let question = Question {
            what: format!("whether {who} has a setting \"{name}\", and its values"),
            good: Some(format!("it can be {}", made.value)),
            tool: Some("tester for this make of unit".to_owned()),
            precision: None,
            minutes: Some(10),
            who: Who::Maker,
            gate: Gate::Buying,
            hangs: format!("whether the {} can be set to {}", place.shown(), made.value),
            type_in: Some(format!("setting \"{name}\" is …")),
        };
        let part = place.after.part();
        let edit =
            part.and_then(|it| ctx.insert(it, &format!("setting \"{name}\" is \"{}\", …", made.value)));
        let fix = edit.map(|edit| Fix { title: format!("state the setting of {who}"), edits: vec![edit] });
        return Some(ctx.open(CHECK.name, subject, made.name_site, message, question).with_fixes(fix));
    }
    let names: Vec<String> = own.iter().map(|it| format!("\"{it}\"")).collect();
    let message = format!("{} has no setting \"{name}\"; it has {}.", capital(&who), listed(&names));
    let near = nearest(name, own.iter().copied()).or_else(|| own.first().map(|it| (*it).to_owned()));
    let fix = near.map(|it| Fix::replace(format!("write \"{it}\""), made.name_site, format!("\"{it}\"")));
    let found = std::slice::from_ref(&made.found);
    Some(ctx.clash(CHECK.name, subject, made.name_site, message, found).with_fixes(fix))
}

/// Values in a row: "manual or automatic".
fn or(values: &[String]) -> String {
    match values {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        _ => values.concat(),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    #[test]
    fn what_sits_in_the_place_that_it_is_named_after_says_which_value_is_meant() {
        let found = check(
            "setup/setting",
            r#"
kind gearbox { asks mass }
kind automatic_gearbox is gearbox { asks mass }
kind unit { asks mass }
family Dunlin { built 2009-06 to 2018-12
  place gearbox is gearbox
  place brake_controller is unit }
module brake_unit is unit fills brake_controller { fitted on Dunlin
  setting "gearbox type" is "manual", "automatic" }
part auto_six is automatic_gearbox { mass 86 kg }
vehicle van is Dunlin { built 2012-04 }
conversion easy { recipient van, fit auto_six for gearbox }"#,
        );
        let question = found.only().question.as_ref().expect("a question");
        assert_eq!(question.good.as_deref(), Some("automatic, by what sits in the gearbox"));
        assert_eq!(found.only().fixes.len(), 1);
        assert!(found.fixed(0).contains("setup brake_controller \"gearbox type\" is \"automatic\""));
    }

    fn set(vehicle: &str, changes: &str) -> Found {
        let source = format!(
            r#"
source manual "Workshop manual" documented
source yard "Read at the yard" measured
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox, brake_controller, cluster is unit }}
module brake_unit is unit fills brake_controller {{ fitted on Dunlin
  setting "gearbox type" is "manual", "automatic" per manual }}
module plain_cluster is unit fills cluster {{ fitted on Dunlin }}
part auto_six is unit {{ mass 86 kg }}
vehicle van is Dunlin {{ built 2012-04
  {vehicle} }}
conversion easy {{ recipient van
  fit auto_six for gearbox
  {changes} }}"#
        );
        check("setup/setting", &source)
    }

    #[test]
    fn what_is_set_is_clear() {
        let found = set("plain true", "setup brake_controller \"gearbox type\" is \"automatic\" per manual");
        found.clear("\"gearbox type\" of the brake controller is set to automatic.");
        assert_eq!(found.text(), "\"automatic\"");
        assert_eq!(found.only().need.as_deref(), Some("manual or automatic"));
    }

    #[test]
    fn what_was_read_needs_no_work() {
        let found = set("brake_controller.coding \"automatic, no tow bar\" per yard", "budget 1 EUR");
        found.clear("\"gearbox type\" of the brake controller is automatic, as it was read.");
        let set_too = "setup brake_controller \"gearbox type\" is \"automatic\"";
        set("brake_controller.coding \"gearbox type automatic, manual fan\"", set_too)
            .clear("\"gearbox type\" of the brake controller is automatic already, as it was read.");
    }

    #[test]
    fn a_setting_named_after_what_changes_is_open_until_somebody_sets_it() {
        let found = set("plain true", "budget 1 EUR");
        found.open(
            "Nobody has said how \"gearbox type\" of the brake controller is to be set: manual or automatic.",
        );
        assert_eq!(found.text(), "\"gearbox type\"");
        assert!(found.fixed(1).contains("setup brake_controller \"gearbox type\" is \"automatic\""));
    }

    #[test]
    fn a_value_that_it_does_not_have_is_a_clash() {
        let found = set("plain true", "setup brake_controller \"gearbox type\" is \"auto\"");
        found.clash("\"gearbox type\" of the brake controller can be manual or automatic, not auto.");
        assert!(found.fixed(1).contains("\"gearbox type\" is \"automatic\" }"), "{}", found.fixed(1));
    }

    #[test]
    fn a_setting_that_it_does_not_have_is_a_clash_with_the_near_name() {
        let found = set("plain true", "setup brake_controller \"gearbox typ\" is \"automatic\"");
        let strange = found.about("brake_controller.gearbox_typ");
        assert_eq!(strange.message, "Brake unit has no setting \"gearbox typ\"; it has \"gearbox type\".");
        assert_eq!(strange.outcome.word(), "clash");
    }

    #[test]
    fn a_setting_of_a_unit_that_states_none_is_open() {
        let change =
            "setup cluster \"gear display\" is \"on\", setup brake_controller \"gearbox type\" is \"manual\"";
        let found = set("plain true", change);
        let open = found.about("cluster.gear_display");
        assert_eq!(open.message, "Nobody has said that plain cluster has a setting \"gear display\".");
    }
}
