//! Duties in each state: clear, clash and open.

use crate::testing::{Found, check};

/// A lever whose kind says when the start release must come, and a controller that listens.
fn lever(contact: &str, wires: &str) -> Found {
    check(
        "state/duty",
        &format!(
            r#"
source wiring "Wiring diagrams" documented
kind lever {{ asks mass
  duty start_release only when park, neutral during crank, because "it must not start in gear" }}
family Dunlin {{ built 2009-06 to 2018-12
  place selector is lever
  place body_controller
  zone cabin
  feed F40 is 12 V from battery, fuse 20 A per wiring
  ground G2 at cabin }}
module body fills body_controller {{ fitted on Dunlin
  plug J2 {{ 1 supply 12 V draw 10 A, 2 ground, 31 switch start_release in }} per wiring }}
part lever_auto is lever fills selector {{ plug L1 {{ 1 supply 12 V draw 1 A, 2 ground, 5 switch start_inhibit out }}
  {contact} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{
  recipient van
  fit lever_auto
  {wires}
}}"#
        ),
    )
}

const WIRES: &str =
    "wire selector.L1[2] to G2 per wiring\n  wire selector.L1[5] to body_controller.J2[31] per wiring";

#[test]
fn it_comes_in_its_positions_only() {
    let found = lever("contact L1[5] to L1[2] when park, neutral per wiring", WIRES);
    found.clear(
        "In crank, start release reaches body_controller.J2[31] with the gear in park or neutral only, \
         from G2 by selector.L1[2] and selector.L1[5].",
    );
    assert_eq!(found.text(), "fit lever_auto");
    assert_eq!(found.only().subject, "selector.start_release");
    assert_eq!(found.only().because, ["it must not start in gear"]);
    assert!(found.only().sources.iter().any(|it| it == "Wiring diagrams (documented)"));
}

#[test]
fn where_it_comes_too_is_a_clash_with_the_way() {
    lever("contact L1[5] to L1[2] when park, neutral, reverse", WIRES).clash(
        "In crank with the gear in reverse, start release reaches body_controller.J2[31] \
         from G2 by selector.L1[2] and selector.L1[5]; it must come with the gear in park or neutral only.",
    );
    // The wires of the clutch switch bridged: the starter turns in any gear.
    lever("contact L1[5] to L1[2] when park, neutral", "wire G2 to body_controller.J2[31]").clash(
        "In crank with the gear in drive, start release reaches body_controller.J2[31] straight from G2; \
         it must come with the gear in park or neutral only.",
    );
}

#[test]
fn where_it_does_not_come_is_a_clash() {
    lever("contact L1[5] to L1[2] when park", WIRES).clash(
        "In crank with the gear in neutral, start release does not reach body_controller.J2[31]: \
         neither a supply nor ground is joined to it.",
    );
    lever("contact L1[5] to L1[2] when park, neutral", "wire selector.L1[2] to G2").clash(
        "In crank with the gear in park, start release does not reach body_controller.J2[31]: \
         neither a supply nor ground is joined to it.",
    );
}

#[test]
fn a_contact_that_nobody_stated_is_open_and_can_be_stated() {
    let found = lever("mass 2 kg", WIRES);
    found.open(
        "Whether start release reaches body_controller.J2[31] with the gear in park or neutral only \
         cannot be told in crank with the gear in drive: \
         nobody has said when lever auto gives at selector.L1[5].",
    );
    let question = found.only().question.as_ref().expect("asked");
    assert_eq!(question.gate.word(), "power");
    assert_eq!(question.type_in.as_deref(), Some("in part lever_auto: contact L1[5] to … when …"));
    assert!(found.fixed(0).contains("contact L1[5] to … when … }"), "{}", found.fixed(0));
}

#[test]
fn nobody_listens_that_anybody_named() {
    let text = |ask: &str| {
        format!(
            "kind lever {{ asks mass{ask}\n  duty reverse_lamp only when reverse }}\n\
             family Dunlin {{ built 2009-06 to 2018-12, place selector is lever }}\n\
             part lever_auto is lever fills selector {{ mass 2 kg }}\n\
             vehicle van is Dunlin {{ built 2012-04 }}\n\
             conversion easy {{ recipient van, fit lever_auto }}"
        )
    };
    check("state/duty", &text("")).open(
        "Nobody has said which cavity listens to reverse lamp, \
         so whether it comes with the gear in reverse only cannot be told.",
    );
    // The kind asks for the signal already: one question, not two.
    check("state/duty", &text(", signal reverse_lamp")).silent();
}

/// A charger locks the drive: its contact opens while the cable is in.
fn charger(contact: &str) -> Found {
    check(
        "state/duty",
        &format!(
            "kind charging_unit {{ asks mass\n  duty drive_release never during charging }}\n\
             family Dunlin {{ built 2009-06 to 2018-12\n  place charger is charging_unit\n  place inverter, zone cabin\n\
             feed F31 is 12 V from battery }}\n\
             part box is charging_unit fills charger {{ plug X1 {{ 1 supply 12 V in, 2 signal drive_release out }}\n  {contact} }}\n\
             part drive fills inverter {{ plug X2 {{ 4 signal drive_release in }} }}\n\
             vehicle van is Dunlin {{ built 2012-04 }}\n\
             conversion easy {{ recipient van, fit box, fit drive\n\
             wire F31 to charger.X1[1]\n wire charger.X1[2] to inverter.X2[4] }}"
        ),
    )
}

#[test]
fn no_drive_while_charging() {
    charger("contact X1[1] to X1[2] when on, run")
        .clear("Drive release never reaches inverter.X2[4] in charging.");
    charger("contact X1[1] to X1[2]").clash(
        "In charging, drive release reaches inverter.X2[4] from F31 by charger.X1[1] and charger.X1[2]; \
         it must never come in charging.",
    );
    charger("mass 3 kg").open(
        "Whether drive release reaches inverter.X2[4] cannot be told in charging: \
         nobody has said when box gives at charger.X1[2].",
    );
}

/// With a pedal and a lever in one circuit, each duty asks only for its own position: the other
/// may stand where it allows it.
#[test]
fn two_switches_in_series_hold_both_duties() {
    let found = check(
        "state/duty",
        "kind lever { asks mass\n  duty start_release only when park, neutral during crank }\n\
         kind pedal { asks mass\n  duty start_release only when pressed during crank }\n\
         family Dunlin { built 2009-06 to 2018-12\n  place selector is lever\n  place brake_pedal is pedal\n  place body_controller, zone cabin\n\
         ground G2 at cabin }\n\
         part lever_auto is lever fills selector { plug L1 { 2 ground, 5 switch inhibit out }, contact L1[2] to L1[5] when park, neutral }\n\
         part box is pedal fills brake_pedal { plug S1 { 1 switch inhibit in, 2 switch start out }, contact S1[1] to S1[2] when pressed }\n\
         part body fills body_controller { plug J2 { 31 switch start_release in } }\n\
         vehicle van is Dunlin { built 2012-04 }\n\
         conversion easy { recipient van, fit lever_auto, fit box, fit body\n\
         wire selector.L1[2] to G2\n wire selector.L1[5] to brake_pedal.S1[1]\n wire brake_pedal.S1[2] to body_controller.J2[31] }",
    );
    let way = "from G2 by selector.L1[2], selector.L1[5], brake_pedal.S1[1] and brake_pedal.S1[2]";
    assert_eq!(
        found.about("selector.start_release").message,
        format!(
            "In crank, start release reaches body_controller.J2[31] with the gear in park or neutral only, {way}."
        )
    );
    assert_eq!(
        found.about("brake_pedal.start_release").message,
        format!(
            "In crank, start release reaches body_controller.J2[31] with the brake pedal pressed only, {way}."
        )
    );
}
