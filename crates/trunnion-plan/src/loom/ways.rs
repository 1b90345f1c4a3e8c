//! The zones and runs of the vehicle as a network, and where each conductor can be joined.

use std::collections::BTreeMap;

use petgraph::algo::dijkstra;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::unionfind::UnionFind;
use trunnion_check::loads::way::{Between, Ways};
use trunnion_model::world::WireEnd;
use trunnion_syntax::tree::Name;

use super::effort;
use super::existing::Standing;
use super::nets::Wanted;
use super::network::{Network, Piece, Run, Tap};

/// How a wire is joined to something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum How {
    /// By a terminal in an empty cavity.
    Seat,
    /// At a loose end.
    Loose,
    /// At a splice.
    Splice,
    /// Into the wire of a cavity.
    Wire,
    /// At a feed.
    Feed,
    /// At a ground point.
    Ground,
}

impl How {
    pub fn effort(self) -> u64 {
        match self {
            Self::Seat => effort::TERMINAL,
            Self::Loose => effort::AT_LOOSE_END,
            Self::Splice => effort::AT_SPLICE,
            Self::Wire => effort::INTO_WIRE,
            Self::Feed => effort::AT_FEED,
            Self::Ground => effort::AT_GROUND,
        }
    }
}

/// Where a wire can be joined to a conductor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    /// The end that a statement names.
    pub node: usize,
    pub how: How,
    /// The zone, by number.
    pub zone: usize,
    /// Whether nobody has said the zone: it is then offered in each, at a price.
    pub far: bool,
}

impl Spot {
    /// The work of joining there, in s.
    pub fn effort(&self) -> u64 {
        self.how.effort() + if self.far { effort::UNKNOWN_WAY } else { 0 }
    }
}

/// A run between two zones.
pub(super) struct Leg {
    /// Its length in mm, where it is stated.
    pub mm: Option<f64>,
    /// What it passes through.
    pub through: Option<Name>,
    /// Its bore in mm.
    pub bore: Option<f64>,
    /// Its zones as they are declared, for the wires that are in it; none of a way that nobody has said.
    pub between: Option<Between>,
}

/// The network of the vehicle.
pub(super) struct Zones {
    pub names: Vec<Name>,
    pub legs: Vec<Leg>,
    pub network: Network,
    graph: UnGraph<(), u64>,
}

impl Zones {
    /// All zones that anything is in. Parts of the vehicle that no run joins are joined by a way of which
    /// nobody has said where it goes.
    pub fn of(standing: &Standing<'_, '_>, ways: &Ways<'_>) -> Self {
        let mut names: Vec<Name> = ways.runs.keys().flat_map(|it| [it.0.clone(), it.1.clone()]).collect();
        names.extend(standing.nodes.iter().filter_map(|it| standing.frame.zone(it)));
        let world = standing.frame.ctx.world;
        names.extend(world.feeds.iter().filter_map(|(_, it)| it.zone.as_ref()).map(|it| it.head().clone()));
        let grounds = world.grounds.iter().map(|it| WireEnd::Ground(it.clone()));
        names.extend(grounds.filter_map(|it| standing.frame.zone(&it)));
        names.extend(world.wires.iter().flat_map(|it| &it.wire.zones).map(|it| it.head().clone()));
        names.sort();
        names.dedup();
        let at = |name: &Name| names.binary_search(name).unwrap_or(names.len());
        let (mut legs, mut runs) = (Vec::new(), Vec::new());
        for (between, (_, run)) in &ways.runs {
            let mm = run.length.and_then(|it| it.in_unit("mm"));
            let passage = run.through.as_ref().map(|_| run.effort.as_ref().map(|it| it.value.as_str()));
            let effort = effort::of_run(mm, passage);
            runs.push(Run { a: at(&between.0), b: at(&between.1), effort, room: None });
            legs.push(Leg {
                mm,
                through: run.through.as_ref().map(|it| it.value.clone()),
                bore: run.bore.and_then(|it| it.ends_in("mm")).map(|it| it[0]),
                between: Some(between.clone()),
            });
        }
        let zones = names.len().max(1);
        let mut parts = UnionFind::<usize>::new(zones);
        for run in &runs {
            parts.union(run.a, run.b);
        }
        for zone in 1..zones {
            if parts.union(0, zone) {
                runs.push(Run { a: 0, b: zone, effort: effort::UNKNOWN_WAY, room: None });
                legs.push(Leg { mm: None, through: None, bore: None, between: None });
            }
        }
        let mut graph = UnGraph::with_capacity(zones, runs.len());
        let indices: Vec<NodeIndex> = (0..zones).map(|_| graph.add_node(())).collect();
        for run in &runs {
            graph.add_edge(indices[run.a], indices[run.b], run.effort);
        }
        Self { names, legs, network: Network { zones, runs, stay: vec![0; zones] }, graph }
    }

    /// Where something in a zone can be joined; in each, where nobody has said the zone.
    pub fn spots(&self, node: usize, how: How, zone: Option<&Name>) -> Vec<Spot> {
        match zone.and_then(|it| self.names.binary_search(it).ok()) {
            Some(zone) => vec![Spot { node, how, zone, far: false }],
            None => {
                let far = !self.names.is_empty();
                (0..self.network.zones).map(|zone| Spot { node, how, zone, far }).collect()
            }
        }
    }

    /// The least effort from some spots to every zone, joining at the spot included.
    pub fn efforts(&self, spots: &[Spot]) -> Vec<Option<u64>> {
        let mut least: Vec<Option<u64>> = vec![None; self.network.zones];
        for spot in spots {
            let reached = dijkstra(&self.graph, NodeIndex::new(spot.zone), None, |it| *it.weight());
            for (zone, known) in least.iter_mut().enumerate() {
                let here = reached.get(&NodeIndex::new(zone)).map(|it| it + spot.effort());
                *known = match (*known, here) {
                    (Some(a), Some(b)) => Some(a.min(b)),
                    (a, b) => a.or(b),
                };
            }
        }
        least
    }

    /// The run between two zones next to each other that costs least.
    pub fn leg(&self, a: usize, b: usize) -> Option<usize> {
        let here = |it: &Run| (it.a, it.b) == (a, b) || (it.b, it.a) == (a, b);
        let all = self.network.runs.iter().enumerate().filter(|(_, it)| here(it));
        all.min_by_key(|(nth, it)| (it.effort, *nth)).map(|it| it.0)
    }
}

/// Where a conductor can be joined: in each zone the least effort.
pub(super) fn spots(standing: &Standing<'_, '_>, zones: &Zones, node: usize) -> Vec<Spot> {
    let mut least: BTreeMap<usize, Spot> = BTreeMap::new();
    let mut offer = |spot: Spot| {
        let rank = |it: &Spot| (it.effort(), standing.nodes[it.node].clone());
        match least.get(&spot.zone) {
            Some(known) if rank(known) <= rank(&spot) => {}
            _ => drop(least.insert(spot.zone, spot)),
        }
    };
    for node in standing.whole(node).iter().copied() {
        let zone = standing.frame.zone(&standing.nodes[node]);
        let how = match &standing.nodes[node] {
            WireEnd::Strange(_) => continue,
            WireEnd::Splice(_) => How::Splice,
            WireEnd::Feed(_) => How::Feed,
            WireEnd::Ground(_) => How::Ground,
            WireEnd::Cavity(..) if standing.at[node].is_empty() && standing.mated.contains(&node) => continue,
            WireEnd::Cavity(..) if standing.is_loose(node) => {
                if standing.is_dead(node) {
                    continue;
                }
                How::Loose
            }
            WireEnd::Cavity(..) if standing.at[node].is_empty() => How::Seat,
            WireEnd::Cavity(..) => How::Wire,
        };
        zones.spots(node, how, zone.as_ref()).into_iter().for_each(&mut offer);
        // Along its wires, where they run.
        if matches!(how, How::Wire | How::Loose) {
            for strand in &standing.at[node] {
                for zone in &standing.wire(*strand).wire.zones {
                    zones.spots(node, How::Wire, Some(zone.head())).into_iter().for_each(&mut offer);
                }
            }
        }
    }
    least.into_values().collect()
}

/// The conductors of a net as pieces for the routing, with what each tap is.
pub(super) struct Pieces {
    pub pieces: Vec<Piece>,
    pub spots: Vec<Vec<Spot>>,
}

/// `choices` are the feeds or ground points of which one is taken, where the net has that choice.
pub(super) fn pieces(
    standing: &Standing<'_, '_>,
    zones: &Zones,
    wanted: &Wanted,
    choices: Option<Vec<Spot>>,
) -> Pieces {
    let mut spots: Vec<Vec<Spot>> =
        wanted.pieces.iter().map(|it| self::spots(standing, zones, *it)).collect();
    let chosen = choices.is_some();
    if let Some(choices) = choices {
        spots.insert(0, choices);
    }
    let tap = |it: &Spot| Tap { zone: it.zone, effort: it.effort() };
    let pieces = spots.iter().enumerate().map(|(nth, it)| Piece {
        taps: it.iter().map(tap).collect(),
        // An empty cavity takes one terminal; of feeds and grounds one is taken.
        through: !(chosen && nth == 0) && it.iter().any(|it| it.how != How::Seat),
    });
    Pieces { pieces: pieces.collect(), spots }
}
