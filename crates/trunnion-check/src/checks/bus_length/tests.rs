use crate::testing::{Found, check};

fn bus(rate: &str, basis: &str, engine: &str, stub: &str) -> Found {
    check("bus/length", &source(rate, basis, engine, stub))
}

fn source(rate: &str, basis: &str, engine: &str, stub: &str) -> String {
    format!(
        r#"
source bench "Bench" measured
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine_controller, brake_controller, gearbox_controller is unit
  bus drive is CAN at {rate} }}
connector shell {{ cavities 4 }}
module engine_unit is unit fills engine_controller {{ fitted on Dunlin
  plug A is shell {{ 1 can_high drive, 2 can_low drive }}
  terminates drive with 120 Ω }}
module brake_unit is unit fills brake_controller {{ fitted on Dunlin
  plug B is shell {{ 1 can_high drive, 2 can_low drive }}
  terminates drive with 120 Ω }}
module late_unit is unit fills gearbox_controller {{ plug C is shell {{ 1 can_high drive, 2 can_low drive }} }}
loom main of Dunlin {{ splice S3, splice S4
  wire engine_controller.A[1] to S3 0.5 mm2 GN {engine} per bench
  wire engine_controller.A[2] to S4 0.5 mm2 GN/BK per bench
  wire brake_controller.B[1] to S3 0.5 mm2 GN 1.1 m long per bench }}
basis {{ {basis} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit late_unit
  {stub} }}"#
    )
}

const STUB: &str = "wire gearbox_controller.C[1] to S3 0.5 mm2 GN 0.9 m long";

#[test]
fn a_short_bus_is_clear_and_so_is_its_stub() {
    let found = bus("500 kbit/s", "bus length is cia_301", "2.4 m ± 0.2 m long", STUB);
    let trunk = found.about("drive");
    assert_eq!(
        trunk.message,
        "The trunk of the drive bus is 3.3 to 3.7 m long from engine controller to brake controller; at 500 kbit/s \
         at most 100 m are allowed (CiA 301)."
    );
    assert_eq!(trunk.margin.as_deref(), Some("96.3 to 96.7 m"));
    let formula = trunk.formula.as_deref().unwrap();
    let wanted = "length = 2.4 m ± 0.2 m + 1.1 m = 3.3 to 3.7 m; length = table of CiA at 500 kbit/s = 100 m";
    assert_eq!(formula, wanted);
    let stub = found.about("drive.stub");
    assert_eq!(
        stub.message,
        "The stub to the gearbox controller is 0.9 m long; at 500 kbit/s at most 5.5 m are allowed (CiA 301)."
    );
    assert_eq!(found.text_of(stub), "wire gearbox_controller.C[1] to S3 0.5 mm2 GN 0.9 m long");
}

#[test]
fn a_long_stub_is_a_clash_by_another_document() {
    let found = bus("1000 kbit/s", "bus length is iso_11898_2", "2.4 m long", STUB);
    assert_eq!(found.about("drive").outcome.word(), "clear");
    let stub = found.about("drive.stub");
    assert_eq!(stub.outcome.word(), "clash");
    assert_eq!(
        stub.message,
        "The stub to the gearbox controller is 0.9 m long, but at 1000 kbit/s at most 0.3 m are allowed (ISO 11898-2)."
    );
    let found = bus("250 kbit/s", "bus length is j1939_11", "41 m long", STUB);
    assert_eq!(found.about("drive").outcome.word(), "clash");
    assert!(found.about("drive").message.contains("42.1 m long"), "{}", found.listing());
}

#[test]
fn nobody_chooses_a_document_for_the_owner() {
    let found = bus("500 kbit/s", "drop at most 3 %", "2.4 m long", STUB);
    found.open(
        "Nobody has said which basis is taken for the bus length: it decides whether the drive bus is short enough \
         for its rate.",
    );
    let found = bus("500 kbit/s", "bus length is iso_11898_2", "2.4 m long", STUB);
    assert!(found.only().message.contains("has no length at 500 kbit"), "{}", found.listing());
}

#[test]
fn a_wire_that_nobody_measured_is_open() {
    let found = bus("500 kbit/s", "bus length is cia_301", "", STUB);
    found.open(
        "Nobody has said the length of the wire from engine_controller.A[1] to S3: it decides whether the drive bus \
         is short enough for its rate.",
    );
    assert!(found.fixed(0).contains("to S3 0.5 mm2 GN, … m long"), "{}", found.fixed(0));
}

#[test]
fn a_module_without_a_wire_is_open() {
    let found = bus("500 kbit/s", "bus length is cia_301", "2.4 m long", "budget 1 EUR");
    found.open(
        "Nobody has said how the gearbox controller is wired to the drive bus: it decides whether the drive bus is \
         short enough for its rate.",
    );
}

#[test]
fn without_a_length_nothing_is_said() {
    let bare =
        source("500 kbit/s", "bus length is cia_301", "", "wire gearbox_controller.C[1] to S3 0.5 mm2 GN");
    check("bus/length", &bare.replace(" 1.1 m long", "")).silent();
}
