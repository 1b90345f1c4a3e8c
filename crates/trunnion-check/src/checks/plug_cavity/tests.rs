use crate::testing::check;

/// A brake controller that is replaced, with its loom; `{late}` are the cavities of the new one.
fn van(late: &str, wires: &str, changes: &str) -> String {
    format!(
        r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_controller, body_controller is unit
  feed F12 is 12 V from on
  feed F13 is 12 V from on
  zone cabin
  ground G1 at cabin }}
terminal blade_15 {{ rating 15 A }}
terminal blade_28 {{ rating 30 A }}
connector shell9 {{ cavities 9, terminal blade_15, cavity 1 terminal blade_28 }}
module early is unit fills brake_controller {{ fitted on Dunlin
  plug B1 is shell9 {{ 1 supply 12 V, 2 ground, 5 signal reverse_lamp in }} }}
module late is unit fills brake_controller {{ plug B1 is shell9 {{ {late} }} }}
module body is unit fills body_controller {{ fitted on Dunlin, plug J2 is shell9 {{ 4 signal pump in, 5 signal reverse_lamp out }} }}
loom main of Dunlin {{
  splice S1 at cabin
  wire F12 to brake_controller.B1[1]
  wire brake_controller.B1[2] to G1
  wire body_controller.J2[5] to brake_controller.B1[5]
  {wires}
}}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit late, {changes} budget 100 EUR }}"
    )
}

const LATE: &str = "1 supply 12 V, 2 ground, 5 signal reverse_lamp in, 6 signal pump out, 7 signal spare in";

#[test]
fn every_wire_in_its_cavity_is_clear() {
    let found = check("plug/cavity", &van(LATE, "", ""));
    found.clear("Each of the 3 wires in plug B1 of late ends in a cavity that is there for it.");
}

#[test]
fn a_cavity_taken_twice_is_a_clash_and_the_new_wire_goes_to_the_next_free_one() {
    let found =
        check("plug/cavity", &van(LATE, "", "wire body_controller.J2[4] to brake_controller.B1[5] 0.5 mm2,"));
    let clash = found.about("brake_controller.B1[5]");
    assert_eq!(
        clash.message,
        "Cavity 5 of plug B1 of late is taken twice: by the wire from body_controller.J2[5] and by the one from \
         body_controller.J2[4]."
    );
    assert_eq!(found.text_of(clash), "wire body_controller.J2[4] to brake_controller.B1[5] 0.5 mm2");
    assert_eq!(clash.fixes[0].edits[0].text, "6");
}

#[test]
fn two_wires_of_one_net_may_share_a_cavity() {
    let same = "wire F13 to S1\n  wire S1 to brake_controller.B1[6]\n  wire S1 to brake_controller.B1[6]";
    let found = check("plug/cavity", &van(LATE, same, ""));
    assert_eq!(found.about("brake_controller.B1").outcome.word(), "clear", "{}", found.listing());
    let differ = "wire F13 to brake_controller.B1[6]\n  wire F12 to brake_controller.B1[6]";
    assert_eq!(
        check("plug/cavity", &van(LATE, differ, "")).about("brake_controller.B1[6]").outcome.word(),
        "clash"
    );
}

#[test]
fn a_wire_beyond_the_housing_or_in_an_empty_cavity_is_a_clash() {
    let found = check("plug/cavity", &van(LATE, "wire F13 to brake_controller.B1[12]", ""));
    found.clash(
        "The wire from F13 ends in brake_controller.B1[12], but shell9 has 9 cavities and no cavity 12.",
    );
    let empty = format!("{LATE}, 8 empty");
    let found = check("plug/cavity", &van(&empty, "wire F13 to brake_controller.B1[8]", ""));
    found
        .clash("The wire from F13 ends in brake_controller.B1[8], but cavity 8 of plug B1 of late is empty.");
    assert_eq!(found.text(), "wire F13 to brake_controller.B1[8]");
    assert!(
        found.fixed(0).contains("budget 100 EUR, move brake_controller.B1[8] to brake_controller.B1[6] }")
    );
}

#[test]
fn a_pin_that_changed_its_place_is_a_clash_and_moving_the_terminal_mends_it() {
    let moved = "1 supply 12 V, 2 ground, 5 signal start in, 7 signal reverse_lamp in";
    let found = check("plug/cavity", &van(moved, "", ""));
    found.clash(
        "The wire from body_controller.J2[5] ends in brake_controller.B1[5], but it is for signal reverse lamp, \
         and cavity 5 of late is for signal start.",
    );
    let mended = found.fixed(0);
    assert!(mended.contains("move brake_controller.B1[5] to brake_controller.B1[7]"), "{mended}");
    let again = check("plug/cavity", &mended);
    assert_eq!(again.about("brake_controller.B1").outcome.word(), "clear", "{}", again.listing());
}

#[test]
fn a_supply_without_a_wire_is_a_clash() {
    let found = check("plug/cavity", &van(&format!("{LATE}, 8 can_high drive, 9 ground"), "", ""));
    found.clash("In plug B1 of late cavities 8 (can high drive) and 9 (ground) have no wire.");
    assert!(found.fixed(0).contains("wire brake_controller.B1[8] to … 0.5 mm2 }"));
}

#[test]
fn a_cavity_nobody_described_is_open() {
    let found = check("plug/cavity", &van("1 supply 12 V, 2 ground", "", ""));
    found.open("Nobody has said what cavity 5 of plug B1 of late is for; wires end there.");
    let good = found.only().question.as_ref().and_then(|it| it.good.as_deref());
    assert_eq!(good, Some("as before: 5: signal reverse lamp"));
}

#[test]
fn faults_of_the_plug_itself_are_clashes() {
    let found = check("plug/cavity", &van(&format!("{LATE}, 6 lamp tail out"), "", ""));
    found.clash("Plug B1 of late: cavity 6 is listed twice, as signal pump and as lamp tail.");
    assert!(found.fixed(0).contains("3 lamp tail out"), "{}", found.fixed(0));
    check("plug/cavity", &van(&format!("{LATE}, 12 lamp tail out"), "", ""))
        .clash("Plug B1 of late: shell9 has 9 cavities and no cavity 12.");
    let found =
        check("plug/cavity", &van(&LATE.replace("1 supply 12 V", "1 supply 12 V terminal blade_15"), "", ""));
    found.clash("Cavity 1 of shell9 takes the terminal blade 28, and late states blade 15 for it.");
    assert!(found.fixed(0).contains("1 supply 12 V terminal blade_28"));
}
