use crate::testing::{Found, check};

/// A clutch pedal box with what hangs on it, and a conversion that ends as given.
fn van(changes: &str) -> Found {
    check(
        "loose/end",
        &format!(
            r#"
source manual "Manual" documented 2016-03
kind pedal_box "clutch pedal box" {{ asks mount bracket, opening bulkhead, link rod
  asks port supply carrying brake_fluid
  asks plug S1
  stays rod }}
kind body_controller {{ asks plug J2 }}
kind reservoir {{ asks mass
  safety brakes }}
kind shell {{ asks corrosion }}
kind lever {{ asks link shift }}
connector shell2 {{ cavities 2 }}
family Dunlin {{ built 2009-06 to 2018-12
  option gearbox is manual, automatic
  place clutch_pedal is pedal_box
  place body is shell
  place brake_reservoir is reservoir
  place body_controller is body_controller
  place selector is lever
  place ratchet is lever with gearbox manual
  joint clutch_pedal.bracket to body.pedal_bracket per manual
  joint clutch_pedal.bulkhead to body.clutch_hole per manual
  line clutch_supply "clutch hose" joins brake_reservoir.clutch_out to clutch_pedal.supply, 8 mm bore per manual
  ground G2 at cabin
  zone cabin }}
loom main of Dunlin {{
  wire clutch_pedal.S1[1] to G2 0.5 mm2 BN per manual
  wire clutch_pedal.S1[2] to body_controller.J2[31] 0.5 mm2 VT/WH per manual }}
part pedal_dunlin "pedal box" is pedal_box fills clutch_pedal {{
  fitted on Dunlin
  mount bracket, opening bulkhead, port supply carrying brake_fluid
  plug S1 is shell2 {{ 1 ground, 2 switch clutch_switch out }} }}
part pedal_plain is pedal_box {{
  mount bracket, opening bulkhead none, port supply carrying brake_fluid
  plug S1 is shell2 {{ 1 ground, 2 empty }} }}
part reservoir_dunlin is reservoir fills brake_reservoir {{ fitted on Dunlin, port clutch_out carrying brake_fluid }}
part shell_dunlin is shell fills body {{ fitted on Dunlin
  mount pedal_bracket "bracket of the clutch pedal"
  opening clutch_hole }}
part controller is body_controller fills body_controller {{ fitted on Dunlin, plug J2 {{ 31 switch start_release in }} }}
part cap is reservoir
part lever_auto is lever {{ link shift }}
part lever_old is lever fills ratchet {{ fitted on Dunlin, link shift, mount base }}
part lever_two is lever {{ link shift, mount base }}
vehicle van is Dunlin {{ built 2012-04, gearbox manual }}
conversion easy {{ recipient van
  {changes}
}}"#
        ),
    )
}

fn messages(found: &Found) -> Vec<&str> {
    found.verdicts().iter().map(|it| it.message.as_str()).collect()
}

#[test]
fn a_pedal_box_leaves_loose_ends_in_every_medium() {
    let found = van("remove clutch_pedal because \"no third pedal\"");
    assert_eq!(
        messages(&found),
        [
            "The mount \"bracket of the clutch pedal\" of the body is loose: the mount bracket of the clutch pedal was joined to it, \
             and nobody has said what becomes of it.",
            "The opening clutch hole of the body is loose: the opening bulkhead of the clutch pedal was joined to it, \
             and nobody has said what becomes of it.",
            "The port clutch out of the brake reservoir is loose: the line \"clutch hose\" led from it to the port supply \
             of the clutch pedal, and nobody has said what becomes of it.",
            "The wire BN from the ground G2 is loose: it went to S1[1] of the clutch pedal, \
             and nobody has said what becomes of it.",
            "The wire VT/WH from J2[31] of the body controller is loose: it went to S1[2] of the clutch pedal, \
             and nobody has said what becomes of it.",
        ]
    );
    let gates: Vec<_> =
        found.verdicts().iter().map(|it| it.question.as_ref().expect("asked").gate.word()).collect();
    assert_eq!(gates, ["road", "no return", "power", "power", "power"]);
    let supply = found.about("brake_reservoir.clutch_out");
    assert_eq!(supply.safety, ["brakes"]);
    assert_eq!(supply.because, ["no third pedal"]);
    assert_eq!(found.text_of(supply), "remove clutch_pedal because \"no third pedal\"");
    let fixes: Vec<_> = supply.fixes.iter().map(|it| it.edits[0].text.trim()).collect();
    assert_eq!(
        fixes,
        [
            "blank brake_reservoir.clutch_out",
            "join brake_reservoir.clutch_out to …",
            "accept loose/end brake_reservoir.clutch_out by \"…\" because \"…\"",
        ]
    );
    assert_eq!(found.about("clutch_pedal.S1[2]").fixes[0].edits[0].text.trim(), "blank clutch_pedal.S1[2]");
}

const ANSWERS: &str = "remove clutch_pedal
  blank body.pedal_bracket
  blank body.clutch_hole
  blank brake_reservoir.clutch_out
  blank clutch_pedal.S1[1]";

#[test]
fn answered_ends_are_clear() {
    let found = van(&format!("{ANSWERS}\n  splice G2 to clutch_pedal.S1[2]"));
    found.clear("All 5 ends at the clutch pedal are joined or answered.");
    assert_eq!(found.text(), "remove clutch_pedal");
    // The whole plug may be blanked, or the wire taken out at its other end.
    van(&ANSWERS.replace("S1[1]", "S1")).clear("All 5 ends at the clutch pedal are joined or answered.");
    van(&format!("{ANSWERS}\n  blank body_controller.J2[31]"))
        .clear("All 5 ends at the clutch pedal are joined or answered.");
}

#[test]
fn one_blanked_cavity_does_not_answer_for_its_plug() {
    let found = van(ANSWERS);
    assert_eq!(found.only().subject, "clutch_pedal.S1[2]");
    let moved = van(&format!("{ANSWERS}\n  move clutch_pedal.S1[2] to selector.L1[4]"));
    moved.clear("All 4 ends at the clutch pedal are joined or answered.");
}

#[test]
fn a_fix_can_be_applied() {
    let found = van(ANSWERS);
    let fixed = found.fixed(0);
    assert!(fixed.ends_with("blank clutch_pedal.S1[1]\n  blank clutch_pedal.S1[2]\n}"), "{fixed}");
    check("loose/end", &fixed).clear("All 5 ends at the clutch pedal are joined or answered.");
}

#[test]
fn an_accepted_end_stays_open_with_its_reason() {
    let found =
        van(&format!("{ANSWERS}\n  accept loose/end clutch_pedal.S1[2] because \"taped back\" by \"M. O.\""));
    assert_eq!(found.only().accepted.as_deref(), Some("taped back, M. O."));
}

#[test]
fn what_comes_in_keeps_the_joints_of_the_same_name() {
    let found = van("fit pedal_plain for clutch_pedal");
    assert_eq!(
        messages(&found),
        [
            "The opening clutch hole of the body is loose: the opening bulkhead of the clutch pedal was joined to it, \
             and nobody has said what becomes of it.",
            "The wire VT/WH from J2[31] of the body controller is loose: it went to S1[2] of the clutch pedal, \
             and nobody has said what becomes of it.",
        ]
    );
    van("fit pedal_dunlin for clutch_pedal").clear("All 5 ends at the clutch pedal are joined or answered.");
}

#[test]
fn an_end_that_comes_in_must_be_joined() {
    let found = van("fit lever_auto for selector");
    found.open("The link shift of the selector is loose: nobody has said what it is joined to.");
    assert_eq!(found.only().fixes[0].edits[0].text.trim(), "join selector.shift to …");
    van("fit lever_auto for selector\n  joint selector.shift to body.lever")
        .clear("The one end at the selector is joined or answered.");
}

#[test]
fn ends_that_nobody_drew_are_asked_for_once_a_place() {
    let found = van("fit lever_two for ratchet");
    found.open(
        "Nobody has said what is joined to these ends of the ratchet, before the changes or after: \
         link shift, mount base.",
    );
    assert_eq!(found.only().subject, "ratchet");
    assert_eq!(found.only().question.as_ref().expect("asked").gate.word(), "road");
    assert!(found.fixed(0).contains("join ratchet.shift to …"));
    van("fit lever_two for ratchet, blank ratchet.shift, blank ratchet.base")
        .clear("All 2 ends at the ratchet are joined or answered.");
}

#[test]
fn what_hung_on_a_removed_part_that_nobody_drew_is_open() {
    let found = van("remove ratchet, blank ratchet.base");
    found.open(
        "Something was joined to the link shift of the ratchet, and nobody has said what it was and what becomes of it.",
    );
    assert_eq!(found.only().question.as_ref().expect("asked").tool.as_deref(), Some("look"));
    assert!(found.fixed(0).contains("blank ratchet.shift"));
}

#[test]
fn an_end_whose_partner_is_joined_elsewhere_is_loose() {
    let found = van("place air is lever in cabin\n  joint air.mount to body.pedal_bracket");
    found.open(
        "The mount bracket of the clutch pedal is loose: the mount \"bracket of the clutch pedal\" of the body was joined to it, \
         and nobody has said what becomes of it.",
    );
    assert_eq!(found.text(), "joint air.mount to body.pedal_bracket");
}

#[test]
fn a_vehicle_that_nobody_touches_has_none() {
    van("budget 100 EUR").silent();
}
