use crate::testing::{Found, check};

fn van(person: &str, lever: &str, pedal: &str, servo: &str) -> Found {
    let text = format!(
        r#"
source manual "Workshop manual" documented
source fitting "Seat fitting" measured
{person}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_pedal is brake_pedal_box
  {servo} }}
part pedals is brake_pedal_box fills brake_pedal {{ fitted on Dunlin, link pad, {pedal} }}
part servo is brake_servo fills brake_servo {{ fitted on Dunlin, boost ratio 4 }}
part lever is hand_control {{ link pedal_rod, {lever} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion by_hand {{ recipient van
  place hand_control is hand_control
  fit lever for hand_control
  joint hand_control.pedal_rod to brake_pedal.pad }}"#
    );
    check("lever/force", &text)
}

const DRIVER: &str =
    "person driver \"the driver\" { hand force at most 60 N per fitting, reach at most 540 mm }";

#[test]
fn a_stated_force_and_reach_within_the_drivers_are_clear() {
    let found = van(DRIVER, "hand force 45 N per fitting, reach 500 mm", "condition \"sound\"", "");
    assert_eq!(
        found.about("hand_control.hand_force").message,
        "The hand control needs 45 N ± 1 N; the driver can give 60 N ± 5 N."
    );
    assert_eq!(found.about("hand_control.hand_force").margin.as_deref(), Some("9 to 21 N"));
    assert_eq!(
        found.about("hand_control.reach").message,
        "The hand control is 500 mm away; the driver reaches 540 mm."
    );
    assert!(found.about("hand_control.reach").safety.iter().any(|it| it == "brakes"));
}

#[test]
fn too_much_or_too_far_is_a_clash() {
    let found = van(DRIVER, "hand force 80 N, reach 560 mm", "condition \"sound\"", "");
    let force = found.about("hand_control.hand_force");
    assert_eq!(force.message, "The hand control needs 80 N, but the driver can give 60 N ± 5 N.");
    assert_eq!(found.text_of(force), "fit lever for hand_control");
    assert_eq!(found.about("hand_control.reach").outcome.word(), "clash");
}

/// By hand: 180 N / (4 × 0.9) = 50 N; with the servo dead 180 × 4 = 720 N, 200 N; 180 mm / 4 = 45 mm.
#[test]
fn through_the_lever_with_the_servo_and_without() {
    let pedal = "foot force 180 N, pedal travel 45 mm";
    let found = van(DRIVER, "lever ratio 4, lever travel 180 mm", pedal, "place brake_servo is brake_servo");
    assert_eq!(
        found.about("hand_control.force").message,
        "The hand control takes 50 N of hand force; the driver can give 60 N ± 5 N."
    );
    assert_eq!(
        found.about("hand_control.force_servo_dead").message,
        "With the servo dead the hand control takes 200 N of hand force, but the driver can give 60 N ± 5 N."
    );
    let formula = found.about("hand_control.force_servo_dead").formula.clone().unwrap_or_default();
    assert!(formula.starts_with("the servo's share by hand: 180 N × 4 = 720 N; "), "{formula}");
    assert_eq!(
        found.about("hand_control.lever_travel").message,
        "The hand control moves the brake pedal 45 mm; its travel is 45 mm."
    );
    let short = van(DRIVER, "lever ratio 4, lever travel 150 mm", pedal, "");
    assert_eq!(
        short.about("hand_control.lever_travel").message,
        "The hand control moves the brake pedal 37.5 mm, but its travel is 45 mm."
    );
}

/// By hand: 900 N × 19² / 22² = 671.3 N, / (16 × 0.9) = 46.6 N.
#[test]
fn through_two_pistons() {
    let text = r#"
person driver "the driver" { hand force at most 60 N }
family Dunlin { built 2009-06 to 2018-12
  place clutch_slave is clutch_slave }
part slave is clutch_slave fills clutch_slave { fitted on Dunlin, port inlet carrying brake_fluid,
  piston diameter 22 mm, push force 900 N }
part lever is hand_control { port out carrying brake_fluid, lever ratio 16, piston diameter 19 mm }
vehicle van is Dunlin { built 2012-04 }
conversion by_hand { recipient van
  place hand_clutch is hand_control
  fit lever for hand_clutch
  line clutch_pipe joins hand_clutch.out to clutch_slave.inlet, carrying brake_fluid }"#;
    let found = check("lever/force", text);
    found.clear("The hand clutch takes 46.62 N of hand force; the driver can give 60 N.");
}

#[test]
fn what_nobody_said_is_open() {
    let found = van(
        "person driver \"the driver\" { reach at most 540 mm }",
        "hand force 45 N",
        "condition \"a\"",
        "",
    );
    found.open(
        "Nobody has said the hand force of the driver: it decides whether the driver can work the hand control.",
    );
    let found = van("", "hand force 45 N", "condition \"a\"", "");
    found.open(
        "Nobody has said the hand force of the driver: it decides whether the driver can work the hand control.",
    );
    let found = van(DRIVER, "lever ratio 4", "condition \"a\"", "");
    found.open(
        "Nobody has said the foot force of the brake pedal: it decides whether the driver can work it.",
    );
}

#[test]
fn each_of_several_drivers_is_looked_at() {
    let two =
        "person anna \"Anna\" { hand force at most 60 N }\nperson ole \"Ole\" { hand force at most 40 N }";
    let found = van(two, "hand force 45 N", "condition \"a\"", "");
    assert_eq!(found.about("hand_control.hand_force.anna").outcome.word(), "clear");
    assert_eq!(
        found.about("hand_control.hand_force.ole").message,
        "The hand control needs 45 N, but Ole can give 40 N."
    );
}
