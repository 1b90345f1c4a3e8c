use crate::testing::{Found, check};

fn van(master: &str, front: &str, more: &str) -> Found {
    let text = format!(
        r#"
source manual "Workshop manual" documented
basis {{ brakes is ece_13h }}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_pedal is brake_pedal_box
  place brake_servo is brake_servo
  place brake_master is master_cylinder
  place brake_front both sides is brake_caliper
  place brake_rear both sides is brake_caliper }}
part pedals is brake_pedal_box fills brake_pedal {{ fitted on Dunlin, pedal ratio 4, pedal travel 140 mm }}
part servo is brake_servo fills brake_servo {{ fitted on Dunlin, boost ratio 5 }}
part master is master_cylinder fills brake_master {{ fitted on Dunlin, {master} }}
part rear_old is brake_caliper fills brake_rear {{ fitted on Dunlin, piston diameter 34 mm, pistons 1,
  running gap 0.2 mm, effective radius 120 mm, lining friction 0.4 }}
part front_new is brake_caliper {{ piston diameter 54 mm, pistons 1, effective radius 120 mm, {front} }}
vehicle van is Dunlin {{ built 2012-04, plated mass 2400 kg, rolling circumference 2046 mm }}
{more}
conversion stronger {{ recipient van, fit front_new for brake_front }}"#
    );
    check("brake/pedal", &text)
}

/// By hand: 4 × π/4 × (54² + 34²) × 0.2 mm = 2.558 ml over π/4 × 22² = 380.1 mm² is 6.730 mm, × 4 = 26.9 mm.
#[test]
fn a_pedal_that_bites_in_time_is_clear() {
    let found = van("piston diameter 22 mm, stroke 32 mm", "lining friction 0.4, running gap 0.2 mm", "");
    let travel = found.about("brake_pedal.travel");
    assert_eq!(
        travel.message,
        "The pedal moves 26.92 mm until the brakes bite; no more than 64 mm of it may go there."
    );
    assert_eq!(travel.margin.as_deref(), Some("37.08 mm"));
    assert!(travel.sources.iter().any(|it| it == "pedal share 50 %: common practice, no source"));
}

/// By hand: 4 × π/4 × (54² × 0.4 + 34² × 0.2) = 4391 mm³ over 201.1 mm² is 21.84 mm, × 4 = 87.35 mm.
#[test]
fn a_pedal_that_goes_to_the_floor_is_a_clash() {
    let found = van("piston diameter 16 mm, stroke 28 mm", "lining friction 0.4, running gap 0.4 mm", "");
    let travel = found.about("brake_pedal.travel");
    assert_eq!(
        travel.message,
        "The pedal moves 87.35 mm until the brakes bite, but no more than 56 mm of it may go there."
    );
    assert_eq!(travel.outcome.word(), "clash");
    assert_eq!(found.text_of(travel), "fit front_new for brake_front");
}

/// By hand at 100 bar: 4 × 0.4 × 10 N/mm² × π/4 × 54² × 120 × 2π / 2046 = 13 504 N in front, 5353 N behind.
/// 2400 kg × 6.43 = 15 432 N: 81.8 bar, × 380.1 mm² / (4 × 5) = 155.5 N; dead 2.44: 31.05 bar, 295.1 N.
#[test]
fn force_with_the_servo_and_without() {
    let found = van("piston diameter 22 mm, stroke 32 mm", "lining friction 0.4, running gap 0.2 mm", "");
    assert_eq!(
        found.about("brake_pedal.force").message,
        "The pedal needs 155.5 N for the stop that is asked; the rule allows 500 N."
    );
    let dead = found.about("brake_pedal.force_servo_dead");
    assert_eq!(
        dead.message,
        "With the servo dead the pedal needs 295.1 N for the stop that is asked; the rule allows 500 N."
    );
    assert_eq!(dead.safety, ["brakes"]);
}

#[test]
fn a_driver_with_less_force_decides() {
    let person = "person driver \"the driver\" { foot force at most 200 N }";
    let found = van("piston diameter 22 mm, stroke 32 mm", "lining friction 0.4, running gap 0.2 mm", person);
    assert_eq!(found.about("brake_pedal.force").outcome.word(), "clear");
    assert_eq!(
        found.about("brake_pedal.force_servo_dead").message,
        "With the servo dead the pedal needs 295.1 N for the stop that is asked, but the driver has 200 N."
    );
}

#[test]
fn what_nobody_said_is_open() {
    let found = van("stroke 32 mm", "running gap 0.2 mm", "");
    assert_eq!(
        found.about("brake_pedal.travel").message,
        "Nobody has said the piston diameter of the brake master: it decides whether the brakes bite before \
         the pedal is down."
    );
    assert_eq!(
        found.about("brake_pedal.force").message,
        "Nobody has said the friction of the lining of the brake front and the piston diameter of the brake \
         master: it decides whether the driver can stop the vehicle."
    );
}
