use crate::testing::check;

fn van(hub: &str, old: &str, new: &str, vehicle: &str) -> String {
    format!(
        r#"
source bench "Calliper" documented
family Dunlin {{ built 2009-06 to 2018-12
  place wheel_rear both sides is wheel
  place hub_rear both sides is hub
  place brake_rear both sides is brake_caliper }}
part hub_dunlin is hub fills hub_rear {{ fitted on Dunlin, {hub} }}
part old is wheel fills wheel_rear {{ fitted on Dunlin, {old} }}
part new is wheel {{ {new} }}
part caliper is brake_caliper fills brake_rear {{ fitted on Dunlin, caliper radius 181 mm per bench }}
vehicle van is Dunlin {{ built 2012-04{vehicle} }}
conversion wheels {{ recipient van, fit new for wheel_rear }}"#
    )
}

const INSIDE: &str = "inner radius 188 mm per bench";

#[test]
fn the_hub_centres_the_wheel_or_it_does_not_go_on() {
    let hub = "centre bore 71.1 mm per bench";
    let found =
        check("fit/wheel", &van(hub, "mass 18 kg", &format!("{INSIDE}, centre bore 71.2 mm per bench"), ""));
    let verdict = found.about("wheel_rear.centre_bore");
    assert_eq!(
        verdict.message,
        "The wheel has a bore of 71.2 mm, the hub a spigot of 71.1 mm; it is centred."
    );
    assert_eq!(verdict.margin.as_deref(), Some("0.1 mm"));
    assert_eq!(verdict.safety, ["wheels"]);
    assert_eq!(found.text_of(verdict), "fit new for wheel_rear");
    let found = check("fit/wheel", &van(hub, "mass 18 kg", &format!("{INSIDE}, centre bore 66.6 mm"), ""));
    assert_eq!(
        found.about("wheel_rear.centre_bore").message,
        "The wheel has a bore of 66.6 mm, the hub a spigot of 71.1 mm, but it does not go on."
    );
    let found = check("fit/wheel", &van(hub, "mass 18 kg", &format!("{INSIDE}, centre bore 74 mm"), ""));
    assert_eq!(
        found.about("wheel_rear.centre_bore").message,
        "Nobody has said what centres the wheel, whose bore is 2.9 mm larger than the spigot: \
         it decides whether the hub centres the wheel."
    );
    let found = check("fit/wheel", &van(hub, "mass 18 kg", INSIDE, ""));
    let verdict = found.about("wheel_rear.centre_bore");
    assert_eq!(
        verdict.message,
        "Nobody has said the centre bore of the wheel rear: it decides whether the hub centres the wheel."
    );
}

#[test]
fn the_seat_is_that_of_the_nuts() {
    let new = format!("{INSIDE}, seat form \"ball, 12 mm\"");
    let found = check("fit/wheel", &van("seat form \"cone, 60 °\"", "mass 18 kg", &new, ""));
    let verdict = found.about("wheel_rear.seat_form");
    assert_eq!(
        verdict.message,
        "The wheel has seats of the form ball, 12 mm, but the nuts of the hub have cone, 60 °."
    );
    // Where the hub says nothing, the nuts are those that held the wheel before.
    let found = check("fit/wheel", &van("mass 9 kg", "seat form \"Ball 12 mm\"", &new, ""));
    assert_eq!(found.about("wheel_rear.seat_form").outcome.word(), "clear");
    let found = check("fit/wheel", &van("mass 9 kg", "mass 18 kg", &new, ""));
    assert_eq!(
        found.about("wheel_rear.seat_form").message,
        "Nobody has said the form of the seat of the nuts: it decides whether the nuts sit in the wheel."
    );
}

/// By hand: 188 − 181 = 7 mm; 183 − 181 = 2 mm.
#[test]
fn the_caliper_has_room_or_not() {
    let found = check("fit/wheel", &van("mass 9 kg", "mass 18 kg", INSIDE, ""));
    found.clear("The wheel leaves 7 mm over the caliper; 3 mm are wanted.");
    assert_eq!(found.only().margin.as_deref(), Some("4 mm"));
    let found = check("fit/wheel", &van("mass 9 kg", "mass 18 kg", "inner radius 183 mm", ""));
    found.clash("The wheel leaves 2 mm over the caliper, but 3 mm are wanted.");
    let found = check("fit/wheel", &van("mass 9 kg", "mass 18 kg", "mass 17 kg", ""));
    found.open(
        "Nobody has said the free radius inside the rim of the wheel rear: \
         it decides whether the wheel clears the caliper.",
    );
}

/// By hand: 2 × (52 − 40) = 24 mm; 2 % of 1620 mm = 32.4 mm.
#[test]
fn another_offset_moves_the_track() {
    let new = format!("{INSIDE}, offset 40 mm per bench");
    let found =
        check("fit/wheel", &van("mass 9 kg", "offset 52 mm per bench", &new, ", track 1620 mm per bench"));
    let verdict = found.about("wheel_rear.offset");
    assert_eq!(verdict.message, "The track becomes 24 mm wider; 2 % of 1620 mm are 32.4 mm.");
    let new = format!("{INSIDE}, offset 20 mm per bench");
    let found =
        check("fit/wheel", &van("mass 9 kg", "offset 52 mm per bench", &new, ", track 1620 mm per bench"));
    let verdict = found.about("wheel_rear.offset");
    assert_eq!(verdict.message, "The track becomes 64 mm wider, but 2 % of 1620 mm are 32.4 mm.");
    assert_eq!(verdict.outcome.word(), "clash");
    let found = check("fit/wheel", &van("mass 9 kg", "offset 52 mm per bench", &new, ""));
    assert_eq!(
        found.about("wheel_rear.offset").message,
        "Nobody has said the track of the vehicle: it decides how much wider it stands."
    );
}

#[test]
fn studs_are_compared_where_no_joint_does() {
    let hub = "face wheel { holes 5 on 118 mm, thread M14x1.5 }";
    let new = |holes: &str| format!("{INSIDE}, face hub {{ holes {holes}, bore 15 mm }}");
    let found = check("fit/wheel", &van(hub, "mass 18 kg", &new("5 on 118 mm"), ""));
    assert_eq!(
        found.about("wheel_rear.studs").message,
        "The wheel rear and the hub rear have the same 5 studs on 118 mm."
    );
    let found = check("fit/wheel", &van(hub, "mass 18 kg", &new("5 on 120 mm"), ""));
    assert_eq!(
        found.about("wheel_rear.studs").message,
        "The wheel rear does not go on the hub rear: the holes are on 120 mm against 118 mm; the bolts leave 1 mm of play."
    );
}
