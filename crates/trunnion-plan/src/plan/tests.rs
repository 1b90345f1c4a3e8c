//! Small conversions, planned.

use trunnion_model::db::Host;

use super::preference::Preference;
use super::{Alternative, Plan, plan};
use crate::conversions;

const GROUND: &str = r#"
kind unit { asks ratio }
measure ratio
source manual "Workshop manual" documented
family Ruff {
  built 2009-06 to 2018-12
  place gearbox is unit
  place final_drive is unit
  place flywheel is unit
}
part slow_axle is unit fills final_drive { fitted on Ruff, ratio 4.28 per manual }
part quick_axle is unit fills final_drive { ratio 3.69 per manual, mass 40 kg, offer 300 EUR, wait 2 days }
part far_axle is unit fills final_drive { ratio 3.70 per manual, mass 38 kg, offer 120 EUR, wait 5 weeks }
part box is unit fills gearbox { needs final_drive.ratio = 3.69 within 2 % per manual, offer 800 EUR, wait 3 days }
part plate_new is unit fills flywheel { ratio 1, mass 2 kg, offer 310 EUR, wait 10 weeks }
part plate_used is unit fills flywheel { ratio 1, mass 2 kg, offer 120 EUR, wait 3 days, drawback "hours unknown" }
vehicle van is Ruff { built 2012-04 }
"#;

fn planned(more: &str, preference: Option<&str>) -> Plan {
    let mut host = Host::new();
    let text = format!("{GROUND}{more}");
    host.set_file("test.trunnion", &text);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    let preference = preference.map(|it| Preference::read(it).expect("a preference"));
    let made = plan(&mut host, id, None, preference.as_ref(), &|_| true).expect("a plan or a reason");
    assert_eq!(host.text("test.trunnion").map(|it| &**it), Some(text.as_str()), "the text is as it was");
    made
}

fn statements(plan: &Plan) -> Vec<&str> {
    plan.steps.iter().filter_map(|it| it.text.as_deref()).collect()
}

#[test]
fn what_clashes_is_mended_at_the_least_cost() {
    let made = planned("conversion easy { recipient van, fit box }", None);
    assert_eq!(statements(&made), ["replace final_drive with far_axle"]);
    assert_eq!(
        made.steps[0].because,
        "box needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28"
    );
    assert!(made.is_whole() && made.proven);
    assert_eq!((made.total.cost, made.total.wait), ((12_000, 12_000), 5 * 7 * 1440));
    let Alternative::Other { picked, total, .. } = &made.picks[0].alternative else { panic!("another") };
    assert_eq!((picked.as_str(), total.cost), ("quick axle", (30_000, 30_000)));
}

#[test]
fn who_prefers_not_to_wait_pays_more() {
    let conversion = "conversion easy { recipient van, fit box }";
    assert_eq!(statements(&planned(conversion, Some("wait"))), ["replace final_drive with quick_axle"]);
    assert_eq!(statements(&planned(conversion, Some("mass"))), ["replace final_drive with far_axle"]);
    // 33 days less are worth 180 EUR at 6 EUR a day, and are not at 5.
    assert_eq!(
        statements(&planned(conversion, Some("cost=1,wait=6"))),
        ["replace final_drive with quick_axle"]
    );
    assert_eq!(
        statements(&planned(conversion, Some("cost=1,wait=5"))),
        ["replace final_drive with far_axle"]
    );
}

#[test]
fn a_choice_is_made_by_what_it_prefers_and_keeps_its_reason() {
    let choose = |prefer: &str| {
        format!(
            "conversion easy {{\n  recipient van\n  choose flywheel from plate_new, plate_used prefer {prefer}\n    because \"ours is cracked\"\n}}\n"
        )
    };
    let cheap = planned(&choose("cost"), None);
    assert!(
        cheap.after.contains("  replace flywheel with plate_used\n    because \"ours is cracked\"\n"),
        "{}",
        cheap.after
    );
    assert_eq!(cheap.picks[0].drawbacks, ["hours unknown"]);
    assert_eq!(cheap.preferred, "cost, then wait, then mass, then effort");
    let light = planned(&choose("wait, mass"), None);
    assert_eq!(light.preferred, "wait, then mass, then cost, then effort");
}

#[test]
fn what_may_stay_is_left_alone() {
    let made = planned("conversion easy { recipient van, remove flywheel }", None);
    assert!(made.steps.is_empty() && made.is_whole());
    assert_eq!(made.before, made.after);
}

#[test]
fn the_budget_bounds_what_is_picked() {
    let bound = |budget: u32| {
        planned(&format!("conversion easy {{ recipient van, budget {budget} EUR, fit box }}"), Some("wait"))
    };
    assert_eq!(statements(&bound(1100)), ["replace final_drive with quick_axle"]);
    assert_eq!(statements(&bound(1099)), ["replace final_drive with far_axle"]);
    assert_eq!(statements(&bound(920)), ["replace final_drive with far_axle"]);
    let none = bound(919);
    assert!(none.contradiction.is_some());
}

#[test]
fn tax_comes_on_top_of_what_is_bought_anyway_too() {
    // 800 and 120 EUR are 1104 EUR with 20 % on top.
    let bound = |budget: u32| {
        planned(
            &format!(
                "basis {{ tax 20 % }}\nconversion easy {{ recipient van, budget {budget} EUR, fit box }}"
            ),
            None,
        )
    };
    assert_eq!(statements(&bound(1104)), ["replace final_drive with far_axle"]);
    assert!(bound(1103).contradiction.is_some());
}

#[test]
fn the_statements_of_a_way_are_quoted_as_they_stand() {
    let mut host = Host::new();
    let conversion =
        "conversion easy {\n  recipient van\n  way only {\n    budget 900 EUR\n    fit box\n  }\n}\n";
    host.set_file("test.trunnion", &format!("{GROUND}{conversion}"));
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    let made = plan(&mut host, id, Some(0), None, &|_| true).expect("a reason");
    let told = made.contradiction.expect("there is no plan").statements;
    let told: Vec<&str> = told.iter().map(|it| it.text.as_str()).collect();
    assert!(told.contains(&"fit box") && told.contains(&"budget 900 EUR"), "{told:?}");
}

#[test]
fn a_taken_part_is_taken_once() {
    let donor = "vehicle breaker is Ruff { built 2013-04, has gearbox box, has final_drive quick_axle, price 500 EUR }\n";
    let made = planned(
        &format!(
            "{donor}conversion easy {{\n  recipient van\n  donor breaker\n  take gearbox from breaker\n  take gearbox, final_drive from breaker\n}}\n"
        ),
        None,
    );
    assert!(statements(&made).contains(&"take final_drive from breaker"), "{:?}", made.steps);
    assert_eq!(made.after.matches("gearbox from breaker").count(), 1);
}

#[test]
fn the_same_bytes_every_time_and_nothing_when_stopped() {
    let conversion = "conversion easy { recipient van, fit box, choose flywheel from plate_new, plate_used }";
    let first = planned(conversion, None);
    for _ in 0..3 {
        assert_eq!(planned(conversion, None).after, first.after);
    }
    let mut host = Host::new();
    let text = format!("{GROUND}{conversion}");
    host.set_file("test.trunnion", &text);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    for most in 0..6 {
        let stopped = plan(&mut host, id, None, None, &|judged| judged < most);
        assert!(stopped.is_none(), "stopped after {most}");
        assert_eq!(host.text("test.trunnion").map(|it| &**it), Some(text.as_str()));
    }
}

#[test]
fn a_preference_is_read_or_answered() {
    assert_eq!(
        Preference::read("wait").map(|it| it.shown()),
        Ok("wait, then cost, then mass, then effort".into())
    );
    assert_eq!(
        Preference::read("cost=1, wait=20").map(|it| it.shown()),
        Ok("cost 1 for each unit of money + wait 20 a day".into())
    );
    assert_eq!(Preference::read("speed"), Err("`speed` is none of cost, wait, mass, effort".into()));
    assert_eq!(Preference::read("cost=much"), Err("`much` is no number".into()));
    assert_eq!(Preference::read("cost=0"), Err("all weights are 0".into()));
    assert!(Preference::read("").is_err() && Preference::read("cost=-1").is_err());
}
