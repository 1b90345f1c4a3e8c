//! Twisted pairs: what the low wire of a bus has where the high one has something.

use std::collections::BTreeMap;

use trunnion_model::world::{EndAt, WireEnd};

use super::existing::Standing;
use super::nets::{Sort, Wanted};
use super::ways::Spot;

/// The partner of each node of the high wire of a bus.
pub(super) type Partners = BTreeMap<usize, usize>;

/// For each net of a high wire, the number of that of its low wire, where both join as many conductors.
pub(super) fn pairs(standing: &Standing<'_, '_>, wanted: &[Wanted]) -> BTreeMap<usize, usize> {
    let plug = |it: &Wanted| match &standing.nodes[it.of] {
        WireEnd::Cavity(at, _) => Some(at.clone()),
        _ => None,
    };
    let mut pairs = BTreeMap::new();
    for (nth, high) in wanted.iter().enumerate() {
        let Sort::High(bus) = &high.sort else { continue };
        let low = wanted.iter().position(|it| {
            let same = it.pieces.len() == high.pieces.len() && plug(it) == plug(high);
            it.sort == Sort::Low(bus.clone()) && same
        });
        pairs.extend(low.map(|low| (nth, low)));
    }
    pairs
}

/// What is beside what: cavities of one plug, and the splices that their wires lead to.
pub(super) fn partners(standing: &Standing<'_, '_>) -> Partners {
    let mut plugs: BTreeMap<(EndAt, String), [Option<usize>; 2]> = BTreeMap::new();
    for node in 0..standing.nodes.len() {
        let (WireEnd::Cavity(at, _), Some(pin)) = (&standing.nodes[node], standing.pin(node)) else {
            continue;
        };
        let cavity = if pin.gone { pin.was } else { pin.now };
        match cavity.and_then(Sort::of) {
            Some(Sort::High(bus)) => {
                plugs.entry((at.clone(), bus.to_string())).or_default()[0].get_or_insert(node);
            }
            Some(Sort::Low(bus)) => {
                plugs.entry((at.clone(), bus.to_string())).or_default()[1].get_or_insert(node);
            }
            _ => {}
        }
    }
    let mut partners = Partners::new();
    for [high, low] in plugs.into_values() {
        let (Some(high), Some(low)) = (high, low) else { continue };
        partners.insert(high, low);
        let splice = |node: usize| {
            let ends = standing.at[node].iter().flat_map(|it| standing.strands[*it].ends);
            ends.into_iter().find(|it| matches!(standing.nodes[*it], WireEnd::Splice(_)))
        };
        if let (Some(high), Some(low)) = (splice(high), splice(low)) {
            partners.entry(high).or_insert(low);
        }
    }
    partners
}

/// The spot of the low wire beside one of the high wire.
pub(super) fn beside(
    standing: &Standing<'_, '_>,
    partners: &Partners,
    spot: &Spot,
    low: &Wanted,
) -> Option<Spot> {
    let node = *partners.get(&spot.node)?;
    let inside = low.pieces.iter().any(|it| standing.piece[*it] == standing.piece[node]);
    let empty = standing.at[node].is_empty() == standing.at[spot.node].is_empty();
    (inside && empty).then(|| Spot { node, ..spot.clone() })
}
