//! `trunnion plan` as it is called.

use crate::folder::Folder;

/// A gearbox that wants another axle, of which two are on offer.
const AXLES: &str = r#"// kept
kind unit { asks ratio }
measure ratio
family Ruff {
  built 2009-06 to 2018-12
  place gearbox is unit
  place final_drive is unit
}
part slow_axle is unit fills final_drive { fitted on Ruff, ratio 4.28 }
part quick_axle is unit fills final_drive { ratio 3.69, offer 300 EUR, wait 2 days }
part far_axle is unit fills final_drive { ratio 3.70, offer 120 EUR, wait 5 weeks }
part box is unit fills gearbox { needs final_drive.ratio = 3.69 within 2 %, offer 800 EUR, wait 3 days }
vehicle van is Ruff { built 2012-04 }

conversion easy "Another gearbox" {
  recipient van
  // the wish
  fit box
}
"#;

fn folder(name: &str) -> Folder {
    let folder = Folder::new(name);
    folder.write("van.trunnion", AXLES);
    folder
}

#[test]
fn a_plan_says_what_to_change_why_and_what_else_there_is() {
    let folder = folder("plan");
    let ran = folder.run(&["plan", "van.trunnion"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(ran.out.contains("+ replace final_drive with far_axle\n"), "{}", ran.out);
    assert!(
        ran.out
            .contains("because box needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28\n"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("final drive: far axle, 120 EUR, 5 weeks to wait"), "{}", ran.out);
    assert!(
        ran.out.contains("else quick axle: 180 EUR more, 2 days to wait instead of 5 weeks"),
        "{}",
        ran.out
    );
    let quick = folder.run(&["plan", "van.trunnion", "--prefer", "wait"]);
    assert!(quick.out.contains("+ replace final_drive with quick_axle\n"), "{}", quick.out);
    assert_eq!(folder.read("van.trunnion"), AXLES, "nothing is written unasked");
}

#[test]
fn a_plan_is_shown_as_a_difference_and_then_written() {
    let folder = folder("plan_write");
    let shown = folder.run(&["plan", "van.trunnion", "--diff"]);
    assert!(shown.out.contains("+  replace final_drive with far_axle\n"), "{}", shown.out);
    assert!(!shown.out.lines().any(|it| it.starts_with("-  ")), "{}", shown.out);
    let ran = folder.run(&["plan", "van.trunnion", "--write"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(
        ran.out.starts_with(&shown.out) && ran.out.ends_with("Written into van.trunnion.\n"),
        "{}",
        ran.out
    );
    let written = folder.read("van.trunnion");
    assert!(
        written.contains("// kept\n") && written.contains("  // the wish\n  fit box\n  replace final_drive")
    );
    assert_eq!(folder.run(&["check", "van.trunnion"]).code, 0);
    assert_eq!(folder.run(&["tidy", "--check", "van.trunnion"]).code, 0);
    let again = folder.run(&["plan", "van.trunnion", "--write"]);
    assert_eq!((again.code, again.out.as_str()), (0, ""), "nothing is left to do");
}

#[test]
fn a_plan_is_given_as_json() {
    let folder = folder("plan_json");
    let ran = folder.run(&["plan", "van.trunnion", "--format", "json"]);
    let records: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(records[0]["whole"], true);
    assert_eq!(records[0]["steps"][0]["statement"], "replace final_drive with far_axle");
    assert_eq!(records[0]["picks"][0]["instead"]["total"]["cost"][1], 300.0);
    assert!(records[0]["after"].as_str().expect("the text").contains("replace final_drive with far_axle"));
}

#[test]
fn what_cannot_be_is_told_with_the_statements_and_ends_with_one() {
    let folder = Folder::new("plan_none");
    folder.write("van.trunnion", AXLES.replace("recipient van", "recipient van\n  budget 900 EUR"));
    let ran = folder.run(&["plan", "van.trunnion"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("There is no plan: these statements cannot all hold."), "{}", ran.out);
    assert!(ran.out.contains("budget 900 EUR (Another gearbox)\n     van.trunnion:17\n"), "{}", ran.out);
    assert!(ran.out.contains("100 EUR are left for the rest."), "{}", ran.out);
}

#[test]
fn a_plan_asked_for_wrongly_says_how() {
    let folder = folder("plan_wrong");
    for (arguments, told) in [
        (&["--prefer", "speed"][..], "`speed` is none of cost, wait, mass, effort"),
        (&["--way", "other"][..], "it has no ways"),
        (&["--format", "sarif"][..], "a plan is given as text or json"),
    ] {
        let ran = folder.run(&[&["plan", "van.trunnion"][..], arguments].concat());
        assert_eq!(ran.code, 2, "{arguments:?}");
        assert!(ran.err.contains(told), "{arguments:?}: {}", ran.err);
    }
}
