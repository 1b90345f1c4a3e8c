//! From a tree of zones to pieces of wire: what is joined to what, by which zones.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::network::Tree;
use super::ways::{How, Pieces, Spot, Zones};

/// A new wire, or a join where both ends are at hand.
#[derive(Clone, Debug)]
pub(super) struct Link {
    /// The number of its net.
    pub net: usize,
    /// The side that is there or that gives.
    pub a: Spot,
    /// The other.
    pub b: Spot,
    /// The zones from the one to the other.
    pub path: Vec<usize>,
    /// Whether it is pulled through with the other wire of its pair.
    pub twin: bool,
}

impl Link {
    /// The runs that it passes, by number.
    pub fn legs(&self, zones: &Zones) -> Vec<usize> {
        self.path.windows(2).filter_map(|it| zones.leg(it[0], it[1])).collect()
    }

    /// The work of it, in s.
    pub fn seconds(&self, zones: &Zones) -> u64 {
        let laid: u64 = self.legs(zones).iter().map(|it| zones.network.runs[*it].effort).sum();
        self.a.effort() + self.b.effort() + if self.twin { 0 } else { laid }
    }
}

impl Link {
    /// Whether it is known by which zones it goes.
    pub fn is_known(&self, zones: &Zones) -> bool {
        let known = self.legs(zones).iter().all(|it| zones.legs[*it].between.is_some());
        known && !self.a.far && !self.b.far && !zones.names.is_empty()
    }
}

/// The links of one net: each piece joined to what is nearest of those that are joined already.
pub(super) fn links(net: usize, pieces: &Pieces, tree: &Tree, zones: &Zones) -> Vec<Link> {
    let mut beside: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for run in &tree.runs {
        let run = &zones.network.runs[*run];
        beside.entry(run.a).or_default().push(run.b);
        beside.entry(run.b).or_default().push(run.a);
    }
    for all in beside.values_mut() {
        all.sort_unstable();
    }
    let spot = |(piece, tap): (usize, usize)| &pieces.spots[piece][tap];
    let mut left: Vec<(usize, usize)> = tree.taps.clone();
    left.sort_unstable();
    let Some(first) = left.first().map(|it| it.0) else { return Vec::new() };
    let mut contacts: BTreeMap<usize, Spot> = BTreeMap::new();
    let mut joined = BTreeSet::from([first]);
    let mut links = Vec::new();
    loop {
        // All taps of what is joined are contacts.
        for it in left.iter().filter(|it| joined.contains(&it.0)) {
            contacts.entry(spot(*it).zone).or_insert_with(|| spot(*it).clone());
        }
        left.retain(|it| !joined.contains(&it.0));
        let ways = left.iter().filter_map(|it| Some((way(&beside, &contacts, spot(*it).zone)?, *it)));
        let Some((path, next)) = ways.min_by_key(|(path, it)| (path.len(), *it)) else { return links };
        let (a, b) = (contacts[&path[0]].clone(), spot(next).clone());
        // What sits in a cavity now is joined into from here on.
        let taken = |it: &Spot| match it.how {
            How::Seat => Spot { how: How::Wire, ..it.clone() },
            _ => it.clone(),
        };
        contacts.insert(path[0], taken(&a));
        let named = [&b, &a].into_iter().find(|it| matches!(it.how, How::Seat | How::Wire | How::Loose));
        for zone in &path[1..] {
            let passing = named.map(|it| Spot { how: How::Wire, zone: *zone, ..it.clone() });
            let here = if *zone == b.zone { Some(taken(&b)) } else { passing };
            if let Some(here) = here {
                contacts.entry(*zone).or_insert(here);
            }
        }
        if path.len() == 1 {
            contacts.entry(b.zone).or_insert_with(|| taken(&b));
        }
        joined.insert(next.0);
        links.push(Link { net, a, b, path, twin: false });
    }
}

/// The way in the tree from the nearest contact to a zone.
fn way(
    beside: &BTreeMap<usize, Vec<usize>>,
    contacts: &BTreeMap<usize, Spot>,
    from: usize,
) -> Option<Vec<usize>> {
    let mut before: BTreeMap<usize, usize> = BTreeMap::from([(from, from)]);
    let mut next = VecDeque::from([from]);
    while let Some(zone) = next.pop_front() {
        if contacts.contains_key(&zone) {
            let mut path = vec![zone];
            let mut at = zone;
            while before[&at] != at {
                at = before[&at];
                path.push(at);
            }
            return Some(path);
        }
        for other in beside.get(&zone).into_iter().flatten() {
            if !before.contains_key(other) {
                before.insert(*other, zone);
                next.push_back(*other);
            }
        }
    }
    None
}
