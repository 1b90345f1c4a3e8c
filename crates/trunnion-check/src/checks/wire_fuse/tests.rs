use crate::testing::{Found, check};

fn van(basis: &str, holder: &str, wires: &str) -> Found {
    let source = format!(
        r#"
source sheet "Data sheets" documented
basis {{ {basis} }}
kind battery {{ asks mass }}
kind fuse_holder {{ asks fuse }}
kind unit {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11, zone bay, cab
  place heater is unit
  place lamp is unit
  place radio is unit
  place holder is fuse_holder
  place box is unit
  place relay is unit
  place battery is battery
  feed F9 is 12 V from battery, fuse 15 A, at bay
  ground G1 at bay }}
part fan is unit fills heater {{ plug H {{ 1 supply 12 V draw 20 A, 2 ground }} }}
part bulb is unit fills lamp {{ plug L {{ 1 lamp roof 12 V draw 4 A in, 2 ground }} }}
part set is unit fills radio {{ plug R {{ 1 supply 12 V, 2 ground }} }}
part strip is fuse_holder fills holder {{ plug F {{ 1 supply 12 V in, 2 supply 12 V out }}, {holder} }}
part strip_30 is fuse_holder fills holder {{ plug F {{ 1 supply 12 V in, 2 supply 12 V out }}, fuse 30 A, offer 9 EUR }}
part ways is unit fills box {{ plug B {{ 1 supply 12 V in, 2 supply 12 V out gives 5 A, 3 supply 12 V out gives 15 A }} }}
part closer is unit fills relay {{ plug K {{ 1 supply 12 V, 2 supply 12 V, 3 coil in, 4 ground }}, contact K[1] to K[2] with coil K[3], K[4] }}
part lead is battery fills battery {{ plug P {{ 1 supply 12 V gives 600 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion warm {{ recipient camper, fit fan, fit bulb, fit set, fit strip, fit ways, fit lead, fit closer
  {wires} }}"#
    );
    check("wire/fuse", &source)
}

const ALL: &str = "current is cfr_183_425, insulation 105 °C, ambient 50 °C";

#[test]
fn between_load_and_wire_is_clear() {
    let found = van(ALL, "fuse 10 A", "wire F9 to lamp.L[1] 1 mm2 RD by bay, cab");
    // 4 A / 75 % = 5.333 A; Table 5: 18 AWG at 105 °C 20 A, 0.85 in the engine space.
    found.clear(
        "The fuse of F9 is 15 A; 4 A behind it want 5.333 A at least, and the wire from F9 to lamp.L[1] (1 mm²) \
         may have 17 A.",
    );
    assert_eq!(found.only().margin.as_deref(), Some("2 A"));
    assert_eq!(found.only().subject, "F9");
}

#[test]
fn too_large_for_the_wire_is_a_clash_with_fuse_and_wire_that_would_do() {
    let wires = "wire battery.P[1] to holder.F[1] 10 mm2 RD by bay, 0.2 m long\n  wire holder.F[2] to heater.H[1] 2.5 mm2 RD by bay, cab";
    let found = van(ALL, "fuse 60 A", wires);
    found.clash(
        "The holder is 60 A, but 20 A behind it want 26.67 A at least, and the wire from holder.F[2] to heater.H[1] \
         (2.5 mm²) may have 29.75 A.",
    );
    assert_eq!(found.text(), "wire holder.F[2] to heater.H[1] 2.5 mm2 RD by bay, cab");
    // 30 A does not protect 29.75 A: only the thicker wire is offered. Table 5: 8 AWG 80 A × 0.85 = 68 A.
    assert!(found.fixed(0).contains("heater.H[1] 10 mm2 RD"), "{}", found.fixed(0));
}

#[test]
fn too_small_for_the_load_is_a_clash_with_the_one_that_would_do() {
    let wires = "wire battery.P[1] to holder.F[1] 10 mm2 RD by bay, 0.2 m long\n  wire holder.F[2] to heater.H[1] 4 mm2 RD by bay, cab";
    let found = van(ALL, "fuse 20 A", wires);
    found.clash("The holder is 20 A, but 20 A behind it want 26.67 A at least, loaded to 75 %.");
    assert!(found.fixed(0).contains("replace holder with strip_30"), "{}", found.fixed(0));
    let found = van(ALL, "fuse 20 A", "wire F9 to heater.H[1] 4 mm2 RD by bay, cab");
    assert_eq!(found.only().outcome.word(), "clash");
    assert!(found.fixed(0).contains("feed F9 is 12 V from battery, fuse 30 A, at bay"));
}

#[test]
fn each_way_of_a_box_has_its_fuse() {
    let wires = "wire F9 to box.B[1] 4 mm2 RD by cab\n  wire box.B[2] to lamp.L[1] 1 mm2 RD by cab\n  wire box.B[3] to heater.H[1] 4 mm2 RD by cab";
    let found = van(ALL, "fuse 20 A", wires);
    let small = found.about("box.B[2]");
    assert_eq!(
        small.message,
        "Way B[2] of the box is 5 A, but 4 A behind it want 5.333 A at least, loaded to 75 %."
    );
    assert_eq!(found.about("box.B[3]").outcome.word(), "clash");
    assert_eq!(found.about("F9").outcome.word(), "clash");
}

#[test]
fn a_contact_lets_the_load_through() {
    let wires = "wire F9 to relay.K[1] 4 mm2 RD by cab\n  wire relay.K[2] to heater.H[1] 4 mm2 RD by cab";
    let found = van(ALL, "fuse 20 A", wires);
    found.clash("The fuse of F9 is 15 A, but 20 A behind it want 26.67 A at least, loaded to 75 %.");
}

#[test]
fn the_boat_rule_lets_a_fuse_be_larger_only_where_it_is_chosen() {
    let wires = "wire battery.P[1] to holder.F[1] 10 mm2 RD by bay, 0.2 m long\n  wire holder.F[2] to heater.H[1] 2.5 mm2 RD by bay, cab";
    let found = van(&format!("{ALL}, fuse is cfr_183_455"), "fuse 40 A", wires);
    // 33 CFR 183.455: 29.75 A × 150 % = 44.625 A below 50 V.
    found.clear(
        "The holder is 40 A; 20 A behind it want 26.67 A at least, and the wire from holder.F[2] to heater.H[1] \
         (2.5 mm²) may have 44.62 A.",
    );
}

#[test]
fn a_fuse_that_opens_too_late_is_a_clash() {
    let wires = "wire battery.P[1] to holder.F[1] 10 mm2 RD by bay, 0.2 m long\n  wire holder.F[2] to lamp.L[1] 1 mm2 RD by bay, cab";
    let slow = van(
        &format!("{ALL}, fault temperature 110 °C"),
        "fuse 15 A, fuse type \"ISO 8820-3, type C\"",
        wires,
    );
    assert_eq!(slow.only().outcome.word(), "clash", "{}", slow.listing());
    assert!(
        slow.only().message.starts_with("The holder of 15 A may take 5 s to open at 30 A, but"),
        "{}",
        slow.listing()
    );
    let right = van(ALL, "fuse 15 A, fuse type \"ISO 8820-3, type C\"", wires);
    assert_eq!(right.only().outcome.word(), "clear", "{}", right.listing());
}

#[test]
fn what_nobody_said_is_open_and_without_a_basis_it_waits() {
    van(ALL, "fuse 20 A", "wire F9 to radio.R[1] 2.5 mm2 RD by cab").open(
        "Nobody has said what the radio at R[1] draws: it decides whether the fuses carry their load and protect the \
         wires behind them.",
    );
    van("drop at most 3 %", "fuse 20 A", "wire F9 to lamp.L[1] 1 mm2 RD by cab").silent();
}
