use crate::testing::{Found, check};

fn camper(basis: &str, fridge: &str, wires: &str) -> Found {
    let source = format!(
        r#"
source sheet "Data sheets" documented
basis {{ {basis} }}
kind battery {{ asks mass }}
kind unit {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11, zone bay, cab, galley, attic
  place fridge is unit
  place pump is unit
  place battery is battery
  run bay to cab 1.8 m
  run cab to galley 2.6 m
  feed F9 is 12 V from battery, fuse 15 A, at bay
  ground G1 at bay }}
part cooler is unit fills fridge {{ plug W {{ 1 supply 12 V draw 5 A, 2 ground }}, {fridge} }}
part lift is unit fills pump {{ plug W {{ 1 supply 12 V draw 6 A, 2 ground }} }}
part lead is battery fills battery {{ plug P {{ 1 supply 12.8 V gives 100 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion cold {{ recipient camper, fit cooler, fit lift, fit lead
  {wires} }}"#
    );
    check("wire/drop", &source)
}

const ALL: &str = "cable is iso_6722_thin_wall, drop at most 3 %, ambient 20 °C";

#[test]
fn there_and_back_along_stated_lengths_is_clear() {
    let found = camper(
        ALL,
        "mass 9 kg",
        "wire F9 to fridge.W[1] 2.5 mm2 RD 4 m long\n  wire fridge.W[2] to G1 2.5 mm2 BK 4 m long",
    );
    // ISO 6722-1: 7.6 mΩ/m for 2.5 mm² at 20 °C; 5 A × 8 m × 7.6 mΩ/m = 0.304 V.
    found.clear(
        "The fridge at W[1] loses 0.3 V of 12 V, 2.5 %, there and back; at most 3 %, 0.36 V, may be lost.",
    );
    assert_eq!(found.only().subject, "fridge.W[1]");
    assert_eq!(found.only().margin.as_deref(), Some("0.056 V"));
    assert!(
        found.only().formula.as_deref().is_some_and(|it| it.ends_with("= 0.304 V of 12 V = 2.53 %")),
        "{:?}",
        found.only().formula
    );
}

#[test]
fn a_way_that_is_not_stated_is_the_sum_of_its_runs_with_an_allowance() {
    let found = camper(
        ALL,
        "mass 9 kg",
        "wire F9 to fridge.W[1] 1.5 mm2 RD by bay, cab, galley\n  wire fridge.W[2] to G1 1.5 mm2 BK by galley, cab, bay",
    );
    // 1.8 m + 2.6 m + 1 m = 5.4 m each way; 12.7 mΩ/m: 5 A × 10.8 m × 12.7 mΩ/m = 0.6858 V.
    found.clash("The fridge at W[1] loses 0.69 V of 12 V, 5.7 %, there and back, but at most 3 %, 0.36 V, may be lost.");
    assert_eq!(found.text(), "wire F9 to fridge.W[1] 1.5 mm2 RD by bay, cab, galley");
    assert!(found.fixed(0).contains("fridge.W[1] 4 mm2 RD") && found.fixed(0).contains("to G1 4 mm2 BK"));
    assert!(found.only().sources.iter().any(|it| it == "wire allowance 1 m: common practice, no source"));
}

#[test]
fn the_least_voltage_it_works_on_counts_too() {
    let found = camper(
        ALL,
        "voltage window 11.8 V to 15 V",
        "wire F9 to fridge.W[1] 2.5 mm2 RD 4 m long\n  wire fridge.W[2] to G1 2.5 mm2 BK 4 m long",
    );
    found.clash("The fridge at W[1] loses 0.3 V of 12 V, 2.5 %, there and back, but it works from 11.8 V.");
}

#[test]
fn what_flows_in_a_shared_wire_is_the_sum_behind_it() {
    let wires = "splice pump.W[1] to fridge.W[1]
  wire battery.P[1] to fridge.W[1] 2.5 mm2 RD 1 m long
  wire fridge.W[2] to battery.P[2] 2.5 mm2 BK 1 m long
  wire pump.W[2] to fridge.W[2] 2.5 mm2 BK 1 m long";
    let found = camper(ALL, "mass 9 kg", wires);
    // 11 A × 2 m × 7.6 mΩ/m + 6 A × 1 m × 7.6 mΩ/m = 0.2128 V.
    found.clear(
        "Each of 2 consumers keeps its voltage; the tightest: the pump at W[1] loses 0.21 V of 12.8 V, 1.7 %, \
         there and back; at most 3 %, 0.38 V, may be lost.",
    );
}

#[test]
fn what_nobody_said_is_open() {
    camper("drop at most 3 %", "mass 9 kg", "wire F9 to fridge.W[1] 2.5 mm2 RD 4 m long\n  wire fridge.W[2] to G1 2.5 mm2 BK 4 m long")
        .open("Nobody has said which basis is taken for the cable: it decides whether consumers on new wires keep their voltage.");
    camper(ALL, "mass 9 kg", "wire F9 to fridge.W[1] 2.5 mm2 RD\n  wire fridge.W[2] to G1 2.5 mm2 BK by galley, attic").open(
        "Nobody has said the length of the wire from F9 to fridge.W[1] and how long the way from attic to galley is: \
         it decides whether consumers on new wires keep their voltage.",
    );
    // The missing ground wire is told by plug/cavity.
    camper(ALL, "mass 9 kg", "wire F9 to fridge.W[1] 2.5 mm2 RD 4 m long").silent();
}

#[test]
fn a_size_the_table_does_not_have_is_open() {
    let found = camper(
        ALL,
        "mass 9 kg",
        "wire F9 to fridge.W[1] 2.2 mm2 RD 4 m long\n  wire fridge.W[2] to G1 2.5 mm2 BK 4 m long",
    );
    assert_eq!(found.only().outcome.word(), "open");
    assert!(found.only().message.contains("wire of 2.2 mm²"), "{}", found.only().message);
}
