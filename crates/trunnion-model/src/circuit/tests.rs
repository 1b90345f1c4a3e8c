//! Small circuits worked out by hand. Their source is Ohm's law, and how a switch, a relay and a
//! diode work: common practice.

use super::{Circuit, Level, circuit};
use crate::db::Host;
use crate::decl::Body;
use crate::lower::lowered;
use crate::name::Id;
use crate::world::{EndAt, world};

/// The circuit of the only conversion of a snippet, else of its only vehicle.
fn of(source: &str) -> Circuit {
    let mut host = Host::new();
    host.set_file("test.trunnion", source);
    let db = host.db();
    let file = host.file("test.trunnion").expect("just set");
    let mut all: Vec<(bool, Id)> = Vec::new();
    for item in file.items(db).iter() {
        for (nth, decl) in lowered(db, *item).decls.iter().enumerate() {
            let problems = &lowered(db, *item).problems;
            assert!(problems.is_empty(), "{problems:?}");
            if matches!(decl.body, Body::Conversion(_) | Body::Vehicle(_)) {
                let id = Id { item: *item, nth: nth as u32 };
                all.push((matches!(decl.body, Body::Vehicle(_)), id));
            }
        }
    }
    all.sort_by_key(|it| it.0);
    let id = all[0].1;
    let world = world(db, host.workspace(), id.item, id.nth, None).expect("a world");
    circuit(db, host.workspace(), &world)
}

/// What is at a cavity in each state and position: "off: dead".
fn at(circuit: &Circuit, place: &str, plug: &str, n: u32) -> Vec<String> {
    let end = EndAt { place: place.into(), end: plug.into() };
    let node = circuit.seat(&end, n).expect("a cavity");
    let controls = circuit.controls_of(node);
    let mut all = Vec::new();
    for state in 0..circuit.states.len() {
        for situation in circuit.situations(state, &controls).expect("few positions") {
            let level = match circuit.evaluate(&situation).level(node) {
                Level::Live => "live".to_owned(),
                Level::Grounded => "grounded".to_owned(),
                Level::Short => "short".to_owned(),
                Level::Pulled => "pulled".to_owned(),
                Level::Drained => "drained".to_owned(),
                Level::Between => "between".to_owned(),
                Level::Dead => "dead".to_owned(),
                Level::Unknown(doubt) => format!("unknown: {}", doubt.what),
            };
            all.push(format!("{}: {level}", circuit.shown(&situation, &controls)));
        }
    }
    all
}

fn van(places: &str, parts: &str, wires: &str) -> String {
    format!(
        "family Dunlin {{ built 2009-06 to 2018-12, place {places}, zone cabin\n\
         feed F31 is 12 V from ignition, fuse 15 A\n\
         feed F40 is 12 V from battery, fuse 20 A\n\
         ground G2 at cabin }}\n\
         {parts}\n\
         vehicle van is Dunlin {{ built 2012-04\n{wires} }}"
    )
}

const RELAY: &str = "part cube fills relay { plug K { 1 coil pull in, 2 ground, 3 supply 12 V in, 4 supply 12 V out, 5 supply 12 V out }\n\
     contact K[3] to K[4] with coil K[1], K[2]\n\
     contact K[3] to K[5] without coil K[1], K[2] }";

/// Its coil on the ignition, its contact on the battery: closed with the key on, at rest without.
#[test]
fn a_relay_pulls_while_its_coil_has_voltage() {
    let text = van(
        "relay",
        RELAY,
        "has relay cube\nwire F31 to relay.K[1]\nwire relay.K[2] to G2\nwire F40 to relay.K[3]",
    );
    let circuit = of(&text);
    assert_eq!(at(&circuit, "relay", "K", 4), ["off: dead", "on: live", "crank: live", "run: live"]);
    assert_eq!(at(&circuit, "relay", "K", 5), ["off: live", "on: dead", "crank: dead", "run: dead"]);
}

/// The coil's ground wire is not there: its free end has the voltage behind the coil, no current.
#[test]
fn a_coil_without_ground_does_not_pull() {
    let text = van("relay", RELAY, "has relay cube\nwire F31 to relay.K[1]\nwire F40 to relay.K[3]");
    let circuit = of(&text);
    assert_eq!(at(&circuit, "relay", "K", 4), ["off: dead", "on: dead", "crank: dead", "run: dead"]);
    assert_eq!(at(&circuit, "relay", "K", 2), ["off: dead", "on: pulled", "crank: pulled", "run: pulled"]);
}

/// Coil and lamp in series: whether the relay pulls hangs on both resistances.
#[test]
fn a_coil_behind_a_lamp_is_not_known_to_pull() {
    let lamp = "part bulb fills lamp { plug L1 { 1 lamp charge 12 V draw 0.2 A in, 2 ground } }";
    let text = van(
        "relay, lamp",
        &format!("{RELAY}\n{lamp}"),
        "has relay cube, has lamp bulb\nwire F31 to lamp.L1[1]\nwire lamp.L1[2] to relay.K[1]\nwire relay.K[2] to G2\nwire F40 to relay.K[3]",
    );
    let circuit = of(&text);
    let why = "unknown: whether the coil of cube pulls with another load in series";
    assert_eq!(
        at(&circuit, "relay", "K", 4),
        ["off: dead".to_owned(), format!("on: {why}"), format!("crank: {why}"), format!("run: {why}")]
    );
    assert_eq!(
        at(&circuit, "relay", "K", 1),
        ["off: drained", "on: between", "crank: between", "run: between"]
    );
}

/// A relay that breaks its own coil: it chatters, as a buzzer does.
#[test]
fn a_relay_that_breaks_its_own_coil_is_not_known() {
    let text = van(
        "relay",
        RELAY,
        "has relay cube\nwire F31 to relay.K[3]\nwire relay.K[5] to relay.K[1]\nwire relay.K[2] to G2",
    );
    let circuit = of(&text);
    let run = at(&circuit, "relay", "K", 4).pop().expect("states");
    assert_eq!(run, "run: unknown: whether cube pulls, which switches its own coil");
}

/// Two supplies through a diode each: the lamp burns with either, neither feeds the other.
#[test]
fn a_diode_lets_current_through_one_way() {
    let text = van(
        "pair, lamp",
        "part two fills pair { plug D { 1 supply 12 V in, 2 supply 12 V in, 3 supply 12 V out }\n\
         diode D[1] to D[3], diode D[2] to D[3] }\n\
         part bulb fills lamp { plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground } }",
        "has pair two, has lamp bulb\nwire F31 to pair.D[1]\nwire F40 to pair.D[2]\nwire pair.D[3] to lamp.L1[1]\nwire lamp.L1[2] to G2",
    );
    let circuit = of(&text);
    assert_eq!(at(&circuit, "lamp", "L1", 1), ["off: live", "on: live", "crank: live", "run: live"]);
    assert_eq!(at(&circuit, "pair", "D", 1), ["off: dead", "on: live", "crank: live", "run: live"]);
}

/// A lamp that lost its ground, between two supplies: what is dead gets the other's voltage
/// through it.
#[test]
fn a_load_without_ground_feeds_back() {
    let text = van(
        "lamp",
        "part twin fills lamp { plug L1 { 1 lamp one 12 V draw 1 A in, 2 lamp two 12 V draw 1 A in, 3 ground } }",
        "has lamp twin\nwire F31 to lamp.L1[1]\nwire F40 to lamp.L1[2]",
    );
    let circuit = of(&text);
    assert_eq!(at(&circuit, "lamp", "L1", 1)[0], "off: pulled");
    assert_eq!(at(&circuit, "lamp", "L1", 3)[0], "off: pulled");
}

/// A switch to ground by the lever: grounded in park and neutral, dead elsewhere, in every state.
#[test]
fn a_contact_follows_the_gear() {
    let text = van(
        "selector",
        "part lever fills selector { plug L1 { 2 ground, 5 switch start_inhibit out }\n\
         contact L1[5] to L1[2] when park, neutral }",
        "has selector lever\nwire selector.L1[2] to G2",
    );
    let circuit = of(&text);
    let seen = at(&circuit, "selector", "L1", 5);
    assert_eq!(
        &seen[..3],
        [
            "off with the gear in park: grounded",
            "off with the gear in neutral: grounded",
            "off with the gear in drive: dead"
        ]
    );
}

/// Positions of a pedal are its own; states and positions together must both hold.
#[test]
fn a_contact_may_want_a_state_and_a_position() {
    let text = van(
        "pedal",
        "part box fills pedal { plug S1 { 1 supply 12 V in, 2 switch clutch out }\n\
         contact S1[1] to S1[2] when crank, pressed }",
        "has pedal box\nwire F40 to pedal.S1[1]",
    );
    let circuit = of(&text);
    let seen = at(&circuit, "pedal", "S1", 2);
    let live: Vec<&String> = seen.iter().filter(|it| it.ends_with(": live")).collect();
    assert_eq!(live, ["crank with the pedal pressed: live"]);
    assert_eq!(seen[1], "off with the pedal not pressed: dead");
}

/// What nobody stated is not known to be dead.
#[test]
fn what_nobody_stated_is_unknown() {
    let text = van(
        "switch, fuse, other",
        "part blank fills switch { plug S1 { 1 supply 12 V in, 2 switch roof out } }\n\
         part strip fills fuse { plug F { 1 supply 12 V in, 2 supply 12 V out } }",
        "has switch blank, has fuse strip\nwire F40 to switch.S1[1]\nwire F40 to fuse.F[1]\nwire other.X[1] to other.X[2]",
    );
    let circuit = of(&text);
    assert_eq!(at(&circuit, "switch", "S1", 2)[0], "off: unknown: when blank gives at switch.S1[2]");
    assert_eq!(at(&circuit, "fuse", "F", 2)[0], "off: unknown: when strip joins F[1] to F[2]");
    assert_eq!(at(&circuit, "other", "X", 1)[0], "off: unknown: what the other puts on other.X[1]");
    assert_eq!(at(&circuit, "switch", "S1", 1)[0], "off: live");
}

/// A state of the family's own: a supply of the usual words is there as in the one it is like.
#[test]
fn a_state_of_the_family_is_like_another() {
    let text = van(
        "lamp",
        "part bulb fills lamp { plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground } }",
        "has lamp bulb\nwire F31 to lamp.L1[1]\nwire lamp.L1[2] to G2",
    );
    let text = text.replace("zone cabin\n", "zone cabin\nstate reversing like run\nstate parked\n");
    let circuit = of(&text);
    assert_eq!(
        &at(&circuit, "lamp", "L1", 1)[3..],
        ["run: live", "reversing: live", "parked: unknown: whether F31, from ignition, is there in parked"]
    );
}

/// A removed pedal: its switch wires bridged are one wire; blanked, each ends by itself.
#[test]
fn what_is_bridged_is_one_wire_and_what_is_blanked_is_none() {
    let text = |change: &str| {
        "family Dunlin { built 2009-06 to 2018-12, place pedal, lamp, zone cabin\n\
         feed F40 is 12 V from battery\n ground G2 at cabin }\n\
         part box fills pedal { fitted on Dunlin, plug S1 { 1 supply 12 V in, 2 switch clutch out }, contact S1[1] to S1[2] when pressed }\n\
         part bulb fills lamp { fitted on Dunlin, plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground } }\n\
         loom main of Dunlin { wire F40 to pedal.S1[1], wire pedal.S1[2] to lamp.L1[1], wire lamp.L1[2] to G2 }\n\
         vehicle van is Dunlin { built 2012-04 }\n\
         conversion easy { recipient van\n CHANGE }"
            .replace("CHANGE", change)
    };
    let first = |change: &str| at(&of(&text(change)), "lamp", "L1", 1)[0].clone();
    assert_eq!(first(""), "off with the pedal pressed: live");
    assert_eq!(first("remove pedal"), "off: drained");
    assert_eq!(first("remove pedal, bridge pedal.S1[1] to pedal.S1[2]"), "off: live");
    assert_eq!(first("remove pedal, blank pedal.S1[1], blank pedal.S1[2]"), "off: drained");
    // The plug stays, one wire of it is taken off: its contact no longer matters.
    let circuit = of(&text("blank pedal.S1[2]"));
    assert_eq!(
        at(&circuit, "lamp", "L1", 1),
        ["off: drained", "on: drained", "crank: drained", "run: drained"]
    );
    assert_eq!(at(&circuit, "pedal", "S1", 2)[0], "off with the pedal pressed: live");
}

/// A moved terminal takes the wire along.
#[test]
fn a_moved_terminal_takes_its_wire_along() {
    let circuit = of(
        "family Dunlin { built 2009-06 to 2018-12, place lamp, zone cabin, feed F40 is 12 V from battery }\n\
         part bulb fills lamp { fitted on Dunlin, plug L1 { 1 lamp roof 12 V draw 1 A in, 3 lamp door 12 V draw 1 A in } }\n\
         loom main of Dunlin { wire F40 to lamp.L1[1] }\n\
         vehicle van is Dunlin { built 2012-04 }\n\
         conversion easy { recipient van\n move lamp.L1[1] to lamp.L1[3] }",
    );
    assert_eq!(at(&circuit, "lamp", "L1", 1)[0], "off: dead");
    assert_eq!(at(&circuit, "lamp", "L1", 3)[0], "off: live");
}

/// Two plugs put together join their cavities by number.
#[test]
fn plugs_that_meet_join_by_number() {
    let circuit = of(
        "family Dunlin { built 2009-06 to 2018-12, place lamp, tail, zone cabin, feed F40 is 12 V from battery\n\
         joint tail.T1 to lamp.L1 }\n\
         part bulb fills lamp { fitted on Dunlin, plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground } }\n\
         part piece fills tail { fitted on Dunlin, plug T1 { 1 lamp roof 12 V draw 1 A in }, plug T2 { 1 supply 12 V in }, contact T2[1] to T1[1] }\n\
         loom main of Dunlin { wire F40 to tail.T2[1] }\n\
         vehicle van is Dunlin { built 2012-04 }",
    );
    assert_eq!(at(&circuit, "lamp", "L1", 1)[0], "off: live");
}

/// Of several possible parts that say the same of their wires, it does not matter which it is.
#[test]
fn several_parts_of_the_same_wiring_are_as_good_as_one() {
    let text = |other: &str| {
        format!(
            "family Dunlin {{ built 2009-06 to 2018-12, place lamp, zone cabin, feed F40 is 12 V from battery\n ground G2 at cabin }}\n\
             part early fills lamp {{ fitted on Dunlin, plug L1 {{ 1 lamp roof 12 V draw 1 A in, 2 ground }} }}\n\
             part late fills lamp {{ fitted on Dunlin, plug L1 {{ {other} }} }}\n\
             loom main of Dunlin {{ wire lamp.L1[1] to lamp.L1[3], wire F40 to lamp.L1[1] }}\n\
             vehicle van is Dunlin {{ built 2012-04 }}"
        )
    };
    let node = |text: &str| at(&of(text), "lamp", "L1", 1)[0].clone();
    assert_eq!(node(&text("1 lamp roof 12 V draw 2 A in, 2 ground")), "off: live");
    let circuit =
        of(&text("1 lamp roof 12 V out, 2 ground")
            .replace("wire F40 to lamp.L1[1]", "wire lamp.L1[1] to G7"));
    assert!(
        at(&circuit, "lamp", "L1", 1)[0]
            .starts_with("off: unknown: what the lamp, which may be one of several,")
    );
}

/// Nine hand switches in one circuit have 512 sets of positions: too many to look at.
#[test]
fn there_is_a_bound_on_positions_together() {
    let places: Vec<String> = (1..=9).map(|it| format!("s{it}")).collect();
    let parts =
        "part hand { plug S { 1 supply 12 V in, 2 signal more out }, contact S[1] to S[2] when closed }";
    let wires: String = places
        .iter()
        .map(|it| format!("has {it} hand\nwire F40 to {it}.S[1]\nwire {it}.S[2] to s1.S[2]\n"))
        .collect();
    let circuit = of(&van(&places.join(", "), parts, &wires));
    let end = EndAt { place: "s1".into(), end: "S".into() };
    let controls = circuit.controls_of(circuit.seat(&end, 2).expect("a cavity"));
    assert_eq!(controls.len(), 9);
    assert!(circuit.situations(0, &controls).is_none());
    assert_eq!(circuit.situations(0, &controls[..8]).map(|it| it.len()), Some(256));
}
