use crate::testing::{Found, check};

fn hub(hub: &str, controller: &str) -> Found {
    let text = format!(
        r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place hub_rear both sides is hub
  place brake_controller is brake_controller }}
part hub_new is hub {{ stud pattern "5 on 118 mm", {hub} }}
part hub_44 is hub fills hub_rear {{ pulses 44, offer 80 EUR }}
module brakes is brake_controller fills brake_controller {{ fitted on Dunlin, coding "a", {controller} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion axle {{ recipient van, fit hub_new for hub_rear }}"#
    );
    check("signal/scale", &text)
}

/// 4 / 44 = 9.0909… %.
#[test]
fn forty_eight_for_forty_four_reads_fast() {
    let found = hub("pulses 48", "expected pulses 44");
    found.clash("The hub rear gives 48 pulses a turn, but brakes expects 44: it reads 9.1 % fast.");
    assert_eq!(found.text(), "fit hub_new for hub_rear");
    assert_eq!(found.only().formula.as_deref(), Some("difference = 48 / 44 − 1 = 9.091 %"));
    assert!(found.fixed(0).contains("replace hub_rear with hub_44"), "{}", found.fixed(0));
    hub("pulses 44 per manual", "expected pulses 44")
        .clear("The hub rear gives 44 pulses a turn; brakes expects 44.");
    hub("pulses 40", "expected pulses 44")
        .clash("The hub rear gives 40 pulses a turn, but brakes expects 44: it reads 9.1 % slow.");
    hub("pulses 22, sensor ratio 2", "expected pulses 44")
        .clear("The hub rear gives 44 pulses a turn; brakes expects 44.");
}

#[test]
fn what_nobody_said_is_open_and_what_nobody_expects_is_silent() {
    hub("condition \"new\"", "expected pulses 44")
        .open("Nobody has said the pulses a turn of the hub rear: it decides whether brakes reads it right.");
    hub("pulses 48", "wake up \"ignition\"").silent();
    hub("pulses none", "expected pulses 44").silent();
}

fn wired(sender: &str, cluster: &str, signal: &str) -> Found {
    let text = format!(
        r"
family Dunlin {{ built 2009-06 to 2018-12
  place level_sender is sensor
  place cluster is cluster }}
connector two {{ cavities 2 }}
part sender is sensor {{ plug L is two {{ 1 sensor fuel_level out, 2 ground }}, {sender} }}
module dash is cluster fills cluster {{ fitted on Dunlin, plug C is two {{ 1 sensor {signal} in, 2 ground }}, {cluster} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion tank {{ recipient van, fit sender for level_sender }}"
    );
    check("signal/scale", &text)
}

#[test]
fn a_sender_of_another_curve_is_a_clash() {
    wired("sensor curve 40 Ω, 180 Ω", "expected curve 10 Ω, 180 Ω", "fuel_level")
        .clash("The level sender gives 40 Ω and 180 Ω, but dash expects 10 Ω and 180 Ω within 5 %.");
    wired("sensor curve 10.2 Ω, 178 Ω", "expected curve 10 Ω, 180 Ω", "fuel_level")
        .clear("The level sender gives 10.2 Ω and 178 Ω; dash expects 10 Ω and 180 Ω within 5 %.");
    wired("sensor curve 10 Ω, 60 Ω, 180 Ω", "expected curve 10 Ω, 180 Ω", "fuel_level")
        .open("It cannot be told whether dash reads it right: 3 points are given and 2 expected.");
    wired("sensor curve 40 Ω, 180 Ω", "expected curve 10 Ω, 180 Ω", "oil_level").silent();
}

#[test]
fn two_tracks_of_a_pedal() {
    wired("second track 50 %", "expected track 50 %", "fuel_level")
        .clear("The second track of the level sender is 50 % of its first; dash expects 50 %.");
    wired("second track 100 %", "expected track 50 %", "fuel_level")
        .clash("The second track of the level sender is 100 % of its first, but dash expects 50 %.");
}
