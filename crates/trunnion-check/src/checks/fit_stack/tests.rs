use crate::testing::check;

fn van(basis: &str, engine: &str, box_facts: &str, more: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
{basis}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place gearbox is manual_gearbox }}
part diesel is engine fills engine {{ fitted on Dunlin per manual, {engine} }}
part five is manual_gearbox {{ {box_facts} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit five for gearbox }}
{more}"#
    )
}

const ENGINE: &str = "pilot depth 21 mm per manual, crank height 0 mm per manual";
const BOX: &str = "bell depth 158.4 mm ± 0.1 mm per manual, input length 172.6 mm ± 0.2 mm per manual";

/// By hand: 172.6 − 158.4 = 14.2 mm, ± 0.2 ± 0.1 = ± 0.3 mm; √(0.2² + 0.1²) = 0.2236 mm.
#[test]
fn a_shaft_that_reaches_is_clear_by_worst_case_or_by_statistics() {
    let found = check("fit/stack", &van("", ENGINE, BOX, ""));
    found.clear(
        "The input shaft reaches 13.9 to 14.5 mm beyond the crank flange; the pilot of 21 mm takes 10.5 to 20 mm.",
    );
    assert_eq!(found.only().margin.as_deref(), Some("3.4 mm"));
    assert_eq!(found.text(), "fit five for gearbox");
    let found = check("fit/stack", &van("basis { stack is statistical }", ENGINE, BOX, ""));
    found.clear(
        "The input shaft reaches 13.98 to 14.42 mm beyond the crank flange; the pilot of 21 mm takes 10.5 to 20 mm.",
    );
}

#[test]
fn too_long_and_too_short_are_clashes() {
    let long = "bell depth 150 mm per manual, input length 172.6 mm per manual";
    check("fit/stack", &van("", ENGINE, long, "")).clash(
        "The input shaft reaches 22.6 mm beyond the crank flange, but the pilot of 21 mm takes 10.5 to 20 mm.",
    );
    let short = "bell depth 168 mm per manual, input length 172.6 mm per manual";
    check("fit/stack", &van("", ENGINE, short, "")).clash(
        "The input shaft reaches 4.6 mm beyond the crank flange, but the pilot of 21 mm takes 10.5 to 20 mm.",
    );
}

#[test]
fn the_worst_case_may_leave_open_what_statistics_clear() {
    let engine = "pilot depth 15.4 mm, crank height 0 mm";
    assert_eq!(check("fit/stack", &van("", engine, BOX, "")).only().outcome.word(), "open");
    let statistical = van("basis { stack is statistical, tip gap 0.9 mm }", engine, BOX, "");
    assert_eq!(check("fit/stack", &statistical).only().outcome.word(), "clear");
}

#[test]
fn what_nobody_said_is_open() {
    let found = check("fit/stack", &van("", "pilot depth 21 mm", BOX, ""));
    found.open(
        "Nobody has said the crank flange behind the rear face of the block of the engine: it decides whether \
         the input shaft reaches into the pilot and keeps off its bottom.",
    );
    check("fit/stack", &van("", "mass 200 kg", "mass 40 kg", "")).silent();
    check("fit/stack", &van("basis { stack is guessed }", ENGINE, BOX, "")).open(
        "It cannot be told whether the input shaft reaches into the pilot and keeps off its bottom: \
         a chain is added up by worst_case or statistical, not by guessed.",
    );
}

fn made(height: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place flywheel is flywheel
  place clutch is clutch
  place gearbox is manual_gearbox }}
part old is engine fills engine {{ fitted on Dunlin, crank height 12 mm per manual }}
part later is engine {{ crank height 10 mm per manual }}
part first is flywheel fills flywheel {{ fitted on Dunlin, stack height 38 mm per manual }}
part made is flywheel {{ stack height {height} per manual }}
part plate is adaptor_plate {{ thickness 24 mm per manual }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit later for engine, make made for flywheel
  place adaptor is adaptor_plate
  make plate for adaptor }}"#
    )
}

/// By hand: 24 mm of plate, less 26 mm more of flywheel, plus 2 mm of crank that stands back: 0.
#[test]
fn what_a_plate_brings_the_flywheel_takes() {
    let found = check("fit/stack", &made("64 mm"));
    found.clear("The fingers of the clutch stay where they were; the release bearing takes 1 mm either way.");
    check("fit/stack", &made("40 mm")).clash(
        "The fingers of the clutch come 24 mm farther from the gearbox, \
         but the release bearing takes 1 mm either way.",
    );
}

#[test]
fn a_pull_out_is_held_against_what_is_good() {
    let automatic = |said: &str| {
        format!(
            "family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is automatic_gearbox }}
part six is automatic_gearbox {{ mass 80 kg }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit six for gearbox
  gearbox.pull_out {said} }}"
        )
    };
    let found = check("fit/stack", &automatic("3.4 mm"));
    found.clear("The converter is pulled out 3.4 mm; 2 to 5 mm are good.");
    assert_eq!(found.text(), "gearbox.pull_out 3.4 mm");
    check("fit/stack", &automatic("0.5 mm"))
        .clash("The converter is pulled out 0.5 mm, but 2 to 5 mm are good.");
}
