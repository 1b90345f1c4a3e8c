use crate::testing::check;

fn van(basis: &str, dash: &str, vehicle: &str, more: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
basis {{ {basis} }}
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place gearbox is gearbox
  place final_drive is final_drive
  place cluster is cluster }}
part six is gearbox fills gearbox {{ pulses 8 per manual }}
part plain is gearbox fills gearbox {{ mass 40 kg per manual }}
part axle is final_drive fills final_drive {{ fitted on Dunlin, ratio 4.00 per manual }}
module dash is cluster fills cluster {{ fitted on Dunlin, {dash} }}
vehicle van is Dunlin {{ built 2012-04 per manual, {vehicle} }}
{more}"#
    )
}

const RULE: &str = "speedometer is unece_39";
const TOP: &str = "top speed 155 km/h per manual";
const FIT: &str = "conversion easy { recipient van, fit six }";

/// UN Regulation No. 39, 5.3: at 120 km/h at most 120 + 12 + 4 = 136 km/h, and never less than 120.
#[test]
fn the_same_pulses_are_clear() {
    let found = check("drive/speedometer", &van(RULE, "expected pulses 8 per manual", TOP, FIT));
    found.clear("At a true 120 km/h it shows 120 km/h; 120 to 136 km/h are allowed.");
    let names: Vec<&str> = found.only().figures.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names, ["shown at 40 km/h", "shown at 80 km/h", "shown at 120 km/h"]);
    assert_eq!(found.text(), "fit six");
}

#[test]
fn a_reading_that_is_low_or_too_high_is_a_clash() {
    let found = check("drive/speedometer", &van(RULE, "expected pulses 10 per manual", TOP, FIT));
    found.clash("At a true 120 km/h it shows 96 km/h, but 120 to 136 km/h are allowed.");
    // 8 / 7 is 14.3 % high: within the 4 km/h at 40 km/h, outside at 80 and at 120 km/h.
    let found = check("drive/speedometer", &van(RULE, "expected pulses 7 per manual", TOP, FIT));
    found.clash("At a true 120 km/h it shows 137.1 km/h, but 120 to 136 km/h are allowed.");
}

/// By hand: 4.00 / 3.80 × 2000 / 2050 = 1.027; a top speed of 130 km/h is tested at 104 km/h.
#[test]
fn axle_and_tyres_count_too() {
    let dash = "expected pulses 8, expected ratio 3.80, expected circumference 2000 mm";
    let vehicle = "top speed 130 km/h, rolling circumference 2050 mm";
    let found = check("drive/speedometer", &van(RULE, dash, vehicle, FIT));
    found.clear("At a true 104 km/h it shows 106.8 km/h; 104 to 118.4 km/h are allowed.");
    let formula = found.only().formula.as_deref().unwrap_or_default();
    assert!(formula.starts_with("8 / 8 = 1; 4 / 3.8 = 1.053; 2000 mm / 2050 mm = 0.976"), "{formula}");
}

#[test]
fn what_was_measured_goes_before_the_sum() {
    let log = |shown: &str, tool: &str| {
        let entry = format!(
            "log of van {{\n 2026-03-20 measured cluster.shown_speed {shown} km/h, with \"{tool}\" to 1 km/h\n}}"
        );
        van(RULE, "expected pulses 10 per manual", TOP, &format!("{FIT}\n{entry}"))
    };
    let found = check("drive/speedometer", &log("84", "satellite receiver at 80 km/h"));
    found.clear("At a true 80 km/h it shows 84 km/h ± 1 km/h; 80 to 92 km/h are allowed.");
    let found = check("drive/speedometer", &log("76", "satellite receiver at 80 km/h"));
    found.clash("At a true 80 km/h it shows 76 km/h ± 1 km/h, but 80 to 92 km/h are allowed.");
    let found = check("drive/speedometer", &log("80", "satellite receiver at 80 km/h"));
    assert_eq!(found.only().outcome.word(), "open");
    check("drive/speedometer", &log("84", "satellite receiver")).open(
        "Nobody has said at which true speed the shown speed was read: \
         it decides whether the speedometer shows what the regulation allows.",
    );
}

#[test]
fn what_nobody_said_or_chose_is_open() {
    let plain = "conversion easy { recipient van, fit plain }";
    check("drive/speedometer", &van(RULE, "expected pulses 8 per manual", TOP, plain)).open(
        "Nobody has said the pulses a turn of the gearbox: \
         it decides whether the speedometer shows what the regulation allows.",
    );
    check("drive/speedometer", &van("drop at most 3 %", "expected pulses 8 per manual", TOP, FIT)).open(
        "Nobody has said which basis is taken for the speedometer: \
         it decides whether the speedometer shows what the regulation allows.",
    );
    check("drive/speedometer", &van("speedometer is home_rule", "expected pulses 8 per manual", TOP, FIT))
        .open(
            "It cannot be told whether the speedometer shows what the regulation allows: \
         the handbook has no rule home_rule; it has unece_39.",
        );
    check("drive/speedometer", &van(RULE, "hears road_speed", TOP, FIT)).silent();
}

/// UN Regulation No. 39: the test speeds by the design speed of the vehicle.
#[test]
fn the_test_speeds_follow_from_the_top_speed() {
    assert_eq!(super::test_speeds(155.0), [40.0, 80.0, 120.0]);
    assert_eq!(super::test_speeds(130.0), [40.0, 80.0, 104.0]);
    assert_eq!(super::test_speeds(90.0), [40.0, 72.0]);
    assert_eq!(super::test_speeds(40.0), [32.0]);
}
