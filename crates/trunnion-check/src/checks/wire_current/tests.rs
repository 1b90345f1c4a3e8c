use crate::testing::{Found, check};

/// A feed, a heater, a box with two ways; `wires` are the changes.
fn van(basis: &str, wires: &str) -> Found {
    let source = format!(
        r#"
source sheet "Data sheets" documented
basis {{ {basis} }}
kind battery {{ asks mass }}
kind box {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11, zone bay, cab, locker
  place heater, lamp, radio
  place fuse_box is box
  place battery is battery
  run bay to cab 1.8 m
  run cab to locker 1.9 m
  feed F9 is 12 V from battery, fuse 40 A, at bay
  ground G1 at bay }}
part fan_heater fills heater {{ plug H {{ 1 supply 12 V draw 32 A, 2 ground }} }}
part bulb fills lamp {{ plug L {{ 1 lamp 12 V draw 4 A in, 2 ground }} }}
part set fills radio {{ plug R {{ 1 supply 12 V, 2 ground, 3 signal wake in }} }}
part ways is box fills fuse_box {{ plug B {{ 1 supply 12 V in, 2 supply 12 V out, 3 supply 12 V out }} }}
part lead is battery fills battery {{ plug P {{ 1 supply 12 V gives 600 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion warm {{ recipient camper, fit fan_heater, fit bulb, fit set, fit ways, fit lead
  {wires} }}"#
    );
    check("wire/current", &source)
}

const ALL: &str = "current is cfr_183_425, insulation 105 °C, ambient 50 °C";

#[test]
fn what_it_carries_against_the_table_is_clear_with_its_margin() {
    let found = van(ALL, "wire F9 to heater.H[1] 4 mm2 RD by bay, cab");
    // 33 CFR 183.425 Table 5: 12 AWG at 105 °C 45 A; note 1: 0.85 in the engine space.
    found.clear(
        "The wire from F9 to heater.H[1] carries 32 A; 4 mm² with insulation for 105 °C may carry 38.25 A at \
         50 °C (33 CFR 183.425).",
    );
    assert_eq!(found.only().margin.as_deref(), Some("6.25 A"));
    assert_eq!(found.only().subject, "heater.H[1]");
    assert!(
        found
            .only()
            .notes
            .iter()
            .any(|it| it == "4 mm² counts as 12 AWG, the thickest gauge of the table that is not above it.")
    );
}

#[test]
fn too_thin_is_a_clash_with_the_next_size_that_holds() {
    let found = van(ALL, "wire F9 to heater.H[1] 1.5 mm2 RD by bay, cab");
    found.clash(
        "The wire from F9 to heater.H[1] carries 32 A, but 1.5 mm² with insulation for 105 °C may carry 21.25 A \
         at 50 °C (33 CFR 183.425).",
    );
    assert_eq!(found.text(), "wire F9 to heater.H[1] 1.5 mm2 RD by bay, cab");
    assert!(found.fixed(0).contains("wire F9 to heater.H[1] 4 mm2 RD by bay, cab"));
    assert_eq!(found.only().margin.as_deref(), Some("−10.75 A"));
}

#[test]
fn a_gauge_is_mended_by_a_gauge() {
    let found = van(ALL, "wire F9 to heater.H[1] 16 AWG RD by bay, cab");
    assert_eq!(found.only().outcome.word(), "clash");
    assert!(found.fixed(0).contains("H[1] 12 AWG RD"));
}

#[test]
fn draws_add_up_through_a_box_and_only_the_tightest_speaks() {
    let found = van(
        ALL,
        "wire battery.P[1] to fuse_box.B[1] 6 mm2 RD by cab
  wire fuse_box.B[2] to heater.H[1] 6 mm2 RD by cab
  wire fuse_box.B[3] to lamp.L[1] 1 mm2 RD by cab",
    );
    found.clear(
        "Each of 3 wires carries its current; the tightest: the wire from battery.P[1] to fuse_box.B[1] carries \
         36 A; 6 mm² with insulation for 105 °C may carry 51 A at 50 °C (33 CFR 183.425).",
    );
}

#[test]
fn what_returns_through_ground_counts_too() {
    let found = van(ALL, "wire F9 to heater.H[1] 6 mm2 RD by cab\n  wire heater.H[2] to G1 1 mm2 BN by cab");
    let clash = found.about("heater.H[2]");
    assert_eq!(clash.outcome.word(), "clash");
    assert!(clash.message.starts_with("The wire from heater.H[2] to G1 carries 32 A"), "{}", clash.message);
}

#[test]
fn a_size_below_the_table_is_open_and_never_extrapolated() {
    let found = van(ALL, "wire F9 to lamp.L[1] 0.5 mm2 RD by cab");
    found.open(
        "It cannot be told whether new wires carry their current and their fuses protect them: Table 5 of 33 CFR \
         183.425 begins at 18 AWG (0.82 mm²) and is not extrapolated to 0.5 mm².",
    );
}

#[test]
fn no_basis_is_open_once_and_no_table_is_a_default() {
    let found =
        van("drop at most 3 %", "wire F9 to lamp.L[1] 1 mm2 by cab\n  wire lamp.L[2] to G1 1 mm2 by cab");
    found.open(
        "Nobody has said which basis is taken for the current: it decides whether new wires carry their current \
         and their fuses protect them; the same for 1 more.",
    );
}

#[test]
fn what_nobody_said_is_bounded_by_the_fuse_or_asked_for() {
    let found = van(ALL, "wire F9 to radio.R[1] 6 mm2 RD by cab");
    found.clear(
        "The wire from F9 to radio.R[1] carries 40 A, what its fuse lets through; 6 mm² with insulation for 105 °C \
         may carry 51 A at 50 °C (33 CFR 183.425).",
    );
    let found = van(ALL, "wire battery.P[1] to radio.R[1] 6 mm2 RD by cab");
    found.open(
        "Nobody has said what the radio at R[1] draws: it decides whether new wires carry their current and their \
         fuses protect them.",
    );
}

#[test]
fn two_ways_to_one_place_leave_it_open_which_carries_what() {
    let found = van(
        ALL,
        "wire F9 to heater.H[1] 6 mm2 RD by cab\n  wire heater.H[2] to G1 6 mm2 BN by cab\n  wire heater.H[2] to G1 1.5 mm2 BN by cab",
    );
    // 16 AWG at 105 °C 25 A, 0.85 in the engine space.
    let open = found.about("heater.H[2]");
    assert_eq!(
        open.message,
        "The wire from heater.H[2] to G1 carries up to 32 A; 1.5 mm² with insulation for 105 °C may carry 21.25 A at \
         50 °C (33 CFR 183.425): the tolerances leave both possible."
    );
    assert!(open.notes.iter().any(|it| it.starts_with("Two ways lead to the same place")));
}

#[test]
fn what_a_unit_feeds_from_its_own_output_comes_back_to_it() {
    let source = format!(
        r#"
basis {{ {ALL} }}
kind unit {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11, zone cab
  place controller is unit
  place valves is unit
  feed F9 is 12 V from battery, fuse 40 A, at cab
  ground G1 at cab }}
module brain is unit fills controller {{
  plug K {{ 1 supply 12 V draw 15 A, 2 ground }}
  plug V {{ 1 supply 12 V out, 2 ground }} }}
part coils is unit fills valves {{ plug T {{ 1 supply 12 V draw 6 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion shift {{ recipient camper, fit brain, fit coils
  wire F9 to controller.K[1] 6 mm2 RD by cab
  wire controller.K[2] to G1 1 mm2 BN by cab
  wire controller.V[1] to valves.T[1] 1 mm2 RD by cab
  wire valves.T[2] to controller.V[2] 1 mm2 BN by cab }}"#
    );
    // 15 A in all, not 21 A: 18 AWG at 105 °C carries 20 A × 0.85 = 17 A.
    check("wire/current", &source).clear(
        "Each of 4 wires carries its current; the tightest: the wire from controller.K[2] to G1 carries 15 A; 1 mm² \
         with insulation for 105 °C may carry 17 A at 50 °C (33 CFR 183.425).",
    );
}
