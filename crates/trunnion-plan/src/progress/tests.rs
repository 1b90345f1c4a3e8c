use trunnion_model::db::Host;

use super::*;
use crate::conversions;

fn read(more: &str, log: &str) -> Progress {
    let source = format!(
        r#"
source manual "Manual" documented
source bench "Bench" measured
measure weight in kg, tool "scales" to 1 kg, takes 5 min, from tape
kind unit {{ asks weight }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox, flywheel is unit }}
part solid "solid flywheel" is unit fills flywheel {{ weight 9 kg per manual, offer 310 EUR, wait 2 weeks }}
part box_old is unit fills gearbox {{ fitted on Dunlin }}
work wheel_on "flywheel on" {{ takes 50 min, on flywheel }}
work wheel_trial "trial" {{ on flywheel }}
rule light {{ needs flywheel.weight <= 10 kg }}
vehicle van is Dunlin {{ built 2012-04, gearbox.weight 40 kg ± 1 kg per manual }}
conversion easy {{ recipient van
  fit solid
  {more} }}
log of van {{
  {log}
}}"#
    );
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    progress(host.db(), host.workspace(), id, None).expect("a conversion")
}

#[test]
fn time_is_held_against_what_was_planned() {
    let log = "2026-03-01 done wheel_on, 1 h, by \"M. O.\"\n  2026-03-02 done wheel_on 20 min\n  2026-03-02 done sweep";
    let it = read("", log);
    let wheel = &it.worked[0];
    assert_eq!(
        (wheel.planned, wheel.took, wheel.date.to_string().as_str()),
        (Some(50), Some(80), "2026-03-01")
    );
    assert_eq!((it.spent, it.untold, it.other.len()), (80, 1, 1));
    assert_eq!((it.left, it.remaining, it.untimed.as_slice()), (1, 0, &["trial".to_owned()][..]));
    assert_eq!(it.lines[0].by.as_deref(), Some("M. O."));
}

#[test]
fn what_is_bought_and_sold_is_followed() {
    let log = "2026-03-01 ordered solid 310 EUR from \"the maker\"\n  2026-03-02 paid 100 EUR for solid\n  \
               2026-03-04 sold box_old 60 EUR by \"M. O.\"";
    let it = read("", log);
    let solid = &it.traded[0];
    assert_eq!(solid.ordered.as_ref().map(|it| it.1.as_deref()), Some(Some("310 EUR")));
    assert_eq!((solid.paid.len(), solid.due.as_deref()), (1, Some("2026-03-15")));
    assert_eq!(it.traded[1].sold.as_ref().and_then(|it| it.1.as_deref()), Some("60 EUR"));
    assert_eq!(it.lines[0].what, "solid, 310 EUR from the maker");
    let it = read("", &format!("{log}\n  2026-03-14 arrived solid"));
    assert_eq!((it.traded[0].arrived.is_some(), it.traded[0].due.as_deref()), (true, None));
}

#[test]
fn found_failed_and_photographed_are_listed_with_tool_and_name() {
    let log = "2026-03-01 found \"rust\" with \"lamp\" by \"M. O.\"\n  2026-03-02 failed first start, no spark\n  \
               2026-03-03 photographed gearbox \"box.jpg\" by \"A. B.\"";
    let it = read("", log);
    let found: Vec<&Line> = it.of("found").collect();
    assert_eq!(
        (found[0].what.as_str(), found[0].tool.as_deref(), found[0].by.as_deref()),
        ("rust", Some("lamp"), Some("M. O."))
    );
    assert_eq!(it.of("failed").map(|it| it.what.as_str()).collect::<Vec<_>>(), ["first start, no spark"]);
    assert_eq!(it.of("photographed").map(|it| it.what.as_str()).collect::<Vec<_>>(), ["gearbox, box.jpg"]);
}

#[test]
fn what_a_measured_value_settles_is_named() {
    let it = read(
        "",
        "2026-03-01 done fit solid for flywheel\n  2026-03-02 measured flywheel.weight 9 kg, with \"scales\" to 1 kg",
    );
    let rule = it.settled.iter().find(|it| it.check == "rule").unwrap_or_else(|| panic!("{:?}", it.settled));
    assert_eq!(
        (rule.outcome, rule.by.as_slice()),
        ("clear", &["job log, 2026-03-02 (measured)".to_owned()][..])
    );
    assert!(read("", "2026-03-01 found \"rust\"").settled.is_empty());
}

#[test]
fn a_measured_value_outside_a_claim_is_named_with_both() {
    let it = read("", "2026-03-01 measured gearbox.weight 44 kg, with \"scales\" to 1 kg, by \"M. O.\"");
    let [one] = it.contradictions.as_slice() else { panic!("{:?}", it.contradictions) };
    assert_eq!((one.what.as_str(), one.claim.as_str()), ("gearbox.weight", "40 kg ± 1 kg"));
    assert!(one.source.contains("Manual") && one.source.ends_with("(documented)"), "{}", one.source);
    assert_eq!(one.measured.tool.as_deref(), Some("scales to 1 kg"));
    assert!(one.site != one.measured.site);
    // 42 kg ± 1 kg meets 40 kg ± 1 kg.
    assert!(
        read("", "2026-03-01 measured gearbox.weight 42 kg, with \"scales\" to 1 kg")
            .contradictions
            .is_empty()
    );
    // What was weighed before the flywheel was changed says nothing of the new one.
    assert!(read("", "2026-03-01 measured flywheel.weight 30 kg").contradictions.is_empty());
    let after = "2026-03-01 done fit solid for flywheel\n  2026-03-02 measured flywheel.weight 30 kg";
    assert_eq!(read("", after).contradictions.len(), 1);
}
