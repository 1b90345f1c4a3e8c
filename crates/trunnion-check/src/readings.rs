//! What a meter will read at each cavity after the changes, in each key state.
//!
//! Readings are against ground, with all plugs together, the meter's probe at the back of the plug.
//! Where nothing feeds a cavity, the resistance to ground is read with the battery off.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::function;
use trunnion_model::circuit::{
    Circuit, Evaluated, Evaluations, Level, LinkKind, Situation, circuit, wired_part,
};
use trunnion_model::decl::{Cavity, EndClass};
use trunnion_model::name::Id;
use trunnion_model::world::{EndAt, WireEnd};
use trunnion_syntax::tree::Span;

use crate::bus::{Bus, buses, is_bus_role};
use crate::ctx::{Ctx, listed, trimmed};
use crate::joined::loads;
use crate::seen::each_state;

/// What is expected at a cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The plug: place and end.
    pub plug: EndAt,
    /// The cavity's number.
    pub number: u32,
    /// What it is for: "switch start release".
    pub what: String,
    /// The part that states it, and where; none where only a wire ends there.
    pub stated: Option<(Id, Span)>,
    /// What is read, each with when.
    pub expected: Vec<Expected>,
}

/// One reading, and when it is to be seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expected {
    /// States, with positions where it hangs on them: "crank with the gear in drive".
    pub when: Vec<String>,
    /// What the meter reads, with its limits.
    pub reading: String,
    /// False where nobody has said what it hangs on.
    pub known: bool,
}

/// A vehicle's usual systems: nominal voltage, and the voltages that are stated of them, in V.
const SYSTEMS: [(f64, f64, f64); 2] = [(12.0, 11.0, 15.0), (24.0, 22.0, 30.0)];
/// Their limits as shares of the nominal voltage: 10.5 to 15 V at 12 V; common practice, no source.
const SUPPLY: (f64, f64) = (0.875, 1.25);
/// The same while cranking: down to 9.6 V at 12 V; common practice, no source.
const CRANKING: f64 = 0.8;
/// Above this it is high voltage and no matter for this sheet, in V: direct current, by the definition
/// of UNECE Regulation 100.
const HIGH: f64 = 60.0;
/// The most a diode on the way takes, in V; common practice, no source.
const DIODE: f64 = 1.0;
/// The most resistance of wires alone to ground, in Ω; common practice, no source.
const WIRES: &str = "0.1 Ω";
/// The same with a contact on the way.
const CONTACT: &str = "1 Ω";

/// What a meter will read at every cavity of every plug after the changes.
pub fn readings(ctx: &Ctx<'_>) -> Vec<Reading> {
    let circuit = circuit(ctx.db, ctx.workspace, ctx.world);
    let evaluations = Evaluations::new(&circuit);
    let buses = buses(ctx);
    let mut all: Vec<Reading> = Vec::new();
    for place in &ctx.world.places {
        let mut own: Vec<Reading> = Vec::new();
        let part = wired_part(ctx.db, place);
        let ends = part.into_iter().flat_map(|(id, part)| part.ends.iter().map(move |it| (id, it)));
        for (id, end) in ends.filter(|(_, it)| it.class == EndClass::Plug && !it.absent) {
            for cavity in &end.cavities {
                let plug = EndAt { place: place.name.clone(), end: end.name.value.clone() };
                own.push(one(ctx, &evaluations, &circuit, &buses, plug, (id, cavity)));
            }
        }
        for node in &circuit.nodes {
            let WireEnd::Cavity(at, n) = node else { continue };
            let listed = own.iter().any(|it| it.plug == *at && it.number == *n);
            if at.place == place.name && !listed && place.after.is_filled() {
                own.push(unlisted(ctx, &evaluations, &circuit, at, *n));
            }
        }
        own.sort_by(|a, b| (&a.plug.end, a.number).cmp(&(&b.plug.end, b.number)));
        all.extend(own);
    }
    all
}

fn unlisted(ctx: &Ctx<'_>, evaluations: &Evaluations<'_>, circuit: &Circuit, at: &EndAt, n: u32) -> Reading {
    let answers = ctx.world.answered_cavities.get(&(at.clone(), n)).into_iter().flatten();
    let closed = answers.into_iter().any(|it| matches!(it.verb, "blank" | "bridge"));
    let node = circuit.node(&WireEnd::Cavity(at.clone(), n));
    let expected = node.map(|node| {
        each_state(circuit, evaluations, node, &|evaluated, situation| {
            level(circuit, evaluated, node, situation, false)
        })
    });
    let what = if closed { "the end of a wire that was closed" } else { "nobody has said what for" };
    let what = what.to_owned();
    Reading { plug: at.clone(), number: n, what, stated: None, expected: expected.unwrap_or_default() }
}

fn one(
    ctx: &Ctx<'_>,
    evaluations: &Evaluations<'_>,
    circuit: &Circuit,
    buses: &[Bus<'_>],
    plug: EndAt,
    (id, cavity): (Id, &Cavity),
) -> Reading {
    let number = cavity.number.value;
    let role = cavity.role.value.replace('_', " ");
    let what = match &cavity.what {
        Some(it) => format!("{role} {}", it.head().replace('_', " ")),
        None => role,
    };
    let always = |reading: &str, known: bool| {
        vec![Expected { when: vec!["any state".to_owned()], reading: reading.to_owned(), known }]
    };
    let expected = match cavity.role.value.as_str() {
        "empty" => always("nothing sits in it", true),
        it if is_bus_role(it) => across(ctx, buses, cavity),
        "shield" => always("nobody has said: at which end the shield is grounded", false),
        role => match circuit.seat(&plug, number) {
            Some(node) => {
                let listens = cavity.out == Some(false) && matches!(role, "signal" | "sensor" | "switch");
                each_state(circuit, evaluations, node, &|evaluated, situation| {
                    level(circuit, evaluated, node, situation, listens)
                })
            }
            None => always("nothing is joined to it", true),
        },
    };
    Reading { plug, number, what, stated: Some((id, cavity.span)), expected }
}

fn level(
    circuit: &Circuit,
    evaluated: &Evaluated<'_>,
    node: usize,
    situation: &Situation,
    listens: bool,
) -> (String, bool) {
    let volts = || evaluated.volts(node);
    let known = |text: String| (text, true);
    if circuit.is_apart(node) {
        return known("its wire is off and closed: nothing is joined to it".to_owned());
    }
    match evaluated.level(node) {
        Level::Live => {
            let crank = circuit.states[situation.state].name == "crank";
            match volts() {
                Some(it) => known(supply(it, crank, evaluated.by_diode(node))),
                None => ("nobody has said: the voltage of what feeds it".to_owned(), false),
            }
        }
        Level::Grounded => {
            let (_, links) = evaluated.path(node);
            let by = |kind: fn(&LinkKind) -> bool| links.iter().any(|it| kind(&circuit.links[*it].kind));
            if by(|it| *it == LinkKind::Diode) {
                return known("0.3 to 1 V, a diode to ground".to_owned());
            }
            let most = if by(|it| matches!(it, LinkKind::Contact(_))) { CONTACT } else { WIRES };
            known(format!("0 V, below {most} to ground"))
        }
        Level::Short => known("a short: a supply and ground are joined".to_owned()),
        Level::Pulled => {
            let (nodes, links) = evaluated.path(node);
            let volts = nodes.first().and_then(|first| circuit.sources.iter().find(|it| it.node == *first));
            let volts =
                volts.and_then(|it| it.volts).map_or_else(|| "the supply".to_owned(), |it| it.display());
            known(format!("up to {volts} through {}, no current", listed(&loads(circuit, &links))))
        }
        Level::Drained => known("0 V, to ground through a load".to_owned()),
        Level::Between => {
            ("nobody has said: the resistance of the loads on both sides of it".to_owned(), false)
        }
        Level::Dead if listens => {
            known("0 V but for what the unit itself puts on it, no way to ground".to_owned())
        }
        Level::Dead => known("0 V, no way to ground".to_owned()),
        Level::Unknown(doubt) => (format!("nobody has said: {}", doubt.what), false),
    }
}

/// A supply with its limits: those stated, else the usual ones of 12 V and 24 V.
fn supply(volts: Quantity, crank: bool, diode: bool) -> String {
    let shown = volts.display();
    let stated = volts.in_unit("V").unwrap_or_default();
    if stated > HIGH {
        return format!("{shown}: high voltage, licensed work, not to be probed by this sheet");
    }
    let system = SYSTEMS.iter().find(|(_, from, to)| (*from..=*to).contains(&stated));
    let Some((nominal, ..)) = system.filter(|_| volts.is_exact()) else {
        let within = if volts.is_exact() { "; nobody has said within what limits" } else { "" };
        let less = if diode { format!(", less up to {DIODE} V of a diode") } else { String::new() };
        return format!("{shown}{less}{within}");
    };
    let low = nominal * if crank { CRANKING } else { SUPPLY.0 } - if diode { DIODE } else { 0.0 };
    format!("{shown} ({} to {} V)", trimmed(low, 1), trimmed(nominal * SUPPLY.1, 1))
}

/// What is read across the two wires of a bus: its terminators side by side.
fn across(ctx: &Ctx<'_>, buses: &[Bus<'_>], cavity: &Cavity) -> Vec<Expected> {
    let off = |reading: String, known: bool| Expected { when: vec!["off".to_owned()], reading, known };
    let name = cavity.what.as_ref().map(|it| it.head().clone()).unwrap_or_default();
    let Some(bus) = buses.iter().find(|it| it.name() == name) else {
        return vec![off(format!("nobody has said: what bus {name} is"), false)];
    };
    if !bus.is_can() {
        let text = format!("nobody has said: the resistance between {} and its supply", bus.shown());
        return vec![off(text, false)];
    }
    let ends =
        |part: &trunnion_model::decl::Part| part.terminates.iter().any(|it| it.0.head() == name.as_str());
    let mut unsure: Vec<String> = bus.unknown.iter().map(|it| ctx.holding_shown(&it.after, it)).collect();
    unsure.extend(bus.nodes.iter().filter(|it| !it.sure && ends(it.part)).map(|it| it.id.shown(ctx.db)));
    if !unsure.is_empty() {
        return vec![off(
            format!("nobody has said: whether {} ends {}", listed(&unsure), bus.shown()),
            false,
        )];
    }
    let resistors =
        bus.nodes.iter().flat_map(|it| &it.part.terminates).filter(|it| it.0.head() == name.as_str());
    let ohms: Vec<Option<Quantity>> = resistors.map(|it| it.1).collect();
    let Some(ohms) = ohms.iter().copied().collect::<Option<Vec<Quantity>>>() else {
        return vec![off(format!("nobody has said: with how many ohms {} is ended", bus.shown()), false)];
    };
    let Some((first, rest)) = ohms.split_first() else {
        return vec![off(format!("nobody has said: where {} ends", bus.shown()), false)];
    };
    let beside = function("parallel_resistance");
    let all = rest.iter().try_fold(*first, |all, it| Some(beside?.call(&[all, *it]).ok()?.value));
    let text = match all {
        Some(all) => {
            let each: Vec<String> = ohms.iter().map(Quantity::display).collect();
            let all = all.in_unit("Ω").map_or_else(|| all.display(), |it| format!("{} Ω", trimmed(it, 1)));
            format!(
                "{all} across the two wires of {}, battery off: {} side by side",
                bus.shown(),
                listed(&each)
            )
        }
        None => return vec![off("nobody has said: the resistance of the terminators".to_owned(), false)],
    };
    vec![off(text, true)]
}

#[cfg(test)]
mod tests {
    use trunnion_model::db::Host;
    use trunnion_model::decl::Body;
    use trunnion_model::lower::lowered;
    use trunnion_model::name::Id;
    use trunnion_model::world::world;

    use super::*;

    /// The readings of the only vehicle of a snippet, a line each.
    fn read(source: &str) -> Vec<String> {
        let mut host = Host::new();
        host.set_file("test.trunnion", source);
        let (db, workspace) = (host.db(), host.workspace());
        let file = host.file("test.trunnion").expect("just set");
        let mut lines = Vec::new();
        for item in file.items(db).iter() {
            for (nth, decl) in lowered(db, *item).decls.iter().enumerate() {
                if !matches!(decl.body, Body::Vehicle(_)) {
                    continue;
                }
                let id = Id { item: *item, nth: nth as u32 };
                let world = world(db, workspace, id.item, id.nth, None).expect("a world");
                for it in readings(&Ctx { db, workspace, world: &world }) {
                    for expected in &it.expected {
                        let when = expected.when.join(", ");
                        let known = if expected.known { "" } else { " (?)" };
                        lines.push(format!(
                            "{}[{}] {when}: {}{known}",
                            it.plug.text(),
                            it.number,
                            expected.reading
                        ));
                    }
                }
            }
        }
        lines
    }

    const VAN: &str = "family Dunlin { built 2009-06 to 2018-12, place body_controller, selector, other, zone cabin\n\
         feed F31 is 12 V from ignition\n feed F40 is 12 V from battery\n ground G2 at cabin\n\
         bus drive is CAN at 500 kbit/s }\n";

    #[test]
    fn supplies_grounds_and_a_switch_by_the_gear() {
        let lines = read(&format!(
            "{VAN}\
             part body fills body_controller {{ plug J2 {{ 1 supply 12 V draw 10 A, 2 ground, 3 empty, 31 switch start_release in }} }}\n\
             part lever fills selector {{ plug L1 {{ 2 ground, 5 switch inhibit out }}, contact L1[5] to L1[2] when park, neutral }}\n\
             vehicle van is Dunlin {{ built 2012-04, has body_controller body, has selector lever\n\
             wire F31 to body_controller.J2[1]\n wire body_controller.J2[2] to G2\n\
             wire selector.L1[2] to G2\n wire selector.L1[5] to body_controller.J2[31] }}"
        ));
        let by_gear = "off, on, crank, run with the gear in park or neutral: 0 V, below 1 Ω to ground";
        let drive = "off, on, crank, run with the gear in drive: 0 V";
        assert_eq!(
            lines,
            [
                "body_controller.J2[1] off: 0 V, to ground through a load".to_owned(),
                "body_controller.J2[1] on, run: 12 V (10.5 to 15 V)".to_owned(),
                "body_controller.J2[1] crank: 12 V (9.6 to 15 V)".to_owned(),
                "body_controller.J2[2] off, on, crank, run: 0 V, below 0.1 Ω to ground".to_owned(),
                "body_controller.J2[3] any state: nothing sits in it".to_owned(),
                format!("body_controller.J2[31] {by_gear}"),
                format!(
                    "body_controller.J2[31] {drive} but for what the unit itself puts on it, no way to ground"
                ),
                "selector.L1[2] off, on, crank, run: 0 V, below 0.1 Ω to ground".to_owned(),
                format!("selector.L1[5] {by_gear}"),
                format!("selector.L1[5] {drive}, no way to ground"),
            ]
        );
    }

    /// Limits of a 12 V system from 10.5 to 15 V, 9.6 V while cranking: common practice.
    #[test]
    fn limits_are_those_stated_or_those_of_the_system() {
        let volts = |from: f64, to: f64| Quantity::range(from, to, "V").expect("a range");
        let exact = |it: f64| Quantity::exact(it, "V").expect("a figure");
        assert_eq!(supply(exact(12.0), false, false), "12 V (10.5 to 15 V)");
        assert_eq!(supply(exact(14.2), false, false), "14.2 V (10.5 to 15 V)");
        assert_eq!(supply(exact(24.0), true, false), "24 V (19.2 to 30 V)");
        assert_eq!(supply(exact(12.0), false, true), "12 V (9.5 to 15 V)");
        assert_eq!(supply(volts(12.2, 15.0), false, false), "12.2 to 15 V");
        assert_eq!(supply(exact(5.0), false, false), "5 V; nobody has said within what limits");
        assert!(supply(exact(380.0), false, false).contains("high voltage, licensed work"));
    }

    /// 120 Ω beside 120 Ω read 60 Ω, a third makes it 40 Ω: Ohm's law.
    #[test]
    fn across_a_bus_the_terminators_lie_side_by_side() {
        let bus = |third: &str| {
            read(&format!(
                "{VAN}\
                 part body fills body_controller {{ plug J2 {{ 3 can_high drive, 4 can_low drive }}, terminates drive with 120 Ω }}\n\
                 part lever fills selector {{ sends gear on drive, terminates drive with 120 Ω }}\n\
                 part third fills other {{ sends more on drive{third} }}\n\
                 vehicle van is Dunlin {{ built 2012-04, has body_controller body, has selector lever, has other third }}"
            ))
        };
        assert_eq!(
            bus(""),
            [
                "body_controller.J2[3] off: 60 Ω across the two wires of the drive bus, battery off: 120 Ω and 120 Ω side by side",
                "body_controller.J2[4] off: 60 Ω across the two wires of the drive bus, battery off: 120 Ω and 120 Ω side by side",
            ]
        );
        assert!(bus(", terminates drive with 120 Ω")[0].contains("off: 40 Ω across"));
        assert_eq!(
            bus(", terminates drive")[0],
            "body_controller.J2[3] off: nobody has said: with how many ohms the drive bus is ended (?)"
        );
    }

    #[test]
    fn what_nobody_said_is_said_so() {
        let lines = read(&format!(
            "{VAN}part lever fills selector {{ plug L1 {{ 5 switch inhibit out }} }}\n\
             vehicle van is Dunlin {{ built 2012-04, has selector lever\n wire selector.L1[5] to other.X[1] }}"
        ));
        assert_eq!(
            lines,
            [
                "selector.L1[5] off, on, crank, run: nobody has said: when lever gives at selector.L1[5] (?)",
                "other.X[1] off, on, crank, run: nobody has said: what the other puts on other.X[1] (?)",
            ]
        );
    }
}
