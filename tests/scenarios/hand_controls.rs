//! Hand controls for a driver whose own figures are private: faults that are seeded are found, and
//! nothing of the private file is in what is made to be shared.

use trunnion_check::list::CHECKS;
use trunnion_model::db::Host;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_report::placed::place;
use trunnion_tests::loaded;

const MAIN: &str = "hand_controls.trunnion";
const CAR: &str = "catalogue/wheatear.trunnion";
const KIT: &str = "catalogue/controls.trunnion";
const DRIVER: &str = "driver.trunnion";

/// The example with one text put in place of another.
fn with(file: &str, written: &str, put: &str) -> Host {
    let mut files = loaded::files("examples/hand_controls");
    let own = files.iter_mut().find(|it| it.0 == file).expect("the file is there");
    assert!(own.1.contains(written), "{file} does not say `{written}`");
    own.1 = own.1.replace(written, put);
    loaded::host(&files)
}

fn clashes(host: &Host) -> Vec<String> {
    loaded::named(&loaded::verdicts(host, MAIN), "clash")
}

#[test]
fn two_points_are_open_and_none_clashes() {
    let host = loaded::host(&loaded::files("examples/hand_controls"));
    let verdicts = loaded::verdicts(&host, MAIN);
    assert_eq!(loaded::clashes(&verdicts), "");
    assert_eq!(
        loaded::named(&verdicts, "open"),
        ["kind/asked brake_rear.brake_balance", "kind/asked hand_control.approval_mark"]
    );
    let careful = verdicts.iter().filter(|it| it.check.starts_with("brake/") || it.check == "lever/force");
    for it in careful {
        assert!(it.safety.iter().any(|it| it == "brakes"), "{} {}", it.check, it.subject);
    }
}

#[test]
fn each_seeded_fault_is_found() {
    let faults = [
        (KIT, "lever ratio 2.2", "lever ratio 1.9", "lever/force hand_control.force_servo_dead"),
        (KIT, "lever travel 250 mm", "lever travel 190 mm", "lever/force hand_control.lever_travel"),
        (MAIN, "hand_control.reach 470 mm", "hand_control.reach 560 mm", "lever/force hand_control.reach"),
        (MAIN, "hand_force 66 N", "hand_force 166 N", "lever/force hand_control.hand_force"),
        (CAR, "valve pressure 18 bar", "valve pressure 400 bar", "brake/balance brakes.empty"),
        (CAR, "stroke 32 mm", "stroke 10 mm", "brake/pedal brake_pedal.travel"),
        (
            CAR,
            "piston diameter 22.2 mm",
            "piston diameter 34.9 mm",
            "brake/pedal brake_pedal.force_servo_dead",
        ),
        (KIT, "hold force 5600 N", "hold force 3600 N", "brake/parking parking_brake"),
        (DRIVER, "reach at most 512 mm", "reach at most 440 mm", "lever/force hand_control.reach"),
        (KIT, "clearance 38 mm", "clearance 30 mm", "rule guard_clear"),
    ];
    for (file, written, put, found_by) in faults {
        let found = clashes(&with(file, written, put));
        assert!(found.iter().any(|it| it == found_by), "`{put}`: {found_by} is not in {found:?}");
    }
}

/// Without a word of the driver every force is in question; the brakes themselves are not.
#[test]
fn without_the_private_file_the_questions_about_the_driver_are_open() {
    let mut files = loaded::files("examples/hand_controls");
    files.retain(|it| it.0 != DRIVER);
    let main = files.iter_mut().find(|it| it.0 == MAIN).expect("the conversion");
    main.1 = main.1.replace("use \"driver\"\n", "");
    let host = loaded::host(&files);
    let open = loaded::named(&loaded::verdicts(&host, MAIN), "open");
    for wanted in ["hand_force", "reach", "force", "force_servo_dead"] {
        assert!(open.contains(&format!("lever/force hand_control.{wanted}")), "{wanted} in {open:?}");
    }
    assert!(!open.iter().any(|it| it.starts_with("brake/")), "{open:?}");
}

/// What stands in the private file and nowhere else: names, figures, reasons.
const PRIVATE: &[&str] = &[
    "Ragna",
    "ragna",
    "132 N",
    "512 mm",
    "112 N",
    "440 mm",
    "splint",
    "guard_clear",
    "35 mm",
    "driver.trunnion",
    "Seat and strength",
];

fn sarif(host: &Host, verdicts: &[Verdict]) -> String {
    let shown: Vec<&Verdict> = verdicts.iter().collect();
    let log = trunnion_report::sarif::log(host, &place(host, &shown), CHECKS, "0");
    let results = &log.runs[0].results;
    serde_json::to_string_pretty(results).expect("plain data")
}

#[test]
fn nothing_private_is_in_what_is_made_to_be_shared() {
    // With clashes on the driver's figures and on her rule, and with one that has nothing to do with her.
    let mut files = loaded::files("examples/hand_controls");
    for (file, written, put) in [
        (DRIVER, "hand force at most 132 N", "hand force at most 112 N"),
        (DRIVER, "reach at most 512 mm", "reach at most 440 mm"),
        (KIT, "clearance 38 mm", "clearance 30 mm"),
        (KIT, "hold force 5600 N", "hold force 3600 N"),
    ] {
        let own = files.iter_mut().find(|it| it.0 == file).expect("the file is there");
        assert!(own.1.contains(written), "{file} does not say `{written}`");
        own.1 = own.1.replace(written, put);
    }
    let host = loaded::host(&files);
    let verdicts = loaded::verdicts(&host, MAIN);
    let clashing: Vec<&Verdict> = verdicts.iter().filter(|it| it.outcome == Outcome::Clash).collect();
    assert!(clashing.iter().any(|it| it.message.contains("112 N")), "the owner is told");
    let shared = sarif(&host, &verdicts);
    for word in PRIVATE {
        assert!(!shared.contains(word), "`{word}` is in\n{shared}");
    }
    // It is said that there is something, and what is not private is said in full.
    assert!(
        shared.contains("Something that rests on a private file clashes (hand_control.force_servo_dead).")
    );
    assert!(shared.contains("Something that rests on a private file clashes (private)."));
    assert!(shared.contains("The parking brake holds 3600 N"));
}

/// The same where nobody said what the driver can do: the question names no one.
#[test]
fn an_open_question_about_the_driver_is_not_shared_either() {
    let host = with(DRIVER, "  hand force at most 132 N  per session\n", "");
    let verdicts = loaded::verdicts(&host, MAIN);
    assert!(verdicts.iter().any(|it| it.message.contains("the hand force of Ragna")), "the owner is asked");
    let shared = sarif(&host, &verdicts);
    assert!(!shared.contains("Ragna") && !shared.contains("driver.trunnion"), "{shared}");
}
