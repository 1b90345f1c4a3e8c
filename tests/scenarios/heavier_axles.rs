//! Axles and brakes of a heavier pickup: the finished example, and faults put into it one by one.

use std::collections::BTreeSet;

use trunnion_model::db::Host;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_tests::loaded;

use crate::seeded::find;

const CONVERSION: &str = "heavier_axles.trunnion";
const MADE: &str = "made.trunnion";
const HEAVY: &str = "catalogue/godwit.trunnion";
const LIGHT: &str = "catalogue/whimbrel.trunnion";

/// Where, what is written, what is put there, and the check that must call it a clash.
const FAULTS: &[(&str, &str, &str, &str)] = &[
    (CONVERSION, "take wheel_front, wheel_rear from heavy", "take wheel_rear from heavy", "fit/pattern"),
    (CONVERSION, "0.46 m long", "0.43 m long", "line/route"),
    (CONVERSION, "0.46 m long, 250 bar pressure", "0.46 m long, 160 bar pressure", "line/rating"),
    (CONVERSION, "aim payload 750 kg", "aim payload 950 kg", "drive/mass"),
    (CONVERSION, "laden rear axle load 1500 kg", "laden rear axle load 1640 kg", "drive/axle"),
    (CONVERSION, "brake_front.clearance 9 mm", "brake_front.clearance 1.5 mm", "gap/least"),
    (LIGHT, "mount_load 900 kg", "mount_load 50 kg", "carry/support"),
    (HEAVY, "ratio 3.909", "ratio 4.10", "drive/ratio"),
    (HEAVY, "piston diameter 33 mm", "piston diameter 44 mm", "brake/balance"),
    (HEAVY, "centre bore 100.3 mm", "centre bore 96.1 mm", "fit/wheel"),
    (HEAVY, "hold force 6200 N", "hold force 4800 N", "brake/parking"),
    (MADE, "fluid \"75W-90 hypoid\"", "fluid \"75W-140 hypoid\"", "fluid/kind"),
    (MADE, "fluid amount 1.9 L", "fluid amount 1.2 L", "fluid/amount"),
    (MADE, "length 1251 mm", "length 1284 mm", "fit/length"),
    (MADE, "length 1251 mm", "length 1284 mm", "work/no-return"),
];

fn verdicts(files: &[(String, String)]) -> Vec<Verdict> {
    let host: Host = loaded::host(files);
    let paths: Vec<String> = host.files().map(|(path, _)| path.to_string()).collect();
    paths.iter().flat_map(|it| loaded::verdicts(&host, it)).collect()
}

fn clashes(verdicts: &[Verdict]) -> BTreeSet<String> {
    let clashes = verdicts.iter().filter(|it| it.outcome == Outcome::Clash);
    clashes.map(|it| format!("{} {}", it.check, it.subject)).collect()
}

#[test]
fn as_finished_nothing_clashes_and_what_is_open_is_what_the_readme_says() {
    let all = verdicts(&loaded::files("examples/heavier_axles"));
    assert_eq!(clashes(&all), BTreeSet::new());
    let open = all.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none());
    let open: BTreeSet<&str> = open.map(|it| it.check).collect();
    assert_eq!(open, BTreeSet::from(["drive/ratio"]));
}

#[test]
fn verdicts_on_brakes_and_axles_carry_their_cautions() {
    let all = verdicts(&loaded::files("examples/heavier_axles"));
    for (check, area) in [
        ("brake/balance", "brakes"),
        ("brake/pedal", "brakes"),
        ("line/route", "brakes"),
        ("line/rating", "brakes"),
        ("carry/support", "lifting"),
        ("drive/axle", "wheels"),
        ("work/no-return", "lifting"),
    ] {
        let of: Vec<&Verdict> = all.iter().filter(|it| it.check == check).collect();
        assert!(!of.is_empty(), "{check} speaks");
        assert!(of.iter().all(|it| it.safety.iter().any(|it| it == area)), "{check} names {area}");
    }
}

#[test]
fn each_fault_is_called_a_clash_by_the_check_that_is_meant_for_it() {
    let files = loaded::files("examples/heavier_axles");
    let mut wrong = Vec::new();
    for (file, written, put, check) in FAULTS {
        let mut changed = files.clone();
        let at = changed.iter_mut().find(|it| it.0 == *file).expect("the file is there");
        let Some(range) = find(&at.1, 0, written) else {
            wrong.push(format!("{file} does not say `{written}`"));
            continue;
        };
        at.1.replace_range(range, put);
        let found = clashes(&verdicts(&changed));
        if !found.iter().any(|it| it.split(' ').next() == Some(*check)) {
            wrong.push(format!("{check} did not find `{put}`: {found:?}"));
        }
        // The one cause is not spread over more than what is directly about it.
        if found.len() > 4 {
            wrong.push(format!("`{put}` brought {} clashes: {found:?}", found.len()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
