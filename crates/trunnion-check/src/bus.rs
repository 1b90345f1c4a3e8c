//! Who is on a data network after the changes, for the checks on buses.

use trunnion_model::built::Holding;
use trunnion_model::decl::{Asked, BusDecl, Cavity, End, MessageUse, Part};
use trunnion_model::fact::Ref;
use trunnion_model::name::Id;
use trunnion_model::world::Place;

use crate::ctx::Ctx;

/// A module on a bus.
pub struct Node<'a> {
    /// Where it sits.
    pub place: &'a Place,
    /// The part.
    pub id: Id,
    /// Its declaration.
    pub part: &'a Part,
    /// Whether it is certain that this part sits there: false where it is one of several.
    pub sure: bool,
}

/// A bus with all that is on it after the changes.
pub struct Bus<'a> {
    /// The family that declares it.
    pub id: Id,
    /// Its declaration.
    pub decl: &'a BusDecl,
    /// The modules on it; of a place that may hold one of several parts, each of them.
    pub nodes: Vec<Node<'a>>,
    /// Places of which only so much is known that something on this bus sits there.
    pub unknown: Vec<&'a Place>,
    /// Whether a change puts a module on it or takes one off; true of a vehicle alone.
    pub touched: bool,
}

impl Bus<'_> {
    /// Its name.
    pub fn name(&self) -> &str {
        &self.decl.name.value
    }

    /// As it is shown: "the drive bus".
    pub fn shown(&self) -> String {
        format!("the {} bus", self.name().replace('_', " "))
    }

    /// Whether it is a CAN bus, of whatever sort.
    pub fn is_can(&self) -> bool {
        protocol(self.decl).starts_with("CAN")
    }
}

/// The protocol of a bus in capitals: `CAN`, `LIN` …
pub fn protocol(bus: &BusDecl) -> String {
    bus.protocol.value.to_uppercase()
}

/// Every bus of the vehicle with what is on it after the changes.
pub fn buses<'a>(ctx: &Ctx<'a>) -> Vec<Bus<'a>> {
    ctx.world.buses.iter().map(|(id, decl)| bus(ctx, *id, decl)).collect()
}

fn bus<'a>(ctx: &Ctx<'a>, id: Id, decl: &'a BusDecl) -> Bus<'a> {
    let name = decl.name.value.as_str();
    let on = |id: &Id| ctx.part(*id).is_some_and(|it| is_on(it, name));
    let mut bus =
        Bus { id, decl, nodes: Vec::new(), unknown: Vec::new(), touched: ctx.world.conversion.is_none() };
    for place in &ctx.world.places {
        let before = place.before.parts().iter().any(on);
        let all = place.after.parts();
        for id in all.iter().filter(|it| on(it)) {
            let Some(part) = ctx.part(*id) else { continue };
            bus.nodes.push(Node { place, id: *id, part, sure: all.len() == 1 });
        }
        bus.touched |= place.changed() && (before || all.iter().any(on));
        let unknown = matches!(place.after, Holding::Unknown | Holding::Hollow(_));
        if unknown && (before || place.changed() && only_bus(ctx, name) && is_electronic(ctx, place)) {
            bus.unknown.push(place);
        }
    }
    for place in
        ctx.world.places.iter().filter(|it| matches!(it.after, Holding::Unknown | Holding::Hollow(_)))
    {
        let mut hears = bus.nodes.iter().flat_map(|it| &it.part.hears);
        let named = hears.any(|it| {
            let here = it.bus.as_ref().is_some_and(|it| it.head() == name);
            here && it.sender.as_ref().is_some_and(|it| *it.head() == place.name)
        });
        if named && !bus.unknown.iter().any(|it| it.name == place.name) {
            bus.unknown.push(place);
        }
    }
    bus.touched |= bus.unknown.iter().any(|it| it.changed());
    bus
}

/// Whether it is the only CAN bus: an unknown control unit can then be on no other.
fn only_bus(ctx: &Ctx<'_>, name: &str) -> bool {
    let mut all = ctx.world.buses.iter().filter(|(_, it)| protocol(it).starts_with("CAN"));
    all.next().is_some_and(|(_, it)| it.name.value == name) && all.next().is_none()
}

/// Whether the kind of what sits there asks what only a control unit has.
fn is_electronic(ctx: &Ctx<'_>, place: &Place) -> bool {
    let Some((_, kind)) = ctx.kind_after(place) else { return false };
    kind.asks.iter().any(|(_, it)| match &it.asked {
        Asked::Measure(it) => ["coding", "can_rate", "wake_up"].contains(&it.value.as_str()),
        _ => false,
    })
}

/// The cavities of a part that are on a bus of this name, with their plugs.
pub fn cavities<'p>(part: &'p Part, bus: &str) -> Vec<(&'p End, &'p Cavity)> {
    let each = part.ends.iter().flat_map(|end| end.cavities.iter().map(move |it| (end, it)));
    each.filter(|(_, it)| is_bus_role(&it.role.value) && it.what.as_ref().is_some_and(|it| it.head() == bus))
        .collect()
}

/// Whether a role is that of a bus wire.
pub fn is_bus_role(role: &str) -> bool {
    matches!(role, "can_high" | "can_low" | "lin")
}

/// Whether a part is on a bus: by a cavity, a message or a terminating resistor.
pub fn is_on(part: &Part, bus: &str) -> bool {
    let named = |it: Option<&Ref>| it.is_some_and(|it| it.head() == bus);
    let messages = || part.sends.iter().chain(&part.hears).chain(&part.passes);
    !cavities(part, bus).is_empty()
        || messages().any(|it| named(it.bus.as_ref()) || named(it.onto.as_ref()))
        || part.terminates.iter().any(|it| it.0.head() == bus)
}

/// Whether a path names the bus.
pub fn named(path: Option<&Ref>, bus: &Bus<'_>) -> bool {
    path.is_some_and(|it| it.head() == bus.name())
}

/// The modules that pass a message on to a bus.
pub fn gateways<'b>(
    bus: &'b Bus<'_>,
    message: &'b str,
) -> impl Iterator<Item = (&'b Node<'b>, &'b MessageUse)> {
    let passes = bus.nodes.iter().flat_map(|node| node.part.passes.iter().map(move |it| (node, it)));
    passes.filter(move |(_, it)| it.name.value == message && named(it.onto.as_ref(), bus))
}

/// A module by which a message comes on to a bus.
pub struct Sender<'b> {
    /// Where it sits.
    pub place: &'b Place,
    /// The part.
    pub id: Id,
    /// Whether it is certain that it sits there and sends it.
    pub sure: bool,
    /// Where it is sent in the first place, when this is a gateway.
    pub origin: Option<&'b Place>,
    /// What is stated of it, here and behind the gateways.
    pub claims: Vec<(Id, &'b MessageUse)>,
}

/// All by which a message comes on to a bus, directly or through gateways; and the gateways
/// that would pass it on if anybody sent it to them. `depth` counts the gateways already passed.
pub fn senders<'b>(
    all: &'b [Bus<'b>],
    bus: &'b Bus<'b>,
    message: &'b str,
    depth: usize,
) -> (Vec<Sender<'b>>, Vec<&'b Node<'b>>) {
    let (mut found, mut idle): (Vec<Sender<'b>>, Vec<&'b Node<'b>>) = (Vec::new(), Vec::new());
    for node in &bus.nodes {
        let mut sends = node.part.sends.iter().filter(|it| it.name.value == message);
        if let Some(it) = sends.find(|it| it.bus.is_none() || named(it.bus.as_ref(), bus)) {
            let claims = vec![(node.id, it)];
            found.push(Sender { place: node.place, id: node.id, sure: node.sure, origin: None, claims });
        }
    }
    for (node, pass) in gateways(bus, message).filter(|_| depth < all.len()) {
        let from = all.iter().find(|it| named(pass.bus.as_ref(), it));
        let behind = from.map(|it| senders(all, it, message, depth + 1).0).unwrap_or_default();
        let Some(first) = behind.first() else {
            idle.push(node);
            continue;
        };
        let mut claims = vec![(node.id, pass)];
        claims.extend(behind.iter().flat_map(|it| it.claims.iter().copied()));
        let origin = Some(first.origin.unwrap_or(first.place));
        let sure = node.sure && first.sure;
        found.push(Sender { place: node.place, id: node.id, sure, origin, claims });
    }
    (found, idle)
}
