//! Data networks: where a new module joins, and what no wire can mend.

use std::collections::BTreeMap;

use trunnion_check::bus::buses;
use trunnion_check::ctx::{Ctx, listed};

use super::existing::Standing;
use super::nets::{Looking, Sort, Wanted};
use super::{Lack, Unsolved};

impl Looking<'_, '_, '_> {
    /// Joins what asks for a bus to the bus that is there.
    pub fn buses(&mut self) {
        let mut by: BTreeMap<Sort, Vec<usize>> = BTreeMap::new();
        for node in &self.asks {
            let sort = self.live(*node).and_then(|it| Sort::of(it.1));
            if let Some(sort) = sort.filter(|it| it.bus().is_some()) {
                by.entry(sort).or_default().push(*node);
            }
        }
        for (sort, asks) in by {
            let mut there: Vec<usize> = Vec::new();
            for node in 0..self.standing.nodes.len() {
                let Some(pin) = self.standing.pin(node).filter(|_| !self.standing.stuck.contains(&node))
                else {
                    continue;
                };
                let cavity = if pin.gone { pin.was } else { pin.now };
                let on = cavity.and_then(Sort::of).as_ref() == Some(&sort);
                let wired = !self.standing.at[node].is_empty() || self.standing.mated.contains(&node);
                if on && wired && !there.contains(&self.piece(node)) {
                    there.push(self.piece(node));
                }
            }
            let asking: Vec<usize> = asks.iter().map(|it| self.piece(*it)).collect();
            let strangers: Vec<usize> = there.iter().copied().filter(|it| !asking.contains(it)).collect();
            let mut all = asking.clone();
            all.extend(
                strangers.iter().max_by_key(|it| (self.standing.members[**it].len(), usize::MAX - **it)),
            );
            if strangers.len() > 1 {
                let bus = sort.bus().map(|it| it.replace('_', " ")).unwrap_or_default();
                self.needs.unsolved.push(Unsolved {
                    subject: sort.bus().map(ToString::to_string).unwrap_or_default(),
                    sentence: format!(
                        "The {bus} bus is known in {} parts, and nobody has said which wires join them; what is new \
                         goes to the largest.",
                        strangers.len()
                    ),
                    sites: self.sites(asks[0]),
                    lack: Lack::Knowledge,
                });
            }
            for pair in all.windows(2) {
                self.groups.join(pair[0], pair[1]);
            }
        }
    }
}

/// Buses that new wires go to and that have more than two terminators.
pub(super) fn ended(ctx: &Ctx<'_>, standing: &Standing<'_, '_>, wanted: &[Wanted]) -> Vec<Unsolved> {
    let mut told = Vec::new();
    for bus in buses(ctx) {
        let joins = wanted.iter().any(|it| matches!(&it.sort, Sort::High(name) if name == bus.name()));
        let ends: Vec<_> = bus
            .nodes
            .iter()
            .filter(|it| it.sure)
            .flat_map(|node| {
                node.part.terminates.iter().filter(|it| it.0.head() == bus.name()).map(move |it| (node, it))
            })
            .collect();
        if !joins || ends.len() <= 2 {
            continue;
        }
        let names: Vec<String> = ends.iter().map(|it| it.0.id.shown(standing.frame.ctx.db)).collect();
        told.push(Unsolved {
            subject: bus.name().to_owned(),
            sentence: format!(
                "The {} bus would have {} terminators, in {}; it wants two. No wire mends that: take a part without.",
                bus.name().replace('_', " "),
                ends.len(),
                listed(&names)
            ),
            sites: ends
                .iter()
                .flat_map(|(node, it)| {
                    std::iter::once(node.id.site(it.3)).chain(node.place.done.last().map(|it| it.site))
                })
                .collect(),
            lack: Lack::Knowledge,
        });
    }
    told
}
