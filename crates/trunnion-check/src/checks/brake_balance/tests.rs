use crate::testing::{Found, check};

fn van(rear: &str, vehicle: &str, basis: &str) -> Found {
    let text = format!(
        r#"
source manual "Workshop manual" documented
{basis}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_front both sides is brake_caliper
  place brake_rear both sides is brake_caliper }}
part front_54 is brake_caliper fills brake_front {{ fitted on Dunlin, piston diameter 54 mm, pistons 1,
  effective radius 118 mm, lining friction 0.38 }}
part rear_new is brake_caliper {{ {rear} }}
vehicle van is Dunlin {{ built 2012-04, rolling circumference 2046 mm, wheelbase 3200 mm,
  front axle load 980 kg, rear axle load 700 kg, {vehicle}
  laden front axle load 1180 kg, laden rear axle load 1480 kg, laden mass height 860 mm }}
conversion stronger {{ recipient van, fit rear_new for brake_rear }}"#
    );
    check("brake/balance", &text)
}

const RULE: &str = "basis { brakes is ece_13h }";
const SMALL: &str = "piston diameter 34 mm, pistons 1, effective radius 118 mm, lining friction 0.38";
const LARGE: &str = "piston diameter 48 mm, pistons 1, effective radius 130 mm, lining friction 0.38";

/// By hand: share 54² / (54² + 34²) = 71.61 % with equal radius and lining; empty (0.7161 − 980 / 1680)
/// × 3200 / 500 = 0.850: 49 CFR 571.135, S7.4.4 (g), adhesion of both axles set equal.
#[test]
fn the_rate_is_that_of_the_hand_calculation() {
    let found = van(SMALL, "mass height 500 mm,", RULE);
    let empty = found.about("brakes.empty");
    assert_eq!(
        empty.message,
        "Empty, with 71.6 % of the braking at the front, the rear locks first only above 0.85 g; the front \
         must up to 0.8 g."
    );
    let laden = found.about("brakes.laden");
    assert_eq!(laden.outcome.word(), "clear");
    assert!(laden.sources.iter().any(|it| it == "basis: brakes is ece_13h"), "{:?}", laden.sources);
    assert_eq!(laden.safety, ["brakes"]);
    assert!(laden.notes.iter().any(|it| it.contains("no valve is counted")), "{:?}", laden.notes);
}

#[test]
fn a_rear_that_locks_first_is_a_clash() {
    let found = van(LARGE, "mass height 720 mm,", RULE);
    let empty = found.about("brakes.empty");
    assert_eq!(
        empty.message,
        "Empty, with 53.5 % of the braking at the front, the rear locks first at any deceleration, but the \
         front must up to 0.8 g."
    );
    assert_eq!(empty.outcome.word(), "clash");
    assert_eq!(found.text_of(empty), "fit rear_new for brake_rear");
    assert_eq!(empty.margin.as_deref(), Some("−0.8"));
}

#[test]
fn a_valve_that_holds_the_rear_back_mends_it() {
    let text = format!("{LARGE}, valve pressure 12 bar, valve slope 20 %");
    let found = van(&text, "mass height 720 mm,", RULE);
    // The share at the beginning is the same; below the knee the rear still locks first.
    assert_eq!(found.about("brakes.empty").outcome.word(), "clash");
    let milder = "piston diameter 38 mm, pistons 1, effective radius 118 mm, lining friction 0.38";
    assert_eq!(van(milder, "mass height 500 mm,", RULE).about("brakes.empty").outcome.word(), "clash");
    let held = format!("{milder}, valve pressure 20 bar, valve slope 30 %");
    let mended = van(&held, "mass height 500 mm,", RULE);
    assert_eq!(mended.about("brakes.empty").outcome.word(), "clear");
}

#[test]
fn what_nobody_said_is_open() {
    let found = van(SMALL, "", RULE);
    let empty = found.about("brakes.empty");
    assert_eq!(
        empty.message,
        "Nobody has said the height of the centre of mass of the vehicle: it decides which axle locks first."
    );
    let found = van(SMALL, "mass height 500 mm,", "");
    let empty = found.about("brakes.empty");
    assert_eq!(
        empty.message,
        "Nobody has said which basis is taken for the brakes: it decides which axle locks first."
    );
    let found = van(SMALL, "mass height 500 mm,", "basis { brakes is house_rule }");
    assert_eq!(found.about("brakes.empty").outcome.word(), "open");
}

#[test]
fn a_piston_alone_is_no_beginning() {
    let text = van("piston diameter 34 mm", "mass height 500 mm,", RULE);
    // The front states the rest, so the sum is begun.
    assert_eq!(text.verdicts().len(), 2);
    let alone = r"
family Dunlin { built 2009-06 to 2018-12
  place brake_front both sides is brake_caliper
  place brake_rear both sides is brake_caliper }
part rear_new is brake_caliper { piston diameter 34 mm }
vehicle van is Dunlin { built 2012-04 }
conversion stronger { recipient van, fit rear_new for brake_rear }";
    check("brake/balance", alone).silent();
}
