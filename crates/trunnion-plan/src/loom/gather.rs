//! From what asks, and from what belongs together, to nets that are to be made.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_check::ctx::listed;
use trunnion_model::db::Site;
use trunnion_model::world::WireEnd;

use super::nets::{Looking, Sort, Wanted, gives};
use super::{Lack, Unsolved};

impl Looking<'_, '_, '_> {
    /// From what asks and what is to become one, the nets.
    pub fn gather(&mut self) {
        let mut done: BTreeSet<usize> = BTreeSet::new();
        let mut seen: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut order: Vec<usize> = Vec::new();
        for node in self.asks.clone() {
            let group = self.groups.group(self.standing.piece[node]);
            if done.insert(group) {
                order.push(group);
            }
            seen.entry(group).or_default().push(node);
        }
        // Wires of the conversion that clash though neither end asks.
        for it in 0..self.standing.clashing.len() {
            let Some([a, _]) = self.standing.clashing[it].joins else { continue };
            let group = self.groups.group(self.standing.piece[a]);
            if done.insert(group) {
                order.push(group);
                seen.entry(group).or_default().push(a);
            }
        }
        for group in order {
            let asks = seen.remove(&group).unwrap_or_default();
            self.net(group, &asks);
        }
        let standing = &*self.standing;
        self.needs.wanted.sort_by_cached_key(|it| {
            let pin = standing.pin(it.of).map(|pin| (pin.nth, pin.n));
            (pin.map(|it| it.0), plug(&standing.nodes[it.of]), pin.map(|it| it.1))
        });
    }

    fn net(&mut self, group: usize, asks: &[usize]) {
        let pieces = self.groups.all[group].clone();
        let replaces: Vec<Site> = self.replaced(&pieces);
        let first = asks[0];
        let nodes: Vec<usize> = pieces.iter().map(|it| self.standing.members[*it][0]).collect();
        let sorts = self.standing.mixed(&nodes);
        let givers = self.givers(&pieces);
        let at = self.standing.nodes[first].shown();
        let trouble = if sorts.len() > 1 {
            Some(format!("{at} would join {}; a wire serves one net only.", listed(&sorts)))
        } else if givers.len() > 1 {
            let names = listed(&givers);
            Some(format!("{at} would have several that give on one wire: {names}."))
        } else {
            None
        };
        if let Some(sentence) = trouble {
            self.needs.pending.extend(&pieces);
            let sites = self.sites(first).into_iter().chain(replaces).collect();
            self.needs.unsolved.push(Unsolved {
                subject: self.standing.nodes[first].text(),
                sentence,
                sites,
                lack: Lack::Knowledge,
            });
            return;
        }
        let sort = asks.iter().find_map(|it| self.live(*it).and_then(|it| Sort::of(it.1)));
        let Some(sort) = sort else { return };
        let choice = matches!(sort, Sort::Supply | Sort::Ground);
        if pieces.len() == 1 && !choice {
            // What is wired and alone on its bus after the changes wants nothing.
            if sort.bus().is_some() && asks.iter().any(|it| !self.standing.is_served(*it)) {
                let bus = sort.bus().map(|it| it.replace('_', " ")).unwrap_or_default();
                self.needs.pending.insert(pieces[0]);
                self.needs.unsolved.push(Unsolved {
                    subject: self.standing.nodes[first].text(),
                    sentence: format!(
                        "{at} goes to the {bus} bus, and nobody has said where a wire of it runs."
                    ),
                    sites: self.sites(first),
                    lack: Lack::Knowledge,
                });
            }
            return;
        }
        let mut why: Vec<String> = asks.iter().filter_map(|it| self.why.get(it).cloned()).collect();
        why.dedup();
        self.needs.wanted.push(Wanted {
            word: self.word(&sort, first),
            sort,
            of: first,
            pieces: self.ordered(pieces),
            replaces,
            why,
        });
    }

    /// The one that gives, or that is wired, first.
    fn ordered(&self, mut pieces: Vec<usize>) -> Vec<usize> {
        let rank = |piece: &usize| {
            let gives = self.standing.members[*piece].iter().any(|it| {
                matches!(self.standing.nodes[*it], WireEnd::Feed(_))
                    || self.live(*it).is_some_and(|(_, it)| gives(it) || it.out == Some(true))
            });
            let wired = self.standing.members[*piece].len() > 1;
            (!gives, !wired, *piece)
        };
        pieces.sort_by_key(rank);
        pieces.into_iter().map(|it| self.standing.members[it][0]).collect()
    }

    fn replaced(&self, pieces: &[usize]) -> Vec<Site> {
        let world = self.standing.frame.ctx.world;
        let of = self
            .standing
            .clashing
            .iter()
            .filter(|it| it.joins.is_some_and(|[a, _]| pieces.contains(&self.standing.piece[a])));
        of.map(|it| world.wires[it.wire].id.site(world.wires[it.wire].wire.span)).collect()
    }

    /// What gives a signal on these conductors, where more than one conductor has such.
    fn givers(&self, pieces: &[usize]) -> Vec<String> {
        let mut givers: Vec<String> = Vec::new();
        let mut count = 0;
        for piece in pieces {
            let here = self.standing.members[*piece].iter().filter(|it| {
                self.live(**it).is_some_and(|(_, it)| {
                    it.out == Some(true) && matches!(Sort::of(it), Some(Sort::Signal(_)))
                })
            });
            let here: Vec<String> = here.map(|it| self.standing.nodes[*it].text()).collect();
            count += usize::from(!here.is_empty());
            givers.extend(here);
        }
        if count > 1 { givers } else { Vec::new() }
    }

    fn word(&self, sort: &Sort, node: usize) -> String {
        let place = self.standing.pin(node).map(|it| it.place.shown()).unwrap_or_default();
        match sort {
            Sort::Supply => format!("supply of {place}"),
            Sort::Ground => format!("ground of {place}"),
            Sort::High(bus) => format!("{} bus, high", bus.replace('_', " ")),
            Sort::Low(bus) => format!("{} bus, low", bus.replace('_', " ")),
            Sort::Lin(bus) => format!("{} bus", bus.replace('_', " ")),
            Sort::Signal(name) => name.replace('_', " "),
        }
    }
}

fn plug(end: &WireEnd) -> String {
    match end {
        WireEnd::Cavity(at, _) => at.end.to_string(),
        _ => String::new(),
    }
}
