//! The wires of a bus as a net: its trunk, and what branches off.

use trunnion_model::world::{EndAt, WireAt, WireEnd};

use crate::bus::{Bus, cavities};
use crate::ctx::Ctx;

/// The wires of a bus, one of its two, as a net.
pub(super) struct Net<'a> {
    pub(super) wires: Vec<&'a WireAt>,
    /// Where each module sits on it, and whether it ends the bus.
    pub(super) modules: Vec<(WireEnd, String, bool)>,
    /// Modules on the bus that no wire of it reaches.
    pub(super) unwired: Vec<String>,
}

/// The net of a bus after the changes.
pub(super) fn net<'a>(ctx: &Ctx<'a>, bus: &Bus<'_>) -> Net<'a> {
    let mut net = Net { wires: Vec::new(), modules: Vec::new(), unwired: Vec::new() };
    let mut ends: Vec<(WireEnd, String, bool)> = Vec::new();
    for node in &bus.nodes {
        let high = cavities(node.part, bus.name()).into_iter().find(|(_, it)| it.role.value == "can_high");
        let shown = node.place.shown();
        match high {
            Some((plug, cavity)) => {
                let end = EndAt { place: node.place.name.clone(), end: plug.name.value.clone() };
                let ended = node.part.terminates.iter().any(|it| it.0.head() == bus.name());
                ends.push((WireEnd::Cavity(end, cavity.number.value), shown, ended));
            }
            None => net.unwired.push(shown),
        }
    }
    let mut reached: Vec<WireEnd> = ends.iter().map(|it| it.0.clone()).collect();
    let mut next = 0;
    while let Some(at) = reached.get(next).cloned() {
        next += 1;
        for wire in ctx.world.wires.iter().filter(|it| it.a == at || it.b == at) {
            if !net.wires.iter().any(|it| std::ptr::eq(*it, wire)) {
                net.wires.push(wire);
            }
            let other = if wire.a == at { &wire.b } else { &wire.a };
            if !reached.contains(other) && !matches!(other, WireEnd::Feed(_) | WireEnd::Ground(_)) {
                reached.push(other.clone());
            }
        }
    }
    for (end, shown, ended) in ends {
        if net.wires.iter().any(|it| it.a == end || it.b == end) {
            net.modules.push((end, shown, ended));
        } else if !net.unwired.contains(&shown) {
            net.unwired.push(shown);
        }
    }
    net
}

impl<'a> Net<'a> {
    /// The wires from one end to another; none where there is no way.
    pub(super) fn way(&self, from: &WireEnd, to: &WireEnd) -> Option<Vec<&'a WireAt>> {
        let mut ways: Vec<(WireEnd, Vec<&'a WireAt>)> = vec![(from.clone(), Vec::new())];
        let mut next = 0;
        while let Some((at, way)) = ways.get(next).cloned() {
            next += 1;
            if at == *to {
                return Some(way);
            }
            for wire in self.wires.iter().filter(|it| it.a == at || it.b == at) {
                let other = if wire.a == at { &wire.b } else { &wire.a };
                if !ways.iter().any(|(it, _)| it == other) {
                    let mut longer = way.clone();
                    longer.push(*wire);
                    ways.push((other.clone(), longer));
                }
            }
        }
        None
    }

    /// Whether some wires lead round in a ring: then no wire is a stub, and none the trunk.
    pub(super) fn is_ring(&self) -> bool {
        let mut ends: Vec<&WireEnd> = self.wires.iter().flat_map(|it| [&it.a, &it.b]).collect();
        ends.sort();
        ends.dedup();
        self.wires.len() >= ends.len()
    }

    /// The two modules at the ends of the trunk, and the wires between them: those that end the bus, else
    /// the farthest two.
    pub(super) fn trunk(&self) -> Option<(usize, usize, Vec<&'a WireAt>)> {
        let ended: Vec<usize> = (0..self.modules.len()).filter(|it| self.modules[*it].2).collect();
        let pairs: Vec<(usize, usize)> = match ended.as_slice() {
            [a, b] => vec![(*a, *b)],
            _ => (0..self.modules.len()).flat_map(|b| (0..b).map(move |a| (a, b))).collect(),
        };
        let ways = pairs
            .into_iter()
            .filter_map(|(a, b)| Some((a, b, self.way(&self.modules[a].0, &self.modules[b].0)?)));
        ways.max_by(|a, b| metres(&a.2).total_cmp(&metres(&b.2)))
    }
}

/// The stated lengths of wires that follow each other, at most, in m.
pub(super) fn metres(way: &[&WireAt]) -> f64 {
    way.iter().filter_map(|it| it.wire.length).map(|it| it.hi()).sum()
}
