use crate::testing::check;

fn van(parts: &str, vehicle: &str, conversion: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
source club "Club notes" reported
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place engine is engine
  place gearbox is gearbox
  place final_drive is final_drive }}
part diesel is engine fills engine {{ fitted on Dunlin per manual, peak speed 4800 rpm per manual }}
part box is gearbox fills gearbox {{ ratios 4.00, 2.00, 1.00, 0.80 per manual }}
part axle_400 "the 4.00 axle" is final_drive fills final_drive {{ ratio 4.00 per manual, offer 200 EUR }}
part axle_300 "the 3.00 axle" is final_drive fills final_drive {{ ratio 3.00 per manual, offer 300 EUR }}
{parts}
vehicle van is Dunlin {{ built 2012-04 per manual, {vehicle} }}
conversion easy {{ recipient van, {conversion} }}"#
    )
}

const ROLLS: &str = "rolling circumference 2000 mm per manual";

/// By hand: 2 m a turn and 3.2 turns of the engine for one of the wheel; 108 km/h are 30 m/s, which
/// are 15 turns a second of the wheel, 48 of the engine: 2880 rpm.
#[test]
fn the_speed_at_cruise_is_held_against_the_aim() {
    let aim = "fit box, fit axle_400\n aim cruise 108 km/h at most 3000 rpm";
    let found = check("drive/road-speed", &van("", ROLLS, aim));
    let verdict = found.about("gearbox.cruise");
    assert_eq!(
        verdict.message,
        "At 108 km/h the engine turns 2880 rpm in top gear (0.8 × 4); the aim is at most 3000 rpm."
    );
    assert_eq!(verdict.outcome.word(), "clear");
    assert_eq!(verdict.margin.as_deref(), Some("120 rpm"));
    assert_eq!(found.text_of(verdict), "aim cruise 108 km/h at most 3000 rpm");
}

#[test]
fn too_fast_is_a_clash_with_the_axle_that_would_do() {
    let aim = "fit box, fit axle_400\n aim cruise 108 km/h at most 2600 rpm";
    let found = check("drive/road-speed", &van("", ROLLS, aim));
    let verdict = found.about("gearbox.cruise");
    assert_eq!(
        verdict.message,
        "At 108 km/h the engine turns 2880 rpm in top gear (0.8 × 4), but the aim is at most 2600 rpm."
    );
    assert_eq!(verdict.margin.as_deref(), Some("−280 rpm"));
    assert_eq!(verdict.fixes.len(), 1);
    assert_eq!(verdict.fixes[0].edits[0].text, "\n  replace final_drive with axle_300");
    let low = "fit box, fit axle_300\n aim cruise 108 km/h at least 2300 rpm";
    let found = check("drive/road-speed", &van("", ROLLS, low));
    assert_eq!(
        found.about("gearbox.cruise").message,
        "At 108 km/h the engine turns 2160 rpm in top gear (0.8 × 3), but the aim is at least 2300 rpm."
    );
}

#[test]
fn what_nobody_said_is_open_with_what_would_be_good() {
    let aim = "fit box\n aim cruise 108 km/h at most 2700 rpm";
    let found = check("drive/road-speed", &van("", ROLLS, aim));
    found.open(
        "Nobody has said the ratio of the final drive; good would be at most 3.75: \
         it decides how fast the engine turns at 108 km/h.",
    );
    let hollow = "take gearbox from breaker\n donor breaker\n aim cruise 108 km/h at most 2700 rpm";
    check("drive/road-speed", &van("vehicle breaker is Dunlin { built 2012-04 }", "paired", hollow)).silent();
}

#[test]
fn disputed_ratios_are_open() {
    let parts = "part two is final_drive fills final_drive { ratio 4.00 per manual\n ratio 3.70 per club }";
    let aim = "fit box, fit two\n aim cruise 108 km/h at most 2700 rpm";
    check("drive/road-speed", &van(parts, ROLLS, aim)).open(
        "The ratio of the final drive is disputed: Workshop manual (documented) says 4, Club notes (reported) says 3.7.",
    );
}

/// A 205/65 R16 rolls 1998 to 2080 mm (`trunnion explain rolling_circumference`): 2769 to 2882 rpm.
#[test]
fn the_spread_of_a_marking_may_leave_both_possible() {
    let aim = |most: &str| format!("fit box, fit axle_400\n aim cruise 108 km/h at most {most}");
    let found = check("drive/road-speed", &van("", "tyre 205/65 R16", &aim("2800 rpm")));
    assert_eq!(found.about("gearbox.cruise").outcome.word(), "open");
    let found = check("drive/road-speed", &van("", "tyre 205/65 R16", &aim("2900 rpm")));
    assert_eq!(found.about("gearbox.cruise").outcome.word(), "clear");
}

/// By hand: 1000 rpm through 4 × 4 turn the wheel 62.5 times a minute, 125 m, 7.5 km/h.
#[test]
fn each_gear_has_its_speed_and_its_gap() {
    let found = check("drive/road-speed", &van("", ROLLS, "fit box, fit axle_400"));
    found.clear("1000 rpm make 7.5 km/h in first gear and 37.5 km/h in top gear.");
    let figure = |name: &str| {
        let all = &found.only().figures;
        all.iter().find(|it| it.name == name).map(|it| format!("{} {}", it.value, it.unit))
    };
    assert_eq!(figure("gear 2, per 1000 rpm").as_deref(), Some("15 km/h"));
    assert_eq!(figure("gear 4, at 4800 rpm").as_deref(), Some("180 km/h"));
    assert_eq!(figure("gear 1 to 2, after the shift").as_deref(), Some("2400 rpm"));
    assert_eq!(figure("gear 3 to 4, gap").as_deref(), Some("20 %"));
    assert_eq!(found.text(), "ratios 4.00, 2.00, 1.00, 0.80 per manual");
}

#[test]
fn gears_in_the_wrong_order_are_a_clash() {
    let parts = "part mixed is gearbox fills gearbox { ratios 4.00, 1.00, 2.00, 0.80 }";
    check("drive/road-speed", &van(parts, ROLLS, "fit mixed, fit axle_400"))
        .clash("The gears of the gearbox are not listed from first to top: gear 2 has 1, but gear 3 has 2.");
}
